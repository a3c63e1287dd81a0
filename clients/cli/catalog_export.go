package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
	"google.golang.org/grpc"
)

// exportCatalogCommand makes "lugbook catalog export".
func exportCatalogCommand(s *session) *cobra.Command {
	var revision string
	var replace bool
	cmd := &cobra.Command{
		Use:   "export FOLDER",
		Short: "Write a catalog's files into a folder",
		Long: "Export writes the catalog in force, or the one that --revision names, as CSV and YAML files\n" +
			"that import to the same revision. The folder is made, or may be there and empty; with\n" +
			"--replace the files of a catalog in it are replaced.",
		Example: "  lugbook catalog export my-catalog\n" +
			"  lugbook catalog export last-spring --revision 3f2a90bc11d4",
		Args: oneCatalog,
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			return exportCatalog(cmd.Context(), s, args[0], revision, replace)
		}),
	}
	addRevision(s, cmd, &revision)
	cmd.Flags().BoolVar(&replace, "replace", false, "replace the files of a catalog that are in the folder")
	return cmd
}

// ownerOnly is who may look into folders that are made: what the shop pays for its parts
// is in them.
const ownerOnly = 0o700

func exportCatalog(ctx context.Context, s *session, folder, revision string, replace bool) error {
	if err := mayWrite(folder, replace); err != nil {
		return err
	}
	conn, done, err := s.connect(ctx)
	if err != nil {
		return err
	}
	defer done()
	ctx, cancel := context.WithCancel(ctx) // a folder that cannot be written breaks the stream off
	defer cancel()
	stream, err := lugbookv1.NewCatalogServiceClient(conn).ExportCatalog(ctx, &lugbookv1.ExportCatalogRequest{CatalogRevision: revision})
	if err != nil {
		return s.callFault(err, placeInFlags(revisionFlagOf))
	}
	// A folder beside the one that is meant takes the files until they are all there.
	if err := os.MkdirAll(filepath.Dir(filepath.Clean(folder)), ownerOnly); err != nil {
		return folderFault(err)
	}
	draft, err := os.MkdirTemp(filepath.Dir(filepath.Clean(folder)), ".export-*")
	if err != nil {
		return folderFault(err)
	}
	defer func() { _ = os.RemoveAll(draft) }() // what is left of it is of no use to anybody
	about, err := s.download(stream, draft)
	if err != nil {
		return err
	}
	if err := put(draft, folder, replace); err != nil {
		return folderFault(err)
	}
	return s.show(about, func(p *page.Page) {
		p.Text(0, fmt.Sprintf("%d files in %s; revision %s", about.GetFileCount(), folder, shortRevision(about.GetCatalogRevision())))
	})
}

// mayWrite refuses a folder with something in it, unless files are to be replaced there.
// A workbook beside the tables would count as well.
func mayWrite(folder string, replace bool) error {
	entries, err := os.ReadDir(folder)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil
	case err != nil:
		return misuse("name a folder, or a new one", "%s is no folder that can be read", folder)
	case len(entries) > 0 && !replace:
		return misuse("name a new folder, or give --replace to replace the files of a catalog in it", "%s is not empty", folder)
	}
	for _, e := range entries {
		if strings.EqualFold(filepath.Ext(e.Name()), ".xlsx") {
			return misuse("name another folder", "%s holds a workbook, %s, which would be read beside the files", folder, e.Name())
		}
	}
	return nil
}

// download writes the files that come into a folder, and sees that all of them came.
func (s *session) download(stream grpc.ServerStreamingClient[lugbookv1.ExportCatalogResponse], folder string) (*lugbookv1.ExportedCatalog, error) {
	about := &lugbookv1.ExportedCatalog{}
	var (
		file  *os.File
		size  int64
		count int32
	)
	shut := func() error {
		if file == nil {
			return nil
		}
		err := errors.Join(file.Sync(), file.Close())
		file = nil
		return err
	}
	defer func() { _ = shut() }() // where all went well it is shut already
	for {
		r, err := stream.Recv()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, s.callFault(err, placeInFlags(revisionFlagOf))
		}
		if c := r.GetCatalog(); c != nil {
			about = c
			continue
		}
		piece := r.GetPiece()
		if name := piece.GetFileName(); name != "" {
			if name != filepath.Base(name) || strings.HasPrefix(name, ".") {
				return nil, &failure{code: Failed, err: fmt.Errorf("the server sent a file named %q", name)}
			}
			if err := shut(); err != nil {
				return nil, folderFault(err)
			}
			if file, err = os.OpenFile(filepath.Join(folder, name), os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600); err != nil {
				return nil, folderFault(err)
			}
			count++
		}
		if file == nil {
			return nil, &failure{code: Failed, err: errors.New("the server sent a piece of no file")}
		}
		if _, err := file.Write(piece.GetData()); err != nil {
			return nil, folderFault(err)
		}
		size += int64(len(piece.GetData()))
	}
	if err := shut(); err != nil {
		return nil, folderFault(err)
	}
	if size != about.GetSizeBytes() || count != about.GetFileCount() {
		return nil, &failure{code: Failed, err: errors.New("the catalog did not come whole"), hint: "export it again"}
	}
	return about, nil
}

// put moves a folder with the files to its place, as a whole where nothing is there.
func put(draft, folder string, replace bool) error {
	if !replace {
		if err := os.Remove(folder); err != nil && !errors.Is(err, os.ErrNotExist) { // an empty one
			return err
		}
		return os.Rename(draft, folder)
	}
	if err := os.MkdirAll(folder, ownerOnly); err != nil {
		return err
	}
	entries, err := os.ReadDir(draft)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if err := os.Rename(filepath.Join(draft, e.Name()), filepath.Join(folder, e.Name())); err != nil {
			return err
		}
	}
	return nil
}

func folderFault(err error) error {
	return &failure{code: Failed, err: fmt.Errorf("write the catalog: %w", err), hint: "name a folder that can be written to"}
}
