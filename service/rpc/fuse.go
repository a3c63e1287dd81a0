package rpc

import (
	"context"
	"errors"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/document"
	"example.com/lugbook/service/electrical"
)

// DescribeFuse tells what a fuse does at some currents.
func (s *DesignService) DescribeFuse(_ context.Context, r *pb.DescribeFuseRequest) (*pb.DescribeFuseResponse, error) {
	edition := s.quoting.Current()
	shop := &edition.Catalog().Shop
	p := proseFor(shop, r.GetLanguage(), r.GetUnitSystem())
	in := newIntake(r)
	question := in.fuseQuestion(r, shop.Defaults.NewInsulation)
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	answer, err := edition.Designer().Fuse(question)
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	out := p.fuseAnswer(answer)
	out.Picture, err = p.curves(r.GetPicture(), answer, question.Beside)
	if errors.Is(err, document.ErrPicture) {
		in.fault("picture", "as_stated", electrical.Name("problem", err.Error()))
		return nil, p.invalid(in.bad, "")
	}
	return out, err
}

func (in *intake) fuseQuestion(r *pb.DescribeFuseRequest, rating quantity.Celsius) design.FuseQuestion {
	q := design.FuseQuestion{SKU: r.GetSku(), Family: electrical.Family(families.word(r.GetFamily())), Rating: quantity.Amps(r.GetRatingA()),
		Ambient: quantity.Celsius(r.GetAmbientC()), HasAmbient: r.AmbientC != nil}
	for _, a := range r.GetAtA() {
		q.At = append(q.At, quantity.Amps(a))
	}
	for _, f := range r.GetBeside() {
		q.Beside = append(q.Beside, electrical.FuseOf(electrical.Family(families.word(f.GetFamily())), quantity.Amps(f.GetRatingA())))
	}
	c := r.GetConductor()
	if c == nil {
		return q
	}
	q.Conductor = electrical.Conductor{Size: in.conductorSize("conductor", c), Material: electrical.Material(materials.word(c.GetMaterial())),
		Insulation: electrical.Insulation(insulations.word(c.GetInsulation())), Rating: quantity.Celsius(c.GetInsulationC())}
	fill(&q.Conductor.Material, electrical.Copper)
	fill(&q.Conductor.Insulation, electrical.PVC)
	fill(&q.Conductor.Rating, rating)
	if c.GetSize() == nil {
		in.fault("conductor", "no_size")
	}
	return q
}

func (p prose) fuseAnswer(a *design.FuseAnswer) *pb.DescribeFuseResponse {
	out := &pb.DescribeFuseResponse{Figures: p.figures(a.Figures), Remarks: p.sentences(a.Remarks), SafetyNotes: p.notes(a.Notes)}
	for i := range a.Points {
		point := &a.Points[i]
		one := &pb.FusePoint{CurrentA: float64(point.Current), Percent: float64(point.Current/a.Fuse.Rating) * 100, StaysClosed: point.Opening.StaysClosed, Text: p.Say(point.Says.Rule, point.Says.Figures...)}
		if !point.Opening.StaysClosed {
			one.OpeningS = &pb.Band{Low: stated(point.Opening.Min), High: finite(point.Opening.Max)}
		}
		if a.Conductor.Ampacity > 0 {
			one.ConductorWithstandsS = finite(point.Withstands)
			one.Text += " " + p.Reason(point.Bears(a.Conductor))
		}
		out.Points = append(out.Points, one)
	}
	return out
}

// curves draws the fuse with those beside it, the currents asked about and what the
// conductor bears; nil where no picture is asked for.
func (p prose) curves(format pb.PictureFormat, a *design.FuseAnswer, beside []electrical.Fuse) (*pb.Picture, error) {
	if format == pb.PictureFormat_PICTURE_FORMAT_UNSPECIFIED {
		return nil, nil
	}
	picture := document.CurvePicture{Fuses: []document.CurveOf{{Fuse: a.Fuse}}}
	for _, f := range beside {
		picture.Fuses = append(picture.Fuses, document.CurveOf{Fuse: f})
	}
	for i := range a.Points {
		picture.Marks = append(picture.Marks, document.Mark{Current: a.Points[i].Current})
	}
	if a.Conductor.Ampacity > 0 {
		picture.Withstand = append(picture.Withstand, p.withstandLine(a.Conductor))
	}
	out := &pb.Picture{MediaType: "image/svg+xml", AltText: p.Say("curve.note.alt_text")}
	var err error
	if format == pb.PictureFormat_PICTURE_FORMAT_PNG {
		out.MediaType = "image/png"
		out.Data, err = picture.PNG(p.Teller)
	} else {
		out.Data, err = picture.SVG(p.Teller)
	}
	if err != nil {
		return nil, err
	}
	return out, nil
}

// Times between which what a conductor bears is drawn, in seconds.
const withstandShortest, withstandLongest = 0.01, 3600

// withstandLine samples what a conductor bears, from just above its ampacity on.
func (p prose) withstandLine(s electrical.Section) document.WithstandLine {
	const points, step, most = 60, 1.12, 1e5
	line := document.WithstandLine{Label: p.Value(electrical.SizeFigure("conductor", s.Conductor.Size))}
	for i := 1.05 * float64(s.Ampacity); i < most && len(line.Points) < points; i *= step {
		t := s.Withstand(quantity.Amps(i), true)
		if t < withstandShortest {
			break
		}
		if t < withstandLongest {
			line.Points = append(line.Points, document.Point{Current: quantity.Amps(i), Time: time.Duration(t * float64(time.Second))})
		}
	}
	return line
}
