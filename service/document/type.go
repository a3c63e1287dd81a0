package document

import (
	"image/color"
	"strings"

	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Sizes of type: none below 9 points, so that a picture printed in a narrow
// column can still be read.
const (
	titleSize vg.Length = 13
	labelSize vg.Length = 10
	noteSize  vg.Length = 9
	// leading is the distance of two lines of text, in sizes of type.
	leading = 1.25
)

// The faces, of the family that comes with the plotting library.
var (
	titleFace = faceOf(titleSize, xfont.WeightBold)
	boldFace  = faceOf(labelSize, xfont.WeightBold)
	labelFace = faceOf(labelSize, xfont.WeightNormal)
	noteFace  = faceOf(noteSize, xfont.WeightNormal)
)

func fontOf(size vg.Length, weight xfont.Weight) font.Font {
	return font.Font{Typeface: "Liberation", Variant: "Sans", Weight: weight, Size: size}
}

func faceOf(size vg.Length, weight xfont.Weight) font.Face {
	return font.DefaultCache.Lookup(fontOf(size, weight), size)
}

// lineHeight is what one line of a face takes.
func lineHeight(f font.Face) vg.Length { return f.Font.Size * leading }

// axisStyle is the style of an axis's text, which the plotting library sets.
func axisStyle(size vg.Length, x text.XAlignment, y text.YAlignment, handler text.Handler) text.Style {
	return text.Style{Color: color.Black, Font: fontOf(size, xfont.WeightNormal), XAlign: x, YAlign: y, Handler: handler}
}

// set sets one line of black text, its base line beginning at a point.
func set(c draw.Canvas, f font.Face, at vg.Point, line string) {
	c.SetColor(color.Black)
	c.FillString(f, at, line)
}

// setLines sets lines of text from the top left corner down.
func setLines(c draw.Canvas, f font.Face, corner vg.Point, lines []string) {
	for i, line := range lines {
		set(c, f, vg.Point{X: corner.X, Y: corner.Y - f.Font.Size - vg.Length(i)*lineHeight(f)}, line)
	}
}

// widest gives the width of the widest line.
func widest(f font.Face, lines []string) vg.Length {
	var w vg.Length
	for _, line := range lines {
		w = max(w, f.Width(line))
	}
	return w
}

// wrap breaks a text into lines no wider than a width, between words where it can.
func wrap(f font.Face, text string, width vg.Length) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		longer := strings.TrimPrefix(line+" "+word, " ")
		if f.Width(longer) <= width {
			line = longer
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		var whole []string
		whole, line = cut(f, word, width)
		lines = append(lines, whole...)
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// cut breaks a word that is wider than a line; the rest is what begins the next.
func cut(f font.Face, word string, width vg.Length) (lines []string, rest string) {
	for _, r := range word {
		if rest != "" && f.Width(rest+string(r)) > width {
			lines, rest = append(lines, rest), ""
		}
		rest += string(r)
	}
	return lines, rest
}
