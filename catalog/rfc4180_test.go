package catalog_test

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"
	"testing/fstest"

	"example.com/lugbook/catalog"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sundries gives the minimal folder with a table of sundries of one's own.
func sundries(t testing.TB, text string) fstest.MapFS {
	t.Helper()
	folder := minimal(t)
	folder["sundries.csv"] = &fstest.MapFile{Data: []byte(text)}
	return folder
}

// TestRFC4180 goes through section 2 of RFC 4180, rule by rule.
func TestRFC4180(t *testing.T) {
	const header = "sku,description,price,sold_by,use\n"
	for _, c := range []struct {
		name, text string
		want       []string // the descriptions
		wantErr    string
	}{
		{"2.1 each record on a line", header + "A,one,1,each,clamp\nB,two,1,each,clamp\n", []string{"one", "two"}, ""},
		{"2.1 with CRLF", "sku,description,price,sold_by,use\r\nA,one,1,each,clamp\r\nB,two,1,each,clamp\r\n", []string{"one", "two"}, ""},
		{"2.2 the last without a line end", header + "A,one,1,each,clamp", []string{"one"}, ""},
		{"2.2 the last with half of one", header + "A,one,1,each,clamp\r", []string{"one"}, ""},
		{"2.4 spaces around a cell are dropped", header + "A, one ,1,each,clamp\n", []string{"one"}, ""},
		{"2.4 another number of cells", header + "A,one,1,each\n", nil, "sundries.csv:2:5: use: the cell is empty"},
		{"2.5 cells in quotes", header + `"A","one","1","each","clamp"` + "\n", []string{"one"}, ""},
		{"2.5 the last cell in quotes, CRLF", header + `A,one,1,each,"clamp"` + "\r\nB,two,1,each,clamp\r\n", []string{"one", "two"}, ""},
		{"2.5 an empty cell in quotes", header + `A,one,1,each,clamp` + "\n" + `B,"",1,each,clamp` + "\n", nil, "sundries.csv:3:2: description: the cell is empty"},
		{"2.5 a quote sign in a bare cell", header + `A,5/16" stud,1,each,clamp` + "\n", nil, "sundries.csv:2:2: quote sign inside a cell that is not quoted"},
		{"2.6 a comma in quotes", header + `A,"one, red",1,each,clamp` + "\n", []string{"one, red"}, ""},
		{"2.6 a line break in quotes", header + "A,\"one\nred\",1,each,clamp\nB,two,-1,each,clamp\n", nil,
			"sundries.csv:2:2: the cell holds a line break or another control character\nsundries.csv:4:3: price: -1 is out of range"},
		{"2.7 doubled quote signs", header + `A,"5/16"" stud",1,each,clamp` + "\n" + `B,"""M8""",1,each,clamp` + "\n", []string{`5/16" stud`, `"M8"`}, ""},
		{"2.7 one that is not doubled", header + `A,"5/16" stud",1,each,clamp` + "\n", nil, "sundries.csv:2:2: quoted cell that does not end where the next begins"},
		{"2.7 one that never ends", header + "A,one,1,each,clamp\n" + `B,"two,1,each,clamp` + "\n", nil, "sundries.csv:3:2: quoted cell that does not end where the next begins"},
		{"empty lines count as lines", header + "\n\r\nA,one,0,each,clamp\n", nil, "sundries.csv:4:3: price: 0 is out of range"},
		{"a semicolon in a cell", header + "A,one; two,1,each,clamp\n", []string{"one; two"}, ""},
		{"byte-order mark", "\ufeff" + header + "A,one,1,each,clamp\n", []string{"one"}, ""},
		{"semicolons", strings.ReplaceAll(header, ",", ";") + `A;one, red;1;each;clamp` + "\n", []string{"one, red"}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.wantErr != "" {
				var places []string
				for _, fault := range faultsOf(t, sundries(t, c.text)) {
					fault.Allowed = ""
					places = append(places, fault.Error())
				}
				assert.Equal(t, c.wantErr, strings.Join(places, "\n"))
				return
			}
			assert.Equal(t, c.want, descriptions(read(t, sundries(t, c.text))))
		})
	}
}

func descriptions(c *catalog.Catalog) []string {
	var all []string
	for i := range c.Sundries {
		all = append(all, c.Sundries[i].Description)
	}
	return all
}

// FuzzCells holds the cells of any table that is read against those that encoding/csv
// finds in it.
func FuzzCells(f *testing.F) {
	const header = "sku,description,price,sold_by,use\n"
	f.Add("A,one,1,each,clamp\n")
	f.Add("A,\"5/16\"\" stud\",1,each,clamp\r\n\r\nB,\"one, red\",1,each,\"clamp\"")
	f.Add("A,\"one\n\",1,each,clamp\nB,two,1,each,clamp\n")
	f.Fuzz(func(t *testing.T, rows string) {
		c, err := catalog.Read(sundries(t, header+rows))
		if err != nil {
			return
		}
		r := csv.NewReader(bytes.NewReader([]byte(header + rows)))
		r.FieldsPerRecord = -1
		all, err := r.ReadAll()
		require.NoError(t, err)
		want := map[string]string{}
		for _, record := range all[1:] {
			if strings.TrimSpace(strings.Join(record, "")) != "" {
				want[strings.TrimSpace(record[0])] = strings.TrimSpace(record[1])
			}
		}
		got := map[string]string{}
		for i := range c.Sundries {
			got[c.Sundries[i].SKU] = c.Sundries[i].Description
		}
		require.Equal(t, want, got)
	})
}
