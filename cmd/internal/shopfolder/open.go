package shopfolder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/quoting"
)

// ErrNowhere tells that a path leads neither to a folder nor to a workbook.
var ErrNowhere = errors.New("there is no folder and no workbook (.xlsx)")

// Shop is a catalog with the files that it was read from.
type Shop struct {
	Catalog *catalog.Catalog
	// Named tells that somebody named the catalog; else it is the invented shop's.
	Named bool
	files fs.FS
}

// Read reads the catalog that a path leads to, or the invented shop's for an empty
// path. Faults of the catalog come back as catalog.Faults. ErrNowhere.
func Read(path string) (*Shop, error) {
	files, err := open(path)
	if err != nil {
		return nil, err
	}
	cat, err := catalog.Read(files)
	if err != nil {
		return nil, err
	}
	return &Shop{Catalog: cat, Named: path != "", files: files}, nil
}

// Packed gives the plain files of the catalog, packed. It reads them anew: where
// somebody has changed them meanwhile, they are another catalog's.
func (s *Shop) Packed() ([]byte, error) { return quoting.PackPlain(s.files) }

func open(path string) (fs.FS, error) {
	if path == "" {
		return demo.Files(), nil
	}
	info, err := os.Stat(path)
	switch {
	case err == nil && info.IsDir():
		return os.DirFS(path), nil
	case err == nil && strings.EqualFold(filepath.Ext(path), ".xlsx"):
		return workbook(path)
	}
	return nil, fmt.Errorf("%w %s", ErrNowhere, path)
}

// workbook is the folder that a workbook lies in, without the tables and the other
// workbooks beside it.
func workbook(path string) (fs.FS, error) {
	entries, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		return nil, fmt.Errorf("list the catalog: %w", err)
	}
	folder := catalog.Folder{}
	for _, e := range entries {
		name := e.Name()
		extension := strings.ToLower(filepath.Ext(name))
		if e.IsDir() || name != filepath.Base(path) && extension != ".yaml" && extension != ".yml" {
			continue
		}
		if folder[name], err = os.ReadFile(filepath.Join(filepath.Dir(path), name)); err != nil {
			return nil, fmt.Errorf("read the catalog: %w", err)
		}
	}
	return folder, nil
}
