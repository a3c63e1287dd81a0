package document

import (
	"bytes"
	"fmt"
	"time"

	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/wording"
)

// CurvePicture is how soon fuses open at which current, on log–log paper: a band
// of opening times for each fuse, a vertical line for each marked current, and
// lines for what conductors bear. It is read without colour: bands differ in
// hatching and edge, and every curve bears its name.
//
// With up to three bands a mark also says what each fuse does at its current; with
// more the caller's label has to.
type CurvePicture struct {
	Title     string // "" = a general one in the teller's language
	Fuses     []CurveOf
	Marks     []Mark
	Withstand []WithstandLine
}

// CurveOf is one fuse whose band is drawn. Fuses of the same band share one, with
// all their labels.
type CurveOf struct {
	electrical.Fuse        // of a rating that it has opening times for
	Label           string // "" = rating and family, "100 A ANL fuse"
}

// Mark is a current that matters, and what it is: "running load".
type Mark struct {
	Current quantity.Amps
	Label   string
}

// WithstandLine is how long a conductor bears which current. The line is straight
// on log–log paper between its points and ends with them.
type WithstandLine struct {
	Label  string  // the conductor: "4 AWG copper"
	Points []Point // by rising current, no time longer than the one before
}

// Point is a current and how long it may last.
type Point struct {
	Current quantity.Amps
	Time    time.Duration
}

// SVG gives the picture as an SVG document, 160 mm wide and 120 mm high or, with
// many marks or names, higher. Text stays text. It fails with every fault of the
// input, of the kind ErrPicture.
func (p CurvePicture) SVG(t *wording.Teller) ([]byte, error) {
	s, err := p.lay(t)
	if err != nil {
		return nil, err
	}
	return s.svg()
}

// PNG gives the picture as a PNG image of 200 dots per inch, of the same size as
// the SVG. It fails as SVG does.
func (p CurvePicture) PNG(t *wording.Teller) ([]byte, error) {
	s, err := p.lay(t)
	if err != nil {
		return nil, err
	}
	return s.png()
}

func (s *sketch) svg() ([]byte, error) {
	c := vgsvg.New(s.size.X, s.size.Y)
	s.draw(draw.New(c))
	var out bytes.Buffer
	if _, err := c.WriteTo(&out); err != nil {
		return nil, fmt.Errorf("write picture as svg: %w", err)
	}
	return accessible(out.Bytes(), s.title), nil
}

// printDPI is the resolution of a PNG: sharp on paper, and 1260 pixels wide.
const printDPI = 200

func (s *sketch) png() ([]byte, error) {
	c := vgimg.NewWith(vgimg.UseWH(s.size.X, s.size.Y), vgimg.UseDPI(printDPI))
	s.draw(draw.New(c))
	var out bytes.Buffer
	if _, err := (vgimg.PngCanvas{Canvas: c}).WriteTo(&out); err != nil {
		return nil, fmt.Errorf("write picture as png: %w", err)
	}
	return out.Bytes(), nil
}
