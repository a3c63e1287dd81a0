package relational

import (
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"
)

// Session runs statements within one transaction of a database. Statements name
// their arguments $1, $2 and so on; a time.Time among them is an instant, which the
// database keeps to the microsecond. Errors come wrapped in those of quoting.
type Session interface {
	// Exec runs a statement and tells how many rows it wrote.
	Exec(statement string, arguments ...any) (int64, error)
	// Query calls each for every row of the answer; scan reads the row's columns.
	Query(each func(scan Scan) error, statement string, arguments ...any) error
}

// Scan reads the columns of a row, in their order.
type Scan func(columns ...any) error

// Transaction reads and writes quotes within one transaction of a database. It is
// a quoting.Writer and, where the database only reads, serves as a quoting.Reader.
type Transaction struct {
	session Session
	broken  error
	forgot  bool
}

// NewTransaction gives the reading and writing of quotes over a session, for as long
// as that lasts.
func NewTransaction(session Session) *Transaction { return &Transaction{session: session} }

// Err gives the first error that the database answered with. A transaction that has
// one must be undone: databases differ in what they keep of it.
func (t *Transaction) Err() error { return t.broken }

// Forgot tells that personal data was removed.
func (t *Transaction) Forgot() bool { return t.forgot }

// errText: no database keeps such a text.
var errText = errors.New("text with a zero byte or not in UTF-8")

// exec runs a statement. After the database failed once it runs none, because SQLite
// may have undone the transaction by itself and would keep what comes next.
func (t *Transaction) exec(statement string, arguments ...any) (int64, error) {
	if t.broken != nil {
		return 0, t.broken
	}
	if !storable(arguments) {
		t.broken = errText
		return 0, errText
	}
	rows, err := t.session.Exec(statement, prepared(arguments)...)
	t.broken = err
	return rows, err
}

// query reads rows. What asks by a text that cannot be stored finds nothing.
func (t *Transaction) query(each func(Scan) error, statement string, arguments ...any) error {
	if t.broken != nil {
		return t.broken
	}
	if !storable(arguments) {
		return nil
	}
	t.broken = t.session.Query(each, statement, prepared(arguments)...)
	return t.broken
}

// one reads the only row there can be, and tells whether it was there.
func (t *Transaction) one(columns []any, statement string, arguments ...any) (bool, error) {
	found := false
	err := t.query(func(scan Scan) error {
		found = true
		return scan(columns...)
	}, statement, arguments...)
	return found, err
}

// add runs an insertion that does nothing where the row is there already.
func (t *Transaction) add(exists error, statement string, arguments ...any) error {
	rows, err := t.exec(statement, arguments...)
	if err == nil && rows == 0 {
		return exists
	}
	return err
}

// storable tells that every text among the arguments can be stored.
func storable(arguments []any) bool {
	for _, a := range arguments {
		if s, ok := a.(string); ok && (!utf8.ValidString(s) || strings.ContainsRune(s, 0)) {
			return false
		}
	}
	return true
}

// prepared gives the arguments as databases take them: bytes that are none as an
// empty value and not as none at all.
func prepared(arguments []any) []any {
	for i, a := range arguments {
		if b, ok := a.([]byte); ok && b == nil {
			arguments[i] = []byte{}
		}
	}
	return arguments
}

// instant reads a time, which SQLite keeps as microseconds since 1970.
type instant struct{ to *time.Time }

// Scan implements sql.Scanner.
func (i instant) Scan(from any) error {
	switch v := from.(type) {
	case nil:
		*i.to = time.Time{}
	case int64:
		*i.to = time.UnixMicro(v).UTC()
	case time.Time:
		*i.to = v.UTC()
	default:
		return fmt.Errorf("a time is stored as %T", from)
	}
	return nil
}

// orNone gives a time as an argument, the zero time as none.
func orNone(t time.Time) any {
	if t.IsZero() {
		return nil
	}
	return t
}

// content reads bytes; empty ones come back as nil.
type content struct{ to *[]byte }

// Scan implements sql.Scanner.
func (c content) Scan(from any) error {
	b, ok := from.([]byte)
	if from != nil && !ok {
		return fmt.Errorf("bytes are stored as %T", from)
	}
	*c.to = nil
	if len(b) > 0 {
		*c.to = append([]byte(nil), b...) // a driver may use its own again
	}
	return nil
}
