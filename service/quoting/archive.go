package quoting

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"

	"example.com/lugbook/catalog"
)

// Pack gives the files of a catalog's folder as one: those that catalog.Read reads,
// as far as they are there. The same files give the same bytes.
func Pack(folder fs.FS) ([]byte, error) {
	var packed bytes.Buffer
	w := zip.NewWriter(&packed)
	press, err := flate.NewWriter(&packed, flate.BestSpeed)
	if err != nil {
		return nil, fmt.Errorf("pack the catalog: %w", err)
	}
	w.RegisterCompressor(zip.Deflate, func(out io.Writer) (io.WriteCloser, error) {
		press.Reset(out) // one file is done before the next begins
		return press, nil
	})
	for _, name := range catalog.Files() {
		text, err := fs.ReadFile(folder, name)
		if errors.Is(err, fs.ErrNotExist) {
			continue // what is missing is for catalog.Read to report
		}
		if err != nil {
			return nil, fmt.Errorf("pack the catalog: %w", err)
		}
		file, err := w.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate})
		if err != nil {
			return nil, fmt.Errorf("pack %s: %w", name, err)
		}
		if _, err := file.Write(text); err != nil {
			return nil, fmt.Errorf("pack %s: %w", name, err)
		}
	}
	if err := w.Close(); err != nil {
		return nil, fmt.Errorf("pack the catalog: %w", err)
	}
	return packed.Bytes(), nil
}

// PackPlain packs the plain files of a catalog, whatever folder or workbook it comes
// in. A catalog with faults gives catalog.Faults.
func PackPlain(folder fs.FS) ([]byte, error) {
	plain, err := catalog.Plain(folder)
	if err != nil {
		return nil, err
	}
	return Pack(plain)
}

// Unpack gives the folder that was packed, for catalog.Read.
func Unpack(packed []byte) (fs.FS, error) {
	folder, err := zip.NewReader(bytes.NewReader(packed), int64(len(packed)))
	if err != nil {
		return nil, fmt.Errorf("unpack the catalog: %w", err)
	}
	return folder, nil
}

// errOtherFiles tells that a service was given a catalog and the files of another.
var errOtherFiles = errors.New("the catalog's files are not those that it was read from")

// readBack reads packed files as the revision that they must be.
func readBack(packed []byte, revision string) (*catalog.Catalog, error) {
	folder, err := Unpack(packed)
	if err != nil {
		return nil, err
	}
	read, err := catalog.Read(folder)
	if err != nil {
		return nil, fmt.Errorf("read catalog %s back: %w", revision, err)
	}
	if read.Revision != revision {
		return nil, fmt.Errorf("catalog %s: %w", revision, errOtherFiles)
	}
	return read, nil
}

// absent is the store of a service that was made without one.
type absent struct{}

func (absent) View(context.Context, func(Reader) error) error   { return ErrNoStore }
func (absent) Update(context.Context, func(Writer) error) error { return ErrNoStore }
