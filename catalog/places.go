package catalog

// places finds the field of a column. The reader of a table asks for the same columns in
// the same order row by row, so what it asked of the last row is tried first.
type places struct {
	fields map[string]int // by column; those that the file lacks are not there
	asked  []asked
	next   int
}

// asked is a column that was asked for, and its field; -1 where the file lacks it.
type asked struct {
	name  string
	field int
}

// begin tells that another row is read.
func (p *places) begin() { p.next = 0 }

// of gives the field of a column, counted from 0; false where the file lacks it.
func (p *places) of(name string) (int, bool) {
	n := p.next
	p.next++
	if n < len(p.asked) && p.asked[n].name == name {
		return p.asked[n].field, p.asked[n].field >= 0
	}
	field, ok := p.fields[name]
	if !ok {
		field = -1
	}
	if n < len(p.asked) {
		p.asked[n] = asked{name, field}
	} else {
		p.asked = append(p.asked, asked{name, field})
	}
	return field, ok
}
