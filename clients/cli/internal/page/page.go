package page

import "strings"

const (
	// Narrowest is the least width that is laid out for; below it lines would
	// hold single words.
	Narrowest = 40
	// gap parts columns, and a label from its value.
	gap = 2
)

// Page collects lines. New makes one.
type Page struct {
	width int
	b     strings.Builder
}

// New makes an empty page of the given width in columns, at least [Narrowest].
func New(width int) *Page { return &Page{width: max(width, Narrowest)} }

// String gives the page as it is, each line ended by a line feed and without
// space at its end.
func (p *Page) String() string { return p.b.String() }

// Blank leaves a line empty, but never two in a row and none at the top.
func (p *Page) Blank() {
	if text := p.b.String(); text != "" && !strings.HasSuffix(text, "\n\n") {
		p.b.WriteByte('\n')
	}
}

// Heading begins a section: a blank line and the title in capitals.
func (p *Page) Heading(title string) {
	p.Blank()
	p.Text(0, strings.ToUpper(title))
}

// Text writes a paragraph, each line indented.
func (p *Page) Text(indent int, text string) { p.Item(indent, "", 0, text) }

// Item writes a label and beside it a text, which wraps under itself. The label
// is padded to its width; a longer one pushes the first line of the text to the
// right, and a very long one stands above it.
func (p *Page) Item(indent int, label string, labelWidth int, text string) {
	label = Clean(label)
	hang := indent
	if labelWidth > 0 {
		hang += labelWidth + gap
	}
	first := strings.Repeat(" ", indent) + pad(label, hang-indent)
	if Width(first) <= hang {
		p.lines(first, hang, wrap(text, p.width-hang))
		return
	}
	first += strings.Repeat(" ", gap)
	if Width(first) > p.width/2 { // no room beside it worth having
		p.Text(indent, label)
		p.lines(strings.Repeat(" ", hang), hang, wrap(text, p.width-hang))
		return
	}
	p.lines(first, hang, wrapAfter(text, Width(first)-hang, p.width-hang))
}

// wrapAfter wraps a text of whose first line some columns are taken already.
func wrapAfter(text string, taken, columns int) []string {
	words := strings.Fields(Clean(text))
	room := columns - taken
	n, used := 0, 0
	for n < len(words) && used+Width(words[n]) <= room {
		used += Width(words[n]) + 1
		n++
	}
	lines := []string{strings.Join(words[:n], " ")}
	if n < len(words) {
		lines = append(lines, wrap(strings.Join(words[n:], " "), columns)...)
	}
	return lines
}

// lines writes a first line as it stands and the others indented.
func (p *Page) lines(first string, hang int, lines []string) {
	for i, line := range lines {
		if i > 0 {
			first = strings.Repeat(" ", hang)
		}
		p.line(first + line)
	}
}

// Ends writes one text at the left margin and one at the right, or below each
// other where they do not fit into one line.
func (p *Page) Ends(left, right string) {
	left, right = Clean(left), Clean(right)
	space := p.width - Width(left) - Width(right)
	if space < gap {
		p.Text(0, left)
		space, left = max(p.width-Width(right), 0), ""
	}
	p.line(left + strings.Repeat(" ", space) + right)
}

// line writes one line.
func (p *Page) line(text string) {
	p.b.WriteString(strings.TrimRight(text, " "))
	p.b.WriteByte('\n')
}

// pad fills a text with spaces to the columns.
func pad(text string, columns int) string {
	return text + strings.Repeat(" ", max(columns-Width(text), 0))
}
