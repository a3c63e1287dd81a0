package page_test

import (
	"strings"
	"testing"

	"example.com/lugbook/clients/cli/internal/page"
	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestWidth(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]int{
		"": 0, "60 A": 4, "16 mm²": 6, "3.27 mΩ": 7, "café": 4, "cafe\u0301": 4, "配線": 4, "ﾊ": 1, "…": 1, "a\u200bb": 2,
	} {
		assert.Equal(t, want, page.Width(text), "%q", text)
	}
}

func TestClean(t *testing.T) {
	t.Parallel()
	assert.Equal(t, "red[31m  two lines", page.Clean("red\x1b[31m \ntwo\tlines\a\u202e"))
}

func TestItem(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name   string
		layout func(*page.Page)
		want   string
	}{
		{"text wraps under itself", func(p *page.Page) {
			p.Item(2, "fuse", 6, "15 A blade fuse in a sealed holder at the battery")
		}, "  fuse    15 A blade fuse in a sealed\n          holder at the battery\n"},
		{"long label", func(p *page.Page) {
			p.Item(0, "engine off", 4, "12.1 V at the device and no less than that")
		}, "engine off  12.1 V at the device and no\n      less than that\n"},
		{"long label and long word", func(p *page.Page) {
			p.Item(0, "engine off", 4, strings.Repeat("x", 34))
		}, "engine off\n      " + strings.Repeat("x", 34) + "\n"},
		{"label without room beside it", func(p *page.Page) {
			p.Item(0, strings.Repeat("l", 45), 4, "text")
		}, strings.Repeat("l", 40) + "\nlllll\n      text\n"},
		{"word longer than the line", func(p *page.Page) {
			p.Item(4, "", 0, strings.Repeat("x", 50))
		}, "    " + strings.Repeat("x", 36) + "\n    " + strings.Repeat("x", 14) + "\n"},
		{"wide characters", func(p *page.Page) {
			p.Text(0, strings.Repeat("線", 21))
		}, strings.Repeat("線", 20) + "\n線\n"},
		{"nothing", func(p *page.Page) { p.Item(0, "name", 8, "") }, "name\n"},
		{"ends", func(p *page.Page) { p.Ends("left", "right") }, "left" + strings.Repeat(" ", 31) + "right\n"},
		{"ends that do not fit", func(p *page.Page) {
			p.Ends(strings.Repeat("l", 30), strings.Repeat("r", 10))
		}, strings.Repeat("l", 30) + "\n" + strings.Repeat(" ", 30) + strings.Repeat("r", 10) + "\n"},
		{"heading and blanks", func(p *page.Page) {
			p.Blank()
			p.Text(0, "a")
			p.Blank()
			p.Blank()
			p.Heading("parts")
		}, "a\n\nPARTS\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			p := page.New(40)
			c.layout(p)
			assert.Equal(t, c.want, p.String())
		})
	}
}

func TestTable(t *testing.T) {
	t.Parallel()
	p := page.New(40)
	p.Table(page.Table{
		Indent:  2,
		Columns: []page.Column{{Title: "qty", Right: true}, {Title: "what", Wraps: true}, {Title: "price", Right: true}},
		Rows: [][]string{
			{"5.5", "Cable, tinned copper, red, 105 °C", "12.10"},
			{"1", "Fuse", "4.00"},
			{"10"},
		},
	})
	assert.Equal(t, ""+
		"  qty  what                        price\n"+
		"  5.5  Cable, tinned copper, red,  12.10\n"+
		"       105 °C\n"+
		"    1  Fuse                         4.00\n"+
		"   10\n", p.String())
}

func TestFullTable(t *testing.T) {
	t.Parallel()
	p := page.New(40)
	p.Table(page.Table{
		Full:    true,
		Columns: []page.Column{{Wraps: true}, {Right: true}},
		Rows:    [][]string{{"parts", "4.00"}},
	})
	assert.Equal(t, "parts"+strings.Repeat(" ", 31)+"4.00\n", p.String())
}

func TestNarrowPage(t *testing.T) {
	t.Parallel()
	p := page.New(3)
	p.Text(0, strings.Repeat("ab ", 20))
	for line := range strings.Lines(p.String()) {
		assert.LessOrEqual(t, page.Width(strings.TrimSuffix(line, "\n")), page.Narrowest)
	}
}

// Whatever the text, nothing runs over the edge and no word is lost.
func TestTextFitsProperty(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		width := rapid.IntRange(page.Narrowest, 200).Draw(t, "width")
		label := rapid.StringN(0, 20, -1).Draw(t, "label")
		p := page.New(width)
		p.Item(2, label, 8, text)
		for line := range strings.Lines(p.String()) {
			if w := page.Width(strings.TrimSuffix(line, "\n")); w > width {
				t.Fatalf("%d columns of %d: %q", w, width, line)
			}
		}
		squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
		if got, want := squeeze(p.String()), squeeze(page.Clean(label)+page.Clean(text)); got != want {
			t.Fatalf("got %q, want %q", got, want)
		}
	})
}
