package catalog

import (
	"bytes"
	"io"
	"io/fs"
	"slices"
	"time"
)

// Folder is a catalog's files in memory: name → content. It is a file system
// without folders in it, ready for Read.
type Folder map[string][]byte

// Open opens a file for reading, or the folder itself as ".".
func (f Folder) Open(name string) (fs.File, error) {
	if name == "." {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrInvalid}
	}
	content, ok := f[name]
	if !ok {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return &memoryFile{memoryInfo{name, int64(len(content))}, bytes.NewReader(content)}, nil
}

// ReadDir lists the files by name.
func (f Folder) ReadDir(name string) ([]fs.DirEntry, error) {
	if name != "." {
		return nil, &fs.PathError{Op: "readdir", Path: name, Err: fs.ErrNotExist}
	}
	entries := make([]fs.DirEntry, 0, len(f))
	for _, n := range f.Names() {
		entries = append(entries, fs.FileInfoToDirEntry(memoryInfo{n, int64(len(f[n]))}))
	}
	return entries, nil
}

// Names lists the files by name.
func (f Folder) Names() []string {
	names := make([]string, 0, len(f))
	for n := range f {
		names = append(names, n)
	}
	slices.Sort(names)
	return names
}

// memoryFile is one file while it is read.
type memoryFile struct {
	info memoryInfo
	*bytes.Reader
}

func (f *memoryFile) Stat() (fs.FileInfo, error) { return f.info, nil }
func (f *memoryFile) Close() error               { return nil }

var _ io.ReaderAt = (*memoryFile)(nil)

// memoryInfo is what is known of a file in memory: it has no age and can be read.
type memoryInfo struct {
	name string
	size int64
}

func (i memoryInfo) Name() string     { return i.name }
func (i memoryInfo) Size() int64      { return i.size }
func (memoryInfo) Mode() fs.FileMode  { return 0o444 }
func (memoryInfo) ModTime() time.Time { return time.Time{} }
func (memoryInfo) IsDir() bool        { return false }
func (memoryInfo) Sys() any           { return nil }
