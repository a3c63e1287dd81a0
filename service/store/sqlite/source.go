package sqlite

import (
	"fmt"
	"net/url"
	"strings"
	"time"
)

// patience is how long a connection waits for a lock that another program holds on
// the file, such as a writer in the midst of its transaction. Own choice: far more
// than any of our transactions takes, less than a caller's patience.
const patience = 5 * time.Second

// opening is how a connection is opened.
type opening int

// The ways.
const (
	toWrite opening = iota
	toRead
	// toCopy reads too, and may write another file.
	toCopy
	// fromReadOnly is for a file that cannot be written.
	fromReadOnly
	// fromMedium is for a file that nobody can write, in a folder that nobody can
	// write: SQLite then takes no locks and needs no files beside it.
	fromMedium
)

// source gives the data source name of a file. The pragmas stand in it so that
// every connection of a pool has them; they are run in their order.
func source(path string, as opening) string {
	pragmas := []string{
		// First, so that those that follow wait for a lock too.
		fmt.Sprintf("busy_timeout(%d)", patience.Milliseconds()),
		// The file refers to itself: no revision without its quote.
		"foreign_keys(ON)",
		// What is deleted is overwritten with zeros, so that a customer who was
		// forgotten is not in the file's free pages.
		"secure_delete(ON)",
		// Tables and views are ours, but the file might have passed through other
		// hands: functions with side effects are not run from its schema.
		"trusted_schema(OFF)",
	}
	switch as {
	case toWrite:
		pragmas = append(pragmas,
			// Readers go on while one writes, and a commit is one sync, of the log.
			"journal_mode(WAL)",
			// The log is synced with every commit: what was acknowledged survives a
			// loss of power. With NORMAL the last commits could be lost.
			"synchronous(FULL)",
		)
	case toRead:
		// A connection that is there to read refuses to write.
		pragmas = append(pragmas, "query_only(ON)")
	case toCopy, fromReadOnly, fromMedium:
	}
	values := url.Values{"_pragma": pragmas, "_dqs": {"0"}} // "x" is a name and never a text
	switch as {
	case toWrite:
		// A transaction takes the lock for writing at its start. One that read first
		// could be refused it in its midst, when another has written.
		values.Set("_txlock", "immediate")
	case fromReadOnly:
		values.Set("mode", "ro")
	case fromMedium:
		values.Set("mode", "ro")
		values.Set("immutable", "1")
	}
	return "file:" + escaped(path) + "?" + values.Encode()
}

// escaped spells a path as the path of a URI, in which these have a meaning.
func escaped(path string) string {
	return strings.NewReplacer("%", "%25", "?", "%3f", "#", "%23").Replace(path)
}
