package layers_test

import (
	"slices"
	"strings"
)

// layer is a folder and what it may import of the project.
type layer struct {
	folder string
	// may lists the folders it may import, with all below them.
	may []string
	// tests lists what its tests may import besides.
	tests []string
	// why says what the limit protects; it ends up in the failure.
	why string
	// pure tells that the layer reads no clock, disk, network or chance.
	pure bool
}

const (
	contract    = "api/lugbook/v1"
	quantities  = "api/quantity"
	electrical  = "service/electrical"
	shopCatalog = "catalog"
	demo        = "catalog/demo"
	termination = "service/termination"
	coverage    = "service/coverage"
	design      = "service/design"
	pricing     = "service/pricing"
	survey      = "service/survey"
	assistant   = "service/assistant"
	wording     = "service/wording"
	document    = "service/document"
	quoting     = "service/quoting"
	access      = "service/access"
	store       = "service/store"
	rpc         = "service/rpc"
)

// layers lists every folder that holds packages, lowest first. A package belongs
// to the longest folder that matches; one that belongs to none fails the test, so
// that a new folder is given its place here before anything is put into it.
var layers = []layer{
	{folder: contract, why: "the contract is generated and stands by itself"},
	{folder: quantities, pure: true, why: "quantities are the leaf that service and clients share"},
	{folder: electrical, may: []string{quantities}, pure: true, why: "the electrical rules are the bottom of the domain"},
	{folder: demo, tests: []string{shopCatalog, electrical, quantities}, why: "the invented shop is data"},
	{folder: shopCatalog, may: []string{quantities, electrical}, tests: []string{demo}, pure: true, why: "the catalog knows parts, not how they are used"},
	{folder: termination, may: []string{quantities, electrical, shopCatalog}, tests: []string{demo}, pure: true, why: "an end is planned without knowing the circuit"},
	{folder: coverage, may: []string{quantities, electrical, shopCatalog, termination}, tests: []string{demo}, pure: true, why: "what a catalog lacks is asked of how ends are made, not of one job"},
	{folder: design, may: []string{quantities, electrical, shopCatalog, termination}, tests: []string{demo}, pure: true, why: "a design does not know how it is priced, worded or sent"},
	{folder: pricing, may: []string{quantities, electrical, shopCatalog, termination, design}, tests: []string{demo}, pure: true, why: "a price does not know how it is worded or sent"},
	{folder: survey, may: []string{quantities, electrical, shopCatalog, termination, design, pricing}, tests: []string{demo}, pure: true, why: "a finding does not know how it is worded or sent"},
	{folder: assistant, may: []string{quantities, electrical, shopCatalog, termination, design, pricing, survey, wording}, tests: []string{demo}, pure: true, why: "an answer comes from the domain alone"},
	{folder: wording, may: []string{quantities, electrical}, pure: true, why: "sentences are made from codes and figures, whoever returned them"},
	{folder: document, may: []string{quantities, electrical, shopCatalog, termination, design, pricing, survey, wording}, tests: []string{demo}, pure: true, why: "a document renders what the domain returned"},
	{folder: quoting, may: []string{quantities, electrical, shopCatalog, termination, coverage, design, pricing, survey, assistant, wording, document}, tests: []string{demo}, why: "use cases know neither transport nor store"},
	{folder: access, may: []string{quoting}, why: "who calls is known without knowing the transport"},
	{folder: store, may: []string{quoting}, why: "a store keeps opaque bytes; it knows neither the contract nor the handlers"},
	{folder: rpc, may: []string{"api", shopCatalog, electrical, termination, coverage, design, pricing, survey, assistant, wording, document, quoting, access}, tests: []string{demo}, why: "handlers reach the store only through the use cases"},
	{folder: "clients", may: []string{"api", "clients"}, why: "a client knows the contract and nothing of service or catalog"},
	{folder: "cmd/internal/layers", why: "these are tests of the tree"},
	{folder: "cmd/internal/storage", may: []string{quoting, store}, why: "opening a store needs nothing else"},
	{folder: "cmd", may: []string{"api", shopCatalog, demo, "service", "clients", "cmd/internal"}, why: "programs wire; nothing imports them"},
}

// layerOf gives the layer of a folder: the longest that holds it.
func layerOf(folder string) (layer, bool) {
	best, found := layer{}, false
	for _, l := range layers {
		if within(folder, l.folder) && len(l.folder) >= len(best.folder) {
			best, found = l, true
		}
	}
	return best, found
}

// within tells that a folder is another, or lies below it.
func within(folder, other string) bool {
	return folder == other || strings.HasPrefix(folder, other+"/")
}

// wrong says what is wrong with an import between two folders of the project;
// empty where nothing is.
func wrong(from, to string, byTest bool) string {
	l, ok := layerOf(from)
	if !ok {
		return from + " belongs to no layer: give it a place in rules_test.go"
	}
	if _, ok := layerOf(to); !ok {
		return to + " belongs to no layer: give it a place in rules_test.go"
	}
	allowed := slices.Concat([]string{l.folder}, l.may)
	if byTest {
		allowed = append(allowed, l.tests...)
	}
	for _, folder := range allowed {
		// The invented shop lies in the catalog's folder but has to be named.
		if within(to, folder) && (folder == demo || !within(to, demo)) {
			return ""
		}
	}
	return from + " must not import " + to + ": " + l.why
}

// impure are the packages that a pure layer must do without: there it would no
// longer hold that the same input gives the same output.
var impure = []string{"crypto/rand", "database/sql", "math/rand", "math/rand/v2", "net", "net/http", "os", "os/exec", "syscall", "google.golang.org/grpc"}

// vague are package names that say where code was put, not what it is for.
var vague = []string{"base", "common", "helper", "helpers", "misc", "shared", "types", "util", "utils"}

// topLevel is every entry that may stand at the top, beside dot-files and what
// .gitignore names.
var topLevel = []string{"DEVELOPERS.md", "LICENSE", "README.md", "api", "buf.yaml", "catalog", "clients", "cmd", "deploy", "docs", "go.mod", "go.sum", "service"}
