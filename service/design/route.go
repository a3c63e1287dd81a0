package design

import (
	"math"
	"sort"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// section is a length of cable in one kind of surroundings.
type section struct {
	environment electrical.Environment
	ambient     quantity.Celsius // where stated
	hasAmbient  bool
	length      quantity.Metres
}

// path is the way of a run through the vehicle.
type path struct {
	sections []section
	length   quantity.Metres // all sections together
	bundled  int             // loaded conductors of the vehicle along the way
	routes   []int           // indexes into the vehicle's routes, in order
}

// routes answers shortest-path questions over a vehicle's zones.
type routes struct {
	vehicle *catalog.Vehicle
	zones   map[string]int
}

func newRoutes(v *catalog.Vehicle) routes {
	r := routes{vehicle: v, zones: make(map[string]int, len(v.Zones))}
	for i := range v.Zones {
		r.zones[v.Zones[i].ID] = i
	}
	return r
}

func (r routes) zone(id string) *catalog.Zone { return &r.vehicle.Zones[r.zones[id]] }

// shortest gives the routes of the shortest way between two zones, by Dijkstra's
// method; false where there is none. Equal lengths take the earlier route, so
// that the same vehicle always gives the same way.
func (r routes) shortest(from, to string) ([]int, bool) {
	n := len(r.vehicle.Zones)
	dist := make([]float64, n)
	via := make([]int, n)
	done := make([]bool, n)
	for i := range dist {
		dist[i], via[i] = math.Inf(1), -1
	}
	start, goal := r.zones[from], r.zones[to]
	dist[start] = 0
	for {
		at := nearest(dist, done)
		if at < 0 || at == goal {
			break
		}
		done[at] = true
		for i, route := range r.vehicle.Routes {
			next, ok := r.across(route, at)
			if ok && dist[at]+float64(route.Length) < dist[next] {
				dist[next], via[next] = dist[at]+float64(route.Length), i
			}
		}
	}
	if math.IsInf(dist[goal], 1) {
		return nil, false
	}
	return r.walkBack(via, start, goal), true
}

func nearest(dist []float64, done []bool) int {
	best := -1
	for i := range dist {
		if !done[i] && !math.IsInf(dist[i], 1) && (best < 0 || dist[i] < dist[best]) {
			best = i
		}
	}
	return best
}

// across gives the zone at the other end of a route.
func (r routes) across(route catalog.Route, at int) (int, bool) {
	from, to := r.zones[route.From], r.zones[route.To]
	switch at {
	case from:
		return to, true
	case to:
		return from, true
	}
	return 0, false
}

func (r routes) walkBack(via []int, start, goal int) []int {
	var back []int
	for at := goal; at != start; {
		i := via[at]
		back = append(back, i)
		at, _ = r.across(r.vehicle.Routes[i], at)
	}
	for i, j := 0, len(back)-1; i < j; i, j = i+1, j-1 {
		back[i], back[j] = back[j], back[i]
	}
	return back
}

// feedPath gives the way to a device from the zone of what feeds it: the shortest route,
// the reach inside the device's zone, the allowance on both, and the service loops.
// A measured length replaces all of that; the surroundings keep their shares.
func (r routes) feedPath(a catalog.Allowances, source string, d *Device) (path, bool) {
	legs, ok := r.shortest(source, d.Zone)
	if !ok {
		return path{}, false
	}
	from, to := r.zone(source), r.zone(d.Zone)
	loop := a.LoopPerEnd
	if to.Removable {
		loop = a.LoopRemovable
	}
	allowance := 1 + quantity.Metres(a.Route)/100
	p := path{routes: legs}
	p.add(sectionIn(from), a.LoopBattery)
	for _, i := range legs {
		route := &r.vehicle.Routes[i]
		p.add(section{environment: route.Environment}, route.Length*allowance)
		p.bundled = max(p.bundled, route.BundledWith)
	}
	p.add(sectionIn(to), to.Reach*allowance+loop)
	if d.HasMeasured {
		p.scale(d.Measured)
	}
	return p, true
}

func sectionIn(z *catalog.Zone) section {
	return section{environment: z.Environment, ambient: z.Ambient, hasAmbient: z.HasAmbient}
}

// add lengthens the section of the same surroundings, or begins one.
func (p *path) add(s section, l quantity.Metres) {
	p.length += l
	for i := range p.sections {
		at := &p.sections[i]
		if at.environment == s.environment && at.ambient == s.ambient && at.hasAmbient == s.hasAmbient {
			at.length += l
			return
		}
	}
	s.length = l
	p.sections = append(p.sections, s)
}

func (p *path) scale(to quantity.Metres) {
	factor := to / p.length
	for i := range p.sections {
		p.sections[i].length *= factor
	}
	p.length = to
}

// governing gives the sections long enough to govern the run: 0.3 m or more, or
// all of them where none is.
func (p *path) governing(least quantity.Metres) []section {
	var out []section
	for _, s := range p.sections {
		if s.length >= least {
			out = append(out, s)
		}
	}
	if len(out) == 0 {
		out = append(out, p.sections...)
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].environment < out[j].environment })
	return out
}
