package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
)

// pieceBytes is how much of a file goes into one message: well below what a server
// receives at a time.
const pieceBytes = 256 << 10

// catalogFiles lists the files of a catalog: those of a folder that a catalog may
// hold, or a workbook with the YAML files beside it.
func catalogFiles(path string) ([]string, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, misuse("a folder with the catalog's files, or a workbook (.xlsx)", "%s: there is no such folder or file", path)
	}
	folder, workbook := path, ""
	if !info.IsDir() {
		if !strings.EqualFold(filepath.Ext(path), ".xlsx") {
			return nil, misuse("a folder with the catalog's files, or a workbook (.xlsx)", "%s is neither a folder nor a workbook", path)
		}
		folder, workbook = filepath.Dir(path), filepath.Base(path)
	}
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, &failure{code: Failed, err: fmt.Errorf("list the catalog: %w", err)}
	}
	var files []string
	for _, e := range entries {
		if !e.IsDir() && belongs(e.Name(), workbook) {
			files = append(files, filepath.Join(folder, e.Name()))
		}
	}
	if len(files) == 0 {
		return nil, misuse("the folder that holds shop.yaml and the files beside it", "%s holds no file of a catalog", path)
	}
	return files, nil
}

// belongs tells that a file is sent: tables and YAML, and of a named workbook's
// folder only that workbook and YAML. Programs leave hidden and lock files behind.
func belongs(name, workbook string) bool {
	if strings.HasPrefix(name, ".") || strings.HasPrefix(name, "~$") {
		return false
	}
	extension := strings.ToLower(filepath.Ext(name))
	switch {
	case name == workbook:
		return true
	case workbook != "":
		return extension == ".yaml" || extension == ".yml"
	}
	return slices.Contains([]string{".csv", ".yaml", ".yml", ".xlsx"}, extension)
}

// sendFiles sends files in pieces. An error of the stream itself is told by the
// reply, so sending just ends there.
func sendFiles(files []string, send func(*lugbookv1.CatalogPiece) error) error {
	for _, path := range files {
		if err := sendFile(path, send); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
	}
	return nil
}

func sendFile(path string, send func(*lugbookv1.CatalogPiece) error) error {
	file, err := os.Open(path)
	if err != nil {
		return &failure{code: Failed, err: fmt.Errorf("read the catalog: %w", err)}
	}
	defer func() { _ = file.Close() }() // it was only read
	if err := send(&lugbookv1.CatalogPiece{FileName: filepath.Base(path)}); err != nil {
		return err
	}
	for {
		piece := make([]byte, pieceBytes)
		n, err := file.Read(piece)
		if n > 0 {
			if err := send(&lugbookv1.CatalogPiece{Data: piece[:n]}); err != nil {
				return err
			}
		}
		switch {
		case errors.Is(err, io.EOF):
			return nil
		case err != nil:
			return &failure{code: Failed, err: fmt.Errorf("read the catalog: %w", err)}
		}
	}
}
