package document_test

import (
	"bytes"
	"encoding/xml"
	"image/png"
	"math"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
	"pgregory.net/rapid"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/document"
	"example.com/lugbook/service/electrical"
)

// anyLabel is text that is allowed: of words, of one long word, or anything that
// can be printed.
func anyLabel() *rapid.Generator[string] {
	return rapid.OneOf(rapid.StringMatching(`[A-Za-z0-9 ,.&<>"']{0,30}`), rapid.StringMatching(`W{0,80}`), rapid.StringMatching(`\PC{0,20}`).Filter(printable))
}

func printable(text string) bool {
	return !strings.ContainsFunc(text, func(r rune) bool { return r == utf8.RuneError || !unicode.IsPrint(r) })
}

// anyPicture is a picture within every limit.
func anyPicture() *rapid.Generator[document.CurvePicture] {
	return rapid.Custom(func(t *rapid.T) document.CurvePicture {
		label := anyLabel()
		p := document.CurvePicture{Title: label.Draw(t, "title"), Fuses: rapid.SliceOfN(anyFuse(), 1, 8).Draw(t, "fuses")}
		for i := range p.Fuses {
			p.Fuses[i].Label = label.Draw(t, "fuse's label")
		}
		current := func() quantity.Amps { return quantity.Amps(math.Pow(10, rapid.Float64Range(-1, 5).Draw(t, "A"))) }
		for range rapid.IntRange(0, 16).Draw(t, "marks") {
			p.Marks = append(p.Marks, document.Mark{Current: current(), Label: label.Draw(t, "mark's label")})
		}
		for range rapid.IntRange(0, 4).Draw(t, "lines") {
			l := document.WithstandLine{Label: label.Draw(t, "line's label")}
			at := document.Point{Current: min(current(), 9e4), Time: time.Duration(rapid.Int64Range(int64(11*time.Millisecond), int64(9*time.Hour)).Draw(t, "time"))}
			for range rapid.IntRange(2, 5).Draw(t, "points") {
				l.Points = append(l.Points, at)
				at.Current *= quantity.Amps(rapid.Float64Range(1.001, 1.02).Draw(t, "more"))
				at.Time = max(1, time.Duration(float64(at.Time)*rapid.Float64Range(0.01, 1).Draw(t, "less")))
			}
			p.Withstand = append(p.Withstand, l)
		}
		return p
	})
}

// apart tells that two boxes share no more than a border.
func apart(a, b vg.Rectangle) bool {
	const touch = 1e-6
	return a.Max.X <= b.Min.X+touch || b.Max.X <= a.Min.X+touch || a.Max.Y <= b.Min.Y+touch || b.Max.Y <= a.Min.Y+touch
}

// Any picture within the limits is drawn, as well-formed XML and as an image. No
// text lies on another, and none reaches out of the picture.
func TestAnyPicture(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPicture().Draw(t, "picture")
		got, err := p.LayOut(english)
		require.NoError(t, err)
		textsLieApart(t, got)
		svg, err := got.SVG()
		require.NoError(t, err)
		require.NoError(t, xml.Unmarshal(svg, new(struct{})))
		require.NotContains(t, string(svg), "NaN")
		require.NotContains(t, string(svg), "+Inf")
		if len(p.Marks)+len(p.Withstand) > 0 { // images take long
			return
		}
		raw, err := got.PNG()
		require.NoError(t, err)
		size, err := png.DecodeConfig(bytes.NewReader(raw))
		require.NoError(t, err)
		require.Equal(t, 1260, size.Width)
	})
}

func textsLieApart(t *rapid.T, got document.Layout) {
	texts := slices.Concat(got.Flags, got.Tags)
	for i, a := range texts {
		for _, b := range texts[:i] {
			require.True(t, apart(a, b), "%v and %v", a, b)
		}
	}
	for _, f := range got.Flags {
		require.GreaterOrEqual(t, f.Min.Y, got.Paper.Max.Y)
		require.LessOrEqual(t, f.Max.Y, got.Size.Y)
		require.GreaterOrEqual(t, f.Min.X, vg.Length(0))
		require.LessOrEqual(t, f.Max.X, got.Size.X)
	}
	for i, tag := range got.Tags {
		require.GreaterOrEqual(t, tag.Min.X, got.Paper.Min.X)
		require.LessOrEqual(t, tag.Max.X, got.Paper.Max.X)
		require.GreaterOrEqual(t, tag.Min.Y, got.Paper.Min.Y)
		require.LessOrEqual(t, tag.Max.Y, got.Paper.Max.Y)
		require.NotEqual(t, got.Leaders[i][0], got.Leaders[i][1], "a name is tied to its curve")
	}
}

// Marks in the left half of the paper have their text to the right, and then none
// lies across another's pole.
func TestFlagsLeavePolesFree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := document.CurvePicture{Fuses: []document.CurveOf{{Fuse: electrical.FuseOf(electrical.ANL, 300)}}}
		for range rapid.IntRange(1, 16).Draw(t, "marks") {
			p.Marks = append(p.Marks, document.Mark{Current: quantity.Amps(rapid.Float64Range(50, 150).Draw(t, "A")), Label: "some load"})
		}
		got, err := p.LayOut(english)
		require.NoError(t, err)
		for i, f := range got.Flags {
			for j, pole := range got.Poles {
				across := i != j && pole > f.Min.X && pole < f.Max.X
				require.False(t, across && got.Flags[j].Max.Y > f.Min.Y+1e-6, "mark %d lies across the pole of %d", i, j)
			}
		}
	})
}

// What a fuse does, from published gates: maxi and blade of 10 A by their sheets,
// glass by UL 248-14.
func TestOutcome(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name            string
		family          electrical.Family
		rating, current quantity.Amps
		want            string
	}{
		{"at the rating", electrical.Maxi, 50, 50, "stays closed"},
		{"both ends published", electrical.Maxi, 50, 100, "opens after 2 s to 1 min"},
		{"part of a second", electrical.Blade, 10, 20, "opens after 0.15 s to 5 s"},
		{"first gate", electrical.Maxi, 50, 67.5, "opens after 1 min to 30 min"},
		// 100 h at 100 %, 1 min at 135 %: 360000·(60/360000)^(ln 1.2/ln 1.35) = 1828 s at 120 %.
		{"before the first longest time", electrical.Maxi, 50, 60, "may open after 30 min, or never"},
		{"no shortest time", electrical.Glass, 10, 20, "opens within 2 min"},
		{"neither", electrical.Glass, 10, 12, "may open, or may not"},
		// 0.04 and 1 s at 600 %, at 6000 % a hundredth.
		{"off the paper", electrical.Maxi, 50, 3000, "opens within 0.01 s"},
		// 600 %: 1 s; at 700 % ·(6/7)² = 0.735 s and 0.0294 s: outwards to two digits.
		{"rounded outwards", electrical.Maxi, 50, 350, "opens after 0.029 s to 0.74 s"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			o := electrical.CurveOf(tt.family, tt.rating).Opening(tt.rating, tt.current)
			assert.Equal(t, tt.want, document.Outcome(english, o))
		})
	}
}

// A square of 10, hatched level 4 apart: lines at 4 and 8, each from side to side.
func TestHatching(t *testing.T) {
	t.Parallel()
	square := []vg.Point{{X: 1, Y: 1}, {X: 11, Y: 1}, {X: 11, Y: 11}, {X: 1, Y: 11}}
	got := document.Hatching(square, 0, 4)
	require.Len(t, got, 2)
	for n, y := range []float64{4, 8} {
		assert.InDelta(t, 1, float64(got[n][0].X), 1e-9)
		assert.InDelta(t, 11, float64(got[n][1].X), 1e-9)
		assert.InDelta(t, y, float64(got[n][0].Y), 1e-9)
		assert.InDelta(t, y, float64(got[n][1].Y), 1e-9)
	}
	assert.Empty(t, document.Hatching(nil, 1, 4))
}

// Hatch lines of a step fill what they hatch: their length times the step is the
// area, within what the border takes.
func TestHatchingFillsTheArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// An L, which slanting lines leave and enter again.
		w, h := rapid.Float64Range(20, 200).Draw(t, "width"), rapid.Float64Range(20, 200).Draw(t, "height")
		x, y := vg.Length(w), vg.Length(h)
		shape := []vg.Point{{}, {X: x}, {X: x, Y: y / 2}, {X: x / 2, Y: y / 2}, {X: x / 2, Y: y}, {Y: y}}
		const step = 1
		var covered float64
		for _, line := range document.Hatching(shape, rapid.Float64Range(0, math.Pi).Draw(t, "angle"), step) {
			covered += math.Hypot(float64(line[1].X-line[0].X), float64(line[1].Y-line[0].Y)) * step
		}
		require.InDelta(t, 0.75*w*h, covered, 2*(w+h))
	})
}
