package document_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/document"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/wording"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// english says what stands on the pictures of these tests.
var english = wording.For("en", wording.Metric)

// fourGauge is what 4 AWG copper bears while no heat leaves it, up to 5 s: the
// points are those of the adiabatic rule.
func fourGauge() document.WithstandLine {
	c := electrical.Conductor{Size: quantity.AWG(4), Material: electrical.Copper, Insulation: electrical.PVC, Rating: 105}
	l := document.WithstandLine{Label: "4 AWG copper, 105 °C"}
	s := electrical.Section{Conductor: c, Ambient: 30, Ampacity: 160}
	for _, i := range []quantity.Amps{900, 1000, 10e3} {
		l.Points = append(l.Points, document.Point{Current: i, Time: time.Duration(s.Withstand(i, true) * float64(time.Second))})
	}
	return l
}

// threeFamilies is 100 A in three families, of which two share a band.
func threeFamilies() document.CurvePicture {
	return document.CurvePicture{
		Fuses: []document.CurveOf{
			{Fuse: electrical.FuseOf(electrical.BoltSmall, 100)}, {Fuse: electrical.FuseOf(electrical.ANL, 100)}, {Fuse: electrical.FuseOf(electrical.BoltLarge, 100)}},
		Marks: []document.Mark{
			{Current: 101, Label: "just above the rating"}, {Current: 125, Label: "a quarter above it"}, {Current: 200, Label: "twice the rating"}},
		Withstand: []document.WithstandLine{fourGauge()},
	}
}

// oneFuse is the usual picture: one fuse, its load and a fault.
func oneFuse() document.CurvePicture {
	return document.CurvePicture{
		Title: "Amplifier: 60 A main",
		Fuses: []document.CurveOf{{Fuse: electrical.FuseOf(electrical.Maxi, 60)}},
		Marks: []document.Mark{{Current: 45, Label: "running load"}, {Current: 900, Label: "short at the far end"}},
	}
}

// manyFuses has as much of everything as is allowed.
func manyFuses() document.CurvePicture {
	p := document.CurvePicture{Fuses: []document.CurveOf{
		{Fuse: electrical.FuseOf(electrical.Blade, 5)}, {Fuse: electrical.FuseOf(electrical.Mini, 15), Label: "pump & lights <aft>"}, {Fuse: electrical.FuseOf(electrical.Blade, 40)},
		{Fuse: electrical.FuseOf(electrical.Maxi, 60)}, {Fuse: electrical.FuseOf(electrical.Glass, 20)}, {Fuse: electrical.FuseOf(electrical.ClassT, 200)},
		{Fuse: electrical.FuseOf(electrical.ANL, 300)}, {Fuse: electrical.FuseOf(electrical.BoltLarge, 150)}}}
	for n := range 8 {
		p.Marks = append(p.Marks, document.Mark{Current: quantity.Amps(8 * (n + 1))}, document.Mark{Current: quantity.Amps(400 * (n + 1)), Label: "a fault"})
	}
	for n := range 4 {
		l := fourGauge()
		l.Label = fmt.Sprintf("conductor %d", n+1)
		for i := range l.Points {
			l.Points[i].Current /= quantity.Amps(1 + 2*n)
		}
		p.Withstand = append(p.Withstand, l)
	}
	return p
}

func pictures() map[string]document.CurvePicture {
	return map[string]document.CurvePicture{"three_families": threeFamilies(), "one_fuse": oneFuse(), "many_fuses": manyFuses()}
}

func TestSVG(t *testing.T) {
	t.Parallel()
	for name, p := range pictures() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			got, err := p.SVG(english)
			require.NoError(t, err)
			path := filepath.Join("testdata", name+".svg")
			if *update {
				require.NoError(t, os.WriteFile(path, got, 0o644))
			}
			want, err := os.ReadFile(path)
			require.NoError(t, err)
			assert.Equal(t, string(want), string(got))
			again, err := p.SVG(english)
			require.NoError(t, err)
			assert.Equal(t, got, again, "the same picture twice")
		})
	}
}

// texts gives the text of an SVG document's elements, and fails where it is not
// well-formed.
func texts(t require.TestingT, svg []byte) []string {
	var all []string
	d := xml.NewDecoder(bytes.NewReader(svg))
	d.Strict = true
	element := ""
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return all
		}
		require.NoError(t, err)
		switch token := token.(type) {
		case xml.StartElement:
			element = token.Name.Local
		case xml.EndElement:
			element = ""
		case xml.CharData:
			if element == "text" || element == "title" {
				all = append(all, string(token))
			}
		}
	}
}

// Every label stands on the picture as written, be it on several lines.
func TestSVGHasEveryLabel(t *testing.T) {
	t.Parallel()
	tests := map[string][]string{
		"three_families": {"When the fuse opens", "Current (A)", "How long it flows (s, min, h)", "0.01 s", "1 min", "10 h", "100", "1000",
			"100 A small bolt-down fuse", "100 A ANL fuse (typical)", "100 A large bolt-down fuse", "101 A", "125 A", "200 A", "just above the rating",
			// From the gates of both families, 60 or 120 s at 135 % and 4 h at 100 %: 14400·(60/14400)^(ln 1.25/ln 1.35) = 245 s, with 120 s 410 s.
			"may open after 4 min, or never", "may open after 6 min 40 s, or never",
			"opens after 1 s to 15 s", // 200 % of both
			"4 AWG copper, 105 °C: overheats above this line", "Typical: taken from similar fuses; see the maker's curve."},
		"one_fuse": {"Amplifier: 60 A main", "60 A maxi blade fuse", "45 A", "running load", "stays closed", "900 A", "short at the far end",
			"opens within 0.16 s"}, // 1500 %: 0.04 and 1 s at 600 % · (6/15)² = 0.0064 s, which is off the paper, and 0.16 s
		"many_fuses": {"pump & lights <aft>", "8 A", "3200 A", "a fault", "200 A class T fuse"},
	}
	for name, p := range pictures() {
		svg, err := p.SVG(english)
		require.NoError(t, err)
		all := texts(t, svg)
		run := strings.Join(all, " ")
		for _, want := range tests[name] {
			assert.Contains(t, run, want, name)
		}
		assert.Equal(t, 2, count(all, cmpTitle(p)), "%s: the title is seen and heard", name)
	}
	one, err := oneFuse().SVG(english)
	require.NoError(t, err)
	assert.NotContains(t, string(one), "Typical", "its times are published")
}

func cmpTitle(p document.CurvePicture) string {
	if p.Title == "" {
		return "When the fuse opens"
	}
	return p.Title
}

func count(all []string, text string) int {
	return len(slices.DeleteFunc(slices.Clone(all), func(s string) bool { return s != text }))
}

// A picture is 160 × 120 mm, at 200 dpi 1260 × 945 pixels; more marks make it
// higher. All four edges are blank: nothing is cut off.
func TestPNG(t *testing.T) {
	t.Parallel()
	for name, p := range pictures() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			raw, err := p.PNG(english)
			require.NoError(t, err)
			img, err := png.Decode(bytes.NewReader(raw))
			require.NoError(t, err)
			b := img.Bounds()
			assert.Equal(t, 1260, b.Dx())
			if name == "one_fuse" {
				assert.Equal(t, 945, b.Dy())
			} else {
				assert.Greater(t, b.Dy(), 945)
			}
			white := func(x, y int) bool {
				r, g, b, _ := img.At(x, y).RGBA()
				return r == 0xffff && g == 0xffff && b == 0xffff
			}
			blank := true
			for x := range b.Dx() {
				blank = blank && white(x, 0) && white(x, b.Dy()-1)
			}
			for y := range b.Dy() {
				blank = blank && white(0, y) && white(b.Dx()-1, y)
			}
			assert.True(t, blank, "something touches the edge")
			if name == "one_fuse" { // images take long
				again, err := p.PNG(english)
				require.NoError(t, err)
				assert.Equal(t, raw, again, "the same picture twice")
			}
		})
	}
}

func TestFaults(t *testing.T) {
	t.Parallel()
	blade := document.CurveOf{Fuse: electrical.FuseOf(electrical.Blade, 10)}
	with := func(change func(p *document.CurvePicture)) document.CurvePicture {
		p := document.CurvePicture{Fuses: []document.CurveOf{blade}}
		change(&p)
		return p
	}
	fuse := func(f electrical.Family, rating quantity.Amps) document.CurvePicture {
		return document.CurvePicture{Fuses: []document.CurveOf{{Fuse: electrical.FuseOf(f, rating)}}}
	}
	line := func(points ...document.Point) document.CurvePicture {
		return with(func(p *document.CurvePicture) { p.Withstand = []document.WithstandLine{{Points: points}} })
	}
	tests := []struct {
		name string
		p    document.CurvePicture
		want string
	}{
		{"nothing to draw", document.CurvePicture{Marks: []document.Mark{{Current: 10}}}, "nothing to draw"},
		{"too many fuses", document.CurvePicture{Fuses: slices.Repeat([]document.CurveOf{blade}, 9)}, "9 fuses are too many to read; give up to 8"},
		{"too many marks", with(func(p *document.CurvePicture) { p.Marks = make([]document.Mark, 17) }), "17 marks are too many to read; give up to 16"},
		{"too many lines", with(func(p *document.CurvePicture) { p.Withstand = make([]document.WithstandLine, 5) }), "5 withstand lines are too many to read; give up to 4"},
		{"unknown family", fuse("cartridge", 10), `fuse 1: unknown family "cartridge"`},
		{"no rating", fuse(electrical.Blade, 0), "fuse 1: 0 A is out of range; allowed: 0.1 A to 100000 A"},
		{"rating below zero", fuse(electrical.ANL, -100), "fuse 1: -100 A is out of range"},
		{"rating that is no number", fuse(electrical.ANL, quantity.Amps(math.NaN())), "fuse 1: NaN A is out of range"},
		{"rating the family does not come in", fuse(electrical.Maxi, 100), "fuse 1: no opening times are published for family maxi at 100 A; see the maker's curve"},
		{"breaker", fuse(electrical.Breaker, 50), "fuse 1: no opening times are published for family breaker at 50 A"},
		{"mark out of range", with(func(p *document.CurvePicture) { p.Marks = []document.Mark{{Current: 10}, {Current: 1e9}} }), "mark 2: 1000000000 A is out of range"},
		{"long label", with(func(p *document.CurvePicture) {
			p.Marks = []document.Mark{{Current: 1, Label: strings.Repeat("é", 81)}}
		}), "mark 1: the text is too long; allowed: up to 80 characters"},
		{"control character", with(func(p *document.CurvePicture) { p.Title = "a\x00b" }), "title: the text holds a character that cannot be printed"},
		{"line break", with(func(p *document.CurvePicture) { p.Fuses[0].Label = "a\nb" }), "fuse 1: the text holds a character that cannot be printed"},
		{"no UTF-8", with(func(p *document.CurvePicture) { p.Title = "\xff" }), "title: the text holds a character that cannot be printed"},
		{"one point", line(document.Point{Current: 100, Time: time.Second}), "withstand line 1: it has 1 points; allowed: 2 to 64"},
		{"currents fall", line(document.Point{Current: 100, Time: time.Second}, document.Point{Current: 99, Time: time.Second}), "withstand line 1, point 2: currents must rise"},
		{"times rise", line(document.Point{Current: 100, Time: time.Second}, document.Point{Current: 200, Time: 2 * time.Second}), "withstand line 1, point 2: currents must rise from point to point and times must not"},
		{"begins off the paper", line(document.Point{Current: 100, Time: time.Millisecond}, document.Point{Current: 200, Time: 1}), "withstand line 1, point 1: 1ms is off the paper"},
		{"no time", line(document.Point{Current: 100, Time: time.Second}, document.Point{Current: 200}), "withstand line 1, point 2: 0s is out of range"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			_, err := tt.p.SVG(english)
			require.ErrorIs(t, err, document.ErrPicture)
			require.ErrorContains(t, err, tt.want)
			_, err = tt.p.PNG(english)
			require.ErrorContains(t, err, tt.want)
		})
	}
	both := with(func(p *document.CurvePicture) {
		p.Fuses[0].Fuse, p.Marks = electrical.FuseOf(electrical.Blade, 41), []document.Mark{{Current: -1}}
	})
	_, err := both.SVG(english)
	require.ErrorContains(t, err, "fuse 1")
	assert.ErrorContains(t, err, "mark 1", "all faults come at once")
}
