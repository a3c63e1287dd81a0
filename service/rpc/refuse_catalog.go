package rpc

import (
	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/quoting"

	"google.golang.org/grpc/codes"
)

// unknownCatalog tells that no catalog of a revision is kept, or which digits are too
// few to tell.
func (p prose) unknownCatalog(e *quoting.UnknownCatalogError) error {
	message := p.Say("error.unknown_catalog", electrical.Name("revision", e.Revision))
	if e.Several {
		message = p.Say("error.several_catalogs", electrical.Name("revision", e.Revision))
	}
	return withDetails(codes.NotFound, message, infoOf(pb.ErrorReason_ERROR_REASON_UNKNOWN_CATALOG, map[string]string{"catalog_revision": e.Revision}))
}

// otherCatalog tells that others have imported meanwhile.
func (p prose) otherCatalog(e *quoting.CatalogChangedError) error {
	message := p.Say("error.catalog_changed", electrical.Name("in_force", shortRevision(e.InForce)))
	return withDetails(codes.Aborted, message, infoOf(pb.ErrorReason_ERROR_REASON_CATALOG_CHANGED, map[string]string{"catalog_revision": e.InForce, "expected_revision": e.Expected}))
}

// fixedCatalog says why nothing can be imported, and how it can.
func (p prose) fixedCatalog() error {
	return withDetails(codes.FailedPrecondition, p.Say("error.catalog_fixed"), infoOf(pb.ErrorReason_ERROR_REASON_CATALOG_FIXED, nil),
		precondition("CATALOG_NOT_NAMED", "catalog", p.Say("error.catalog_fixed_mend")))
}

// shownDigits is how much of a revision people are shown: more than any shop's
// revisions need to be told apart.
const shownDigits = 12

func shortRevision(revision string) string { return revision[:min(len(revision), shownDigits)] }
