package wording

import (
	"embed"
	"fmt"
	"io/fs"
	"strings"
	"sync"

	"golang.org/x/text/language"
)

//go:embed languages/*.yaml
var files embed.FS

// library is every language there is. Books are read when first asked for: one
// process seldom speaks more than one language.
type library struct {
	matcher language.Matcher
	books   []func() (*book, error) // in the order of the matcher's tags
}

// standard is the embedded library; a fault in it is a fault of the build.
var standard = sync.OnceValue(func() *library {
	l, err := openLibrary(files)
	if err != nil {
		panic(err)
	}
	return l
})

const folder = "languages"

// openLibrary finds the languages of a file system. English comes first: it is
// what the matcher takes where nothing fits.
func openLibrary(fsys fs.FS) (*library, error) {
	names, err := fs.Glob(fsys, folder+"/*.yaml")
	if err != nil {
		return nil, fmt.Errorf("find languages: %w", err)
	}
	tags, books := []language.Tag{language.English}, []func() (*book, error){nil}
	for _, name := range names {
		tag, err := language.Parse(strings.TrimSuffix(strings.TrimPrefix(name, folder+"/"), ".yaml"))
		if err != nil {
			return nil, fmt.Errorf("%s is not named after a language: %w", name, err)
		}
		read := sync.OnceValues(func() (*book, error) { return openBook(fsys, name, tag) })
		if tag == language.English {
			books[0] = read
			continue
		}
		tags, books = append(tags, tag), append(books, read)
	}
	if books[0] == nil {
		return nil, fmt.Errorf("no %s/en.yaml", folder)
	}
	return &library{matcher: language.NewMatcher(tags), books: books}, nil
}

func openBook(fsys fs.FS, name string, tag language.Tag) (*book, error) {
	data, err := fs.ReadFile(fsys, name)
	if err != nil {
		return nil, fmt.Errorf("read language: %w", err)
	}
	return readBook(name, data, tag)
}

// nearest gives the book of the nearest language.
func (l *library) nearest(wanted string) *book {
	// A preference list and a single tag both parse; what does not is no wish.
	tags, _, err := language.ParseAcceptLanguage(wanted)
	if err != nil {
		tags = nil
	}
	_, i, _ := l.matcher.Match(tags...)
	b, err := l.books[i]()
	if err != nil {
		panic(err) // a fault of the build
	}
	return b
}
