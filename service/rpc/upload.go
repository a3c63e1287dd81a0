package rpc

import (
	"strings"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
)

// Bounds on a catalog that is sent (own choice): the largest file is the largest
// that reading takes, and all of them together stay within the memory of a small
// server.
const (
	mib           = 1 << 20
	maxUploadFile = 64
	maxUpload     = 256 // MiB
	maxUploadDocs = 64
	maxFileName   = 100
)

// upload puts the pieces of a catalog together again.
type upload struct {
	folder catalog.Folder
	last   string
	size   int
}

// add takes the next piece; a piece that does not belong gives violations.
func (u *upload) add(piece *pb.CatalogPiece) design.Violations {
	in := &intake{}
	switch name := piece.GetFileName(); {
	case name == "" && u.last == "":
		in.fault("piece.file_name", "upload_first")
	case name != "":
		u.open(in, name)
	}
	if len(in.bad) > 0 {
		return in.bad
	}
	u.size += len(piece.GetData())
	u.folder[u.last] = append(u.folder[u.last], piece.GetData()...)
	switch {
	case len(u.folder[u.last]) > maxUploadFile*mib:
		in.fault("piece.data", "upload_size", electrical.Name("upload", u.last), electrical.Num("most", maxUploadFile, electrical.UnitCount))
	case u.size > maxUpload*mib:
		in.fault("piece.data", "upload_size", electrical.Name("upload", "The catalog"), electrical.Num("most", maxUpload, electrical.UnitCount))
	}
	return in.bad
}

// open begins a file.
func (u *upload) open(in *intake, name string) {
	_, twice := u.folder[name]
	switch {
	case twice || len(name) > maxFileName || strings.ContainsAny(name, `/\`) || name == "." || name == "..":
		in.fault("piece.file_name", "upload_name", electrical.Name("given", name), electrical.Num("most", maxFileName, electrical.UnitCount))
		return
	case len(u.folder) >= maxUploadDocs:
		in.fault("piece.file_name", "upload_files", electrical.Num("most", maxUploadDocs, electrical.UnitCount))
		return
	}
	u.last = name
	u.folder[name] = []byte{}
}
