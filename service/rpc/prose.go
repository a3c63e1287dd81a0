package rpc

import (
	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/wording"

	"google.golang.org/protobuf/proto"
)

// prose turns what the domain returns into messages that people can read, in one
// language and one system of units.
type prose struct {
	*wording.Teller
	units pb.UnitSystem
}

// proseFor gives the prose of a request: its own units, else the shop's.
func proseFor(shop *catalog.Shop, language string, units pb.UnitSystem) prose {
	if units != pb.UnitSystem_UNIT_SYSTEM_US && units != pb.UnitSystem_UNIT_SYSTEM_METRIC {
		units = pb.UnitSystem_UNIT_SYSTEM_METRIC
		if shop.Units == catalog.US {
			units = pb.UnitSystem_UNIT_SYSTEM_US
		}
	}
	if language == "" {
		language = shop.Language
	}
	system := wording.Metric
	if units == pb.UnitSystem_UNIT_SYSTEM_US {
		system = wording.US
	}
	return prose{wording.For(language, system), units}
}

// figure gives a figure with its label. A name or a word has no value; its text
// stands in the label.
func (p prose) figure(f electrical.Figure) *pb.Figure {
	out := &pb.Figure{Key: f.Key, Unit: string(f.Unit), Label: p.Label(f.Key)}
	switch f.Unit {
	case electrical.UnitText, electrical.UnitWord:
		out.Unit = ""
		out.Label += ": " + p.Value(f)
	case electrical.UnitSize:
		if n, ok := f.Size.Gauge(); ok {
			out.Value, out.Unit = proto.Float64(float64(n)), string(electrical.UnitAWG)
		} else {
			out.Value, out.Unit = proto.Float64(float64(f.Size.Area())), string(electrical.UnitMM2)
		}
	default:
		out.Value = proto.Float64(f.Value)
	}
	return out
}

func (p prose) figures(list []electrical.Figure) []*pb.Figure {
	out := make([]*pb.Figure, 0, len(list))
	for _, f := range list {
		out = append(out, p.figure(f))
	}
	return out
}

func (p prose) reasons(list []electrical.Reason) []*pb.Reason {
	out := make([]*pb.Reason, 0, len(list))
	for _, r := range list {
		out = append(out, &pb.Reason{Rule: r.Rule, Text: p.Reason(r), Source: r.Source, Figures: p.figures(r.Figures)})
	}
	return out
}

// sentences gives the reasons as text alone.
func (p prose) sentences(list []electrical.Reason) []string {
	out := make([]string, 0, len(list))
	for _, r := range list {
		out = append(out, p.Reason(r))
	}
	return out
}

func (p prose) notes(list []design.Note) []*pb.SafetyNote {
	out := make([]*pb.SafetyNote, 0, len(list))
	for _, n := range list {
		out = append(out, &pb.SafetyNote{Code: n.Code, Severity: severities.number(string(n.Severity)), Text: p.Say("note."+n.Code, n.Because.Figures...), Because: p.Reason(n.Because)})
	}
	return out
}
