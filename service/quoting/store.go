package quoting

import (
	"context"
	"errors"
	"time"
)

// What a store can answer with, to be told apart by errors.Is. A store wraps its
// driver's error in one of these; anything else is a fault of the program.
var (
	// ErrNotFound: there is no such thing.
	ErrNotFound = errors.New("not found")
	// ErrExists: what was to be added is there already.
	ErrExists = errors.New("exists already")
	// ErrStale: it was changed since it was read.
	ErrStale = errors.New("changed meanwhile")
	// ErrUnavailable: the store cannot be reached or is too busy just now; trying
	// again later is safe and may help.
	ErrUnavailable = errors.New("store unavailable")
	// ErrFull: there is no room left; what was stored before is intact.
	ErrFull = errors.New("store full")
	// ErrReadOnly: the store may be read and not written.
	ErrReadOnly = errors.New("store read-only")
	// ErrUnusable: the store cannot be opened where it is said to be; somebody has to
	// see to that place before trying again helps.
	ErrUnusable = errors.New("store unusable")
	// ErrNewer: the store was written by a newer version of the program.
	ErrNewer = errors.New("store of a newer version")
)

// Store keeps quotes for ever. It treats snapshots, jobs, personal data and
// documents as opaque bytes. Every method is safe for concurrent use. Times come
// back in UTC, cut to the microsecond; empty bytes and lists come back as nil. Texts are
// UTF-8 without zero bytes: others cannot be stored and are found nowhere.
type Store interface {
	// View runs do on one consistent state of the store.
	View(ctx context.Context, do func(Reader) error) error
	// Update runs do in one transaction: what it wrote is durable when Update
	// returns nil, and undone otherwise. Transactions have the same effect as if
	// they ran one after another. do may run more than once and must not do
	// anything outside of its transaction. After ErrNotFound, ErrExists and ErrStale do
	// may go on; after any other error of a Writer everything is undone, whatever do
	// returns. What belongs to a quote may be written before it: where at the end a
	// revision or event has no quote, or a document no revision, it is ErrNotFound.
	Update(ctx context.Context, do func(Writer) error) error
}

// Unmade is a store that may not have been made yet. What has nothing to write and
// could do without it leaves it alone as long as it is absent, so that a command which
// needs no store leaves none behind.
type Unmade interface {
	// Absent tells that there is nothing in the store yet, and that opening it would
	// make it.
	Absent() bool
}

// Reader reads one consistent state of the store.
type Reader interface {
	TokenReader
	// Head gives a quote as it stands. ErrNotFound.
	Head(number string) (Head, error)
	// Numbered gives the number that belongs to a running number. ErrNotFound.
	Numbered(running int64) (string, error)
	// Heads lists quotes by descending running number. Of a word as much as 200
	// characters is compared.
	Heads(Filter) ([]Head, error)
	// Revision gives one revision of a quote. ErrNotFound.
	Revision(number string, revision int) (Revision, error)
	// Events lists what was done to a quote, the oldest first.
	Events(number string) ([]Event, error)
	// Document gives a document that was issued. ErrNotFound.
	Document(number string, revision int, kind string) (Document, error)
	// Deed gives what was done for a request id of a caller. ErrNotFound.
	Deed(caller, requestID string) (Done, error)
	// Stock gives the stock of a part. A part that was never counted nor reserved
	// has the zero Stock.
	Stock(sku string) (Stock, error)
	// Stocks lists the stock of parts that were ever counted or reserved, by SKU: of
	// those named, or of all for nil.
	Stocks(skus []string) ([]Balance, error)
	// Reserved lists what is set aside for a quote, by SKU: for each part that is
	// reserved more than released SKU, Reserve, the difference and Number, and nothing
	// else of a Movement.
	Reserved(number string) ([]Movement, error)
	// Catalog gives a stored revision of the catalog. ErrNotFound.
	Catalog(revision string) (CatalogRevision, error)
	// Catalogs lists the stored revisions without their files, the newest first.
	Catalogs() ([]CatalogRevision, error)
	// CatalogInForce gives the revision last put in force. ErrNotFound.
	CatalogInForce() (string, error)
}

// Writer reads and writes within one transaction.
type Writer interface {
	Reader
	TokenWriter
	// NextRunning gives the next running number of quotes, from 1. Those of
	// transactions that were undone are given again.
	NextRunning() (int64, error)
	// AddQuote stores the head of a new quote. ErrExists.
	AddQuote(Head) error
	// SetQuote replaces a head whose Version is one less than the given one's; Number
	// and Running stay. ErrStale, ErrNotFound.
	SetQuote(Head) error
	// AddRevision stores a revision. ErrExists.
	AddRevision(Revision) error
	// AddEvent appends to what was done to a quote.
	AddEvent(Event) error
	// AddDocument stores a document. ErrExists.
	AddDocument(Document) error
	// AddDeed remembers what was done for a request id. ErrExists.
	AddDeed(Done) error
	// Forget removes personal data from a quote: Head.Customer and the words from it,
	// Revision.Personal, Event.Reason and every document. It sets Head.EraseTime and
	// leaves Head.Version. ErrNotFound.
	Forget(number string, at time.Time) error
	// Move appends to the ledger of a part's stock and keeps its balance.
	Move(Movement) error
	// AddCatalog stores a revision of the catalog. ErrExists.
	AddCatalog(CatalogRevision) error
	// PutCatalogInForce names the revision to work by from now on. ErrNotFound.
	PutCatalogInForce(revision string) error
}

// State is where a stored quote stands. That an open quote has expired follows
// from its ValidUntil and the clock, and is not stored.
type State string

// The states.
const (
	Open      State = "open"
	Accepted  State = "accepted"
	Declined  State = "declined"
	Withdrawn State = "withdrawn"
)

// Head is what is known of a quote beside its revisions: what changes in its life
// and what it is found by.
type Head struct {
	Number       string // such as "2026-00017", unique
	Running      int64  // position in the order of making, from 1, unique
	Revision     int    // the latest, from 1
	State        State
	Version      int64 // 1 when made, one more with every change
	Customer     Contact
	VehicleID    string
	VehicleLabel string
	VehicleWords []string // folded words of VehicleID and VehicleLabel, each once
	Total        string   // exact decimal
	Currency     string   // ISO 4217
	CreateTime   time.Time
	UpdateTime   time.Time
	ValidUntil   time.Time
	// EraseTime is when the customer's data was removed; zero where it was not.
	EraseTime time.Time
	// Words are folded words that the quote is found by beside those of customer and
	// vehicle: its number and equipment, each once.
	Words []string
}

// Contact is what a quote shows and finds of its customer.
type Contact struct {
	Name, Phone, Email, Reference string
	// Words are the folded words of the above, each once.
	Words []string
}

// Filter is which quotes to list. A word matches where a word of the quote begins
// with it; all must match.
type Filter struct {
	States        []StateAt // any of these; empty means every state
	Customer      []string  // folded words to find in Contact.Words
	Vehicle       []string  // folded words to find in Head.VehicleWords
	Text          []string  // folded words to find in any
	From, Before  time.Time // CreateTime, From included and Before not; zero means no limit
	BeforeRunning int64     // only quotes with a lower running number; 0 means all
	Limit         int       // at most so many, 1 and up
}

// StateAt is a stored state, and for open quotes a limit of ValidUntil.
type StateAt struct {
	State State
	// ValidFrom and ValidBefore bound ValidUntil, ValidFrom included and ValidBefore
	// not; zero means no limit.
	ValidFrom, ValidBefore time.Time
}

// Revision is what was given out once, and never changes but for being forgotten.
type Revision struct {
	Number     string
	Revision   int // from 1
	CreateTime time.Time
	// Format tells how Snapshot, Job and Personal are to be read.
	Format int
	// Snapshot is the whole reply, without personal data and without what Head holds.
	Snapshot []byte
	// Job is what was asked for, without personal data.
	Job []byte
	// Personal is the customer and the remarks; empty once forgotten.
	Personal        []byte
	RulesVersion    string
	CatalogRevision string
	Language        string // BCP 47
	TimeZone        string // IANA name
}

// Deed is what can be done to a quote.
type Deed string

// The deeds.
const (
	DeedCreated   Deed = "created"
	DeedRevised   Deed = "revised"
	DeedAccepted  Deed = "accepted"
	DeedDeclined  Deed = "declined"
	DeedWithdrawn Deed = "withdrawn"
	DeedErased    Deed = "erased"
)

// Event is one deed done to a quote. Events of a quote keep the order in which
// they were added, whatever their times say.
type Event struct {
	Number   string
	Revision int
	Time     time.Time
	Deed     Deed
	Caller   string // who, as the service knows the caller
	Staff    string // who, as the caller says
	Reason   string
}

// Document is what was issued for a revision of a quote.
type Document struct {
	Number     string
	Revision   int
	Kind       string // which document of the revision, unique within it
	MediaType  string
	CreateTime time.Time
	Bytes      []byte
}

// Done is what was done for a request id: enough to answer the same request again
// with the same reply.
type Done struct {
	Caller    string
	RequestID string // unique for the caller
	Sum       []byte // of the request, to tell another request with the same id
	Number    string
	Revision  int
	State     State
	Version   int64
	Time      time.Time
}

// Thousandths is a quantity of stock in thousandths of its unit.
type Thousandths int64

// MovementKind is why stock changes.
type MovementKind string

// The kinds of movement.
const (
	// Counted sets what is on hand to the quantity.
	Counted MovementKind = "counted"
	// Received adds to what is on hand.
	Received MovementKind = "received"
	// Reserve sets aside for a quote.
	Reserve MovementKind = "reserved"
	// Release frees what was set aside for a quote.
	Release MovementKind = "released"
)

// Movement is one entry of the stock ledger.
type Movement struct {
	SKU      string
	Kind     MovementKind
	Quantity Thousandths // 0 and up
	Number   string      // of the quote, for Reserve and Release
	Time     time.Time
	Caller   string
	Staff    string
	Note     string
}

// Stock is the balance of a part.
type Stock struct {
	Counted  bool // it was ever counted or received; else OnHand says nothing
	OnHand   Thousandths
	Reserved Thousandths
}

// Balance is the stock of one part among others.
type Balance struct {
	SKU string
	Stock
}

// CatalogRevision is a catalog as it was read once.
type CatalogRevision struct {
	Revision   string // content hash
	CreateTime time.Time
	Caller     string
	Note       string
	Files      []byte // the folder's files, packed; nil in lists
}
