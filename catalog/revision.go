package catalog

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"hash"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// encoding names how a revision is computed; a change of it changes every hash.
const encoding = "catalog revision 1"

type sum = [sha256.Size]byte

// digest is the content of one file, whatever the way it is written: rows and
// vehicles in any order, columns and keys in any order, and neither quotes nor
// line ends nor comments count.
type digest struct {
	file string
	rows []sum
	text []byte // of the row at hand, kept for the next
}

// row adds a row: its cells in the order of the layout, empty ones included, so
// that an optional column left out counts as one left empty.
func (d *digest) row(r *row) {
	text := d.text[:0]
	for i, c := range r.columns {
		cell := ""
		if field := r.fields[i]; field >= 0 && field < len(r.cells) {
			cell = r.cells[field]
		}
		if c.later && cell == "" {
			continue
		}
		text = appendText(appendText(text, c.name), cell)
	}
	d.text = text
	d.rows = append(d.rows, sha256.Sum256(text))
}

// appendText is put for a row that is hashed at once.
func appendText(to []byte, text string) []byte {
	return append(binary.BigEndian.AppendUint64(to, uint64(len(text))), text...)
}

// document adds a YAML file: the items of a top-level list one by one, since
// their order means nothing, or else the whole.
func (d *digest) document(root *yaml.Node) {
	for i := 0; i+1 < len(root.Content) && root.Kind == yaml.MappingNode; i += 2 {
		key, value := root.Content[i].Value, root.Content[i+1]
		if absent(value) || key == decimalSignKey {
			continue
		}
		if value.Kind != yaml.SequenceNode || key != "vehicles" {
			h := sha256.New()
			put(h, key)
			putNode(h, value)
			d.rows = append(d.rows, sum(h.Sum(nil)))
			continue
		}
		for _, item := range value.Content {
			h := sha256.New()
			put(h, key)
			putNode(h, item)
			d.rows = append(d.rows, sum(h.Sum(nil)))
		}
	}
}

// revision gives the hash of a folder's content in hexadecimal.
func revision(files []*found) string {
	files = slices.Clone(files)
	slices.SortFunc(files, func(a, b *found) int { return strings.Compare(a.name, b.name) })
	h := sha256.New()
	put(h, encoding)
	for _, file := range files {
		f := file.digest
		put(h, f.file)
		count(h, len(f.rows))
		sortSums(f.rows)
		for i := range f.rows {
			h.Write(f.rows[i][:])
		}
	}
	return hex.EncodeToString(h.Sum(nil))
}

// sortSums sorts by the bytes of the sums. Their first eight as a number tell nearly all
// apart.
func sortSums(rows []sum) {
	slices.SortFunc(rows, func(a, b sum) int {
		x, y := binary.BigEndian.Uint64(a[:]), binary.BigEndian.Uint64(b[:])
		if x != y {
			return cmp.Compare(x, y)
		}
		return bytes.Compare(a[:], b[:])
	})
}

// put writes a text with its length before it, so that no two rows of different
// cells read the same.
func put(h hash.Hash, text string) {
	count(h, len(text))
	h.Write([]byte(text))
}

func count(h hash.Hash, n int) {
	var b [8]byte
	binary.BigEndian.PutUint64(b[:], uint64(n))
	h.Write(b[:])
}

// putNode writes a value: a mapping with its keys sorted and without those that
// state nothing.
func putNode(h hash.Hash, n *yaml.Node) {
	switch n.Kind {
	case yaml.MappingNode:
		type pair struct {
			key   string
			value *yaml.Node
		}
		var pairs []pair
		for i := 0; i+1 < len(n.Content); i += 2 {
			if !absent(n.Content[i+1]) {
				pairs = append(pairs, pair{n.Content[i].Value, n.Content[i+1]})
			}
		}
		slices.SortStableFunc(pairs, func(a, b pair) int { return strings.Compare(a.key, b.key) })
		put(h, "map")
		count(h, len(pairs))
		for _, p := range pairs {
			put(h, p.key)
			putNode(h, p.value)
		}
	case yaml.SequenceNode:
		put(h, "list")
		count(h, len(n.Content))
		for _, item := range n.Content {
			putNode(h, item)
		}
	default:
		put(h, "value")
		put(h, strings.TrimSpace(n.Value))
	}
}
