package coverage

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.com/lugbook/service/electrical"
)

// gap is a finding while it is gathered. It keeps the groups and places that it is
// about, and not their names: thousands of conductors may meet thousands of places.
type gap struct {
	finding Finding
	groups  map[*group]bool
	places  map[*place]bool
}

// gap gives the gap of a code and figures, a new one where there is none.
func (c *checker) gap(severity Severity, code string, figures ...electrical.Figure) *gap {
	k := key(code, figures)
	if c.gaps[k] == nil {
		c.gaps[k] = &gap{Finding{Severity: severity, Code: code, Figures: figures}, map[*group]bool{}, map[*place]bool{}}
	}
	return c.gaps[k]
}

// stop adds conductors, and the place where they cannot be ended if there is one.
func (g *gap) stop(about *group, at *place) {
	g.groups[about] = true
	if at != nil {
		g.places[at] = true
	}
}

// found names the parts and places, each once and sorted.
func (g *gap) found() Finding {
	f := g.finding
	for about := range g.groups {
		f.Parts = append(f.Parts, about.skus...)
	}
	stops := map[string]bool{}
	for at := range g.places {
		for _, name := range at.names {
			stops[name] = true
		}
	}
	f.Stops = slices.AppendSeq(f.Stops, maps.Keys(stops))
	slices.Sort(f.Parts)
	slices.Sort(f.Stops)
	return f
}

func key(code string, figures []electrical.Figure) string {
	var b strings.Builder
	b.WriteString(code)
	for _, f := range figures {
		fmt.Fprintf(&b, "|%s=%v %s %v", f.Key, f.Value, f.Text, f.Size)
	}
	return b.String()
}
