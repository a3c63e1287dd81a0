package design_test

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// camper is a van with a second battery of a chemistry in the rear.
func camper(second electrical.Chemistry) *catalog.Vehicle {
	v := coachVan()
	v.Batteries = append(v.Batteries, catalog.Battery{ID: "house", Chemistry: second, Capacity: 100, Zone: "rear", Stud: "M10"})
	if second != electrical.Lithium {
		v.Batteries[1].ColdCranking = 700
	}
	v.SetDefaults()
	return v
}

// withoutPostBlocks is the demo shop without the fuse blocks that sit on a battery's
// post: its links have holders in line.
func withoutPostBlocks(t testing.TB) *catalog.Catalog {
	t.Helper()
	return readShop(t, leanFolderOf(t, "holders.csv", func(rows table, i int) bool {
		return rows[i][slices.Index(rows[0], "post_hole_mm")] == ""
	}))
}

// joined gives a link from the first battery to the second.
func joined(kind catalog.LinkKind, rated quantity.Amps) catalog.Link {
	return catalog.Link{ID: "link", From: "main", To: "house", Kind: kind, Rated: rated}
}

func linked(l ...catalog.Link) design.System { return design.System{Links: l} }

// circuitNamed gives a circuit by its id.
func circuitNamed(t testing.TB, d *design.Design, id string) *design.Circuit {
	t.Helper()
	i := slices.IndexFunc(d.Circuits, func(c design.Circuit) bool { return c.ID == id })
	require.GreaterOrEqual(t, i, 0, "no circuit %s", id)
	return &d.Circuits[i]
}

// warmOhms is the resistance of a copper run from its gauge, by ASTM B258 and the
// resistivity of IEC 60028 with 2 % of lay, at the temperature it is said to have.
func warmOhms(t require.TestingT, r *design.Run) float64 {
	text, ok := strings.CutSuffix(r.Conductor.Size.String(), " AWG")
	require.True(t, ok, "%s is no gauge", r.Conductor.Size)
	n := 0.0
	if zeros, ok := strings.CutSuffix(text, "/0"); ok {
		text = zeros
		n = 1
	}
	number, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	if n == 1 { // 1/0 is 0, 2/0 is -1
		number = 1 - number
	}
	d := 0.127 * math.Pow(92, (36-number)/39)
	return 0.017241 / (math.Pi / 4 * d * d) * 1.02 * (1 + 0.00393*(float64(r.Temperature)-20)) * float64(r.Length)
}

// parts of a circuit's resistance, worked out from what is written.
func conductorOhms(t require.TestingT, c *design.Circuit, p design.Polarity) float64 {
	sum := 0.0
	for i := range c.Runs {
		if c.Runs[i].Polarity == p {
			sum += warmOhms(t, &c.Runs[i])
		}
	}
	return sum
}

// jointOhms is everything on one side of a circuit that is no conductor: ends, the
// clamp of a holder on the post, fuses with their holders, the relay's contact.
func jointOhms(c *design.Circuit, p design.Polarity) float64 {
	sum := 0.0
	for _, r := range c.Runs {
		if r.Polarity == p {
			sum += float64(r.Ends[0].Plan.Resistance + r.Ends[1].Plan.Resistance)
		}
	}
	if p == design.Return {
		return sum
	}
	for _, o := range []*design.Overcurrent{&c.Protection, c.FarProtection} {
		if o == nil {
			continue
		}
		if o.Holder != nil && o.Holder.OnPost() {
			sum += 0.1e-3
		}
		figures, _ := electrical.FamilyOf(o.Fuse.Family)
		rating := float64(o.Fuse.Rating)
		share := max(float64(c.Runs[0].Current), float64(c.Load)) / rating
		sum += figures.ColdMillivolts/rating*1e-3*(1+0.4*share*share) + float64(figures.Contacts)
	}
	if c.Relay != nil {
		if c.Relay.Part.Contact >= 100 {
			sum += 0.3e-3
		} else {
			sum += 2e-3
		}
	}
	return sum
}

// bodyOhms is the allowance for the body (common practice, no source).
func bodyOhms(c *design.Circuit, category electrical.Category) float64 {
	switch {
	case c.Runs[len(c.Runs)-1].To.Kind != design.AtChassis:
		return 0
	case category == electrical.Truck:
		return 2e-3
	}
	return 1e-3
}

// totalOhms is the whole resistance of a circuit.
func totalOhms(t require.TestingT, c *design.Circuit, category electrical.Category) float64 {
	return conductorOhms(t, c, design.Feed) + conductorOhms(t, c, design.Return) + jointOhms(c, design.Feed) + jointOhms(c, design.Return) + bodyOhms(c, category)
}

// TestBatteriesJoined: a feed between two posts with equal fuses at both ends, each
// within the distance that its own battery asks for and able to break what that
// battery gives.
func TestBatteriesJoined(t *testing.T) {
	t.Parallel()
	cat := withoutPostBlocks(t)
	tests := []struct {
		name      string
		kind      catalog.LinkKind
		vehicle   *catalog.Vehicle
		rated     quantity.Amps
		near, far float64 // m: 450 mm, but 180 mm for lithium and in the cabin (common practice)
	}{
		{"split relay", catalog.SplitRelay, camper(electrical.AGM), 80, 0.45, 0.18},
		{"parallel", catalog.Parallel, camper(electrical.AGM), 80, 0.45, 0.18},
		{"lithium at the far end", catalog.Parallel, camper(electrical.Lithium), 60, 0.45, 0.18},
		{"lithium at the far end, in the heat", catalog.Parallel, heated(camper(electrical.Lithium)), 60, 0.45, 0.18},
		{"the other way", catalog.Parallel, reversed(camper(electrical.AGM)), 60, 0.18, 0.45},
		{"afloat", catalog.Parallel, afloat(camper(electrical.AGM)), 60, 7 * 0.0254, 7 * 0.0254}, // 33 CFR 183.455(b)(1)
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			v := tt.vehicle
			got := made(t, cat, v, linked(catalog.Link{ID: "link", From: v.Batteries[0].ID, To: v.Batteries[1].ID, Kind: tt.kind, Rated: tt.rated}))
			require.Len(t, got.Circuits, 1)
			c := &got.Circuits[0]
			require.NotNil(t, c.FarProtection)
			assert.Equal(t, c.Protection.Fuse.SKU, c.FarProtection.Fuse.SKU)
			assert.GreaterOrEqual(t, float64(c.Protection.Fuse.Rating), float64(tt.rated)/0.8)
			assert.Equal(t, v.Batteries[0].Zone, c.Protection.Zone)
			assert.Equal(t, v.Batteries[1].Zone, c.FarProtection.Zone)
			source, far := runNamed(t, c, "link/source"), runNamed(t, c, "link/far")
			assert.InDelta(t, tt.near, float64(c.Protection.Distance), 1e-9)
			assert.InDelta(t, tt.near, float64(source.Length), 1e-9)
			assert.InDelta(t, tt.far, float64(c.FarProtection.Distance), 1e-9)
			assert.InDelta(t, tt.far, float64(far.Length), 1e-9)
			assert.Equal(t, design.Point{Kind: design.AtFarFuse, ID: "link"}, far.From)
			assert.Equal(t, v.Batteries[0].Stud, source.Ends[0].Landing.Stud)
			assert.Equal(t, v.Batteries[1].Stud, far.Ends[1].Landing.Stud)
			for _, r := range c.Runs {
				for k := range r.Ends {
					fits(t, &r, k)
				}
			}
			assert.Equal(t, tt.kind == catalog.SplitRelay, c.Relay != nil)
			assert.LessOrEqual(t, float64(c.Running.ConductorDrop), 0.03*12+1e-9)
			assert.LessOrEqual(t, float64(c.Running.Drop), 0.05*12+1e-9)
			assert.InDelta(t, float64(tt.rated)*totalOhms(t, c, v.Category), float64(c.Running.Drop), 1e-9)
			assert.Nil(t, c.EngineOff)
			assert.Empty(t, c.Nodes, "a link carries charge, not a load")
		})
	}
}

// TestBatteriesJoinedOnTheirPosts: where vapour gathers at both batteries only the
// fuses on the posts are ignition-protected, so the link runs from block to block, and
// each block goes over its own battery's stud.
func TestBatteriesJoinedOnTheirPosts(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	for _, studs := range [][2]catalog.Stud{{"M8", "5/16"}, {"M10", "M10"}, {"M8", "M10"}, {"M10", "M8"}, {"M8", "M12"}} {
		v := camper(electrical.AGM)
		for i := range v.Batteries {
			v.Batteries[i].Stud = studs[i]
			for k := range v.Zones {
				v.Zones[k].Vapour = v.Zones[k].Vapour || v.Zones[k].ID == v.Batteries[i].Zone
			}
		}
		got, err := design.New(cat).Design(v, linked(joined(catalog.Parallel, 60)))
		if studs[1] == "M12" {
			u, ok := unmet(err)
			require.True(t, ok, "no block goes over M12: %v", err)
			assert.Equal(t, "link", u.At)
			continue
		}
		require.NoError(t, err)
		c := &got.Circuits[0]
		for k, o := range []*design.Overcurrent{&c.Protection, c.FarProtection} {
			require.NotNil(t, o)
			assert.True(t, o.Holder.OnPost())
			assert.True(t, goesOver(o.Holder, studs[k]))
			assert.Zero(t, o.Distance)
			assert.GreaterOrEqual(t, o.Interrupting, o.Prospective)
		}
		require.Len(t, c.Runs, 2, "a feed from block to block, and the return")
		feed := &c.Runs[0]
		assert.Equal(t, design.Point{Kind: design.AtFuseHolder, ID: "link"}, feed.From)
		assert.Equal(t, design.Point{Kind: design.AtFarFuse, ID: "link"}, feed.To)
		for k := range feed.Ends {
			assert.Equal(t, []*design.Overcurrent{&c.Protection, c.FarProtection}[k].Holder.Landing, feed.Ends[k].Landing)
			fits(t, feed, k)
		}
		assert.InDelta(t, 60*totalOhms(t, c, v.Category), float64(c.Running.Drop), 1e-9)
		assert.False(t, slices.ContainsFunc(c.Sundries, func(m design.Material) bool { return m.Sundry.Use == catalog.UseBoot }), "the blocks have covers of their own")
	}
}

// reversed gives a vehicle whose batteries are named the other way round.
func reversed(v *catalog.Vehicle) *catalog.Vehicle {
	slices.Reverse(v.Batteries)
	return v
}

// heated puts the rear of a vehicle into its engine space.
func heated(v *catalog.Vehicle) *catalog.Vehicle {
	v.Zones[2].Environment = electrical.EngineSpace
	return v
}

// afloat makes a boat of a van.
func afloat(v *catalog.Vehicle) *catalog.Vehicle {
	v.Category, v.Body, v.Fuel = electrical.Boat, catalog.GlassFibre, catalog.Diesel
	return v
}

// fits tells that an end is made of what takes its cable and lands where it ends.
func fits(t require.TestingT, r *design.Run, k int) {
	e := &r.Ends[k]
	assert.True(t, e.Landing.Admits(r.Conductor.Size), "%s end %d", r.ID, k)
	term := e.Plan.Terminal
	if term == nil { // a splice
		assert.NotNil(t, e.Plan.Sleeve, "%s end %d", r.ID, k)
		return
	}
	assert.True(t, term.Takes.Includes(r.Conductor.Size), "%s end %d", r.ID, k)
	assert.LessOrEqual(t, r.Conductor.BundleDiameter, term.BarrelInner, "%s end %d", r.ID, k)
	if e.Landing.Stud != "" {
		stud, _ := e.Landing.Stud.Diameter()
		assert.Greater(t, term.Hole, stud, "%s end %d", r.ID, k)
	}
}

// TestEachEndBreaksItsOwnBank: lithium of 5000 A at the far end is beyond fuses
// that the starting battery alone would be content with.
func TestEachEndBreaksItsOwnBank(t *testing.T) {
	t.Parallel()
	cat := withoutPostBlocks(t)
	for _, short := range []quantity.Amps{0, 8000, 15000} {
		for _, way := range []string{"to lithium", "from lithium"} {
			t.Run(fmt.Sprintf("%v A %s", float64(short), way), func(t *testing.T) {
				t.Parallel()
				v := camper(electrical.Lithium)
				v.Batteries[1].ShortCircuit = short
				l := joined(catalog.Parallel, 60)
				if way == "from lithium" {
					l.From, l.To = l.To, l.From
				}
				c := &made(t, cat, v, linked(l)).Circuits[0]
				at := &c.Protection
				if way == "to lithium" {
					at = c.FarProtection
				}
				ohms := 2e-3 // 2 mΩ for 100 Ah, the low bound of lithium (common practice, no source)
				if short > 0 {
					ohms = 12 / float64(short) // nominal volts over the maker's figure
				}
				figures, _ := electrical.FamilyOf(at.Fuse.Family)
				cold := runNamed(t, c, "link/far").Conductor.ResistancePerMetre(20)
				ohms += float64(cold)*float64(at.Distance) + float64(figures.Contacts) + figures.ColdMillivolts/float64(at.Fuse.Rating)*1e-3
				assert.InEpsilon(t, 12.8/ohms, float64(at.Prospective), 1e-6)
				assert.GreaterOrEqual(t, float64(at.Fuse.InterruptingAt(15)), 12.8/ohms)
			})
		}
	}
}

// TestFarFuseInTheHeat: a holder under the bonnet is at 65 °C (common practice, no
// source); a fuse that carries the link in the cabin alone is not enough.
func TestFarFuseInTheHeat(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	for rated := quantity.Amps(12); rated <= 120; rated += 4 {
		v := reversed(camper(electrical.AGM))
		c := &made(t, cat, v, linked(catalog.Link{ID: "link", From: "house", To: "main", Kind: catalog.Parallel, Rated: rated})).Circuits[0]
		for zone, ambient := range map[string]quantity.Celsius{c.Protection.Zone: 30, c.FarProtection.Zone: 65} {
			f := c.Protection.Fuse
			assert.LessOrEqual(t, float64(rated), float64(f.Rating)*min(0.8, electrical.ShareAtAmbient(f.Family, ambient))+1e-9, "%v A in %s", rated, zone)
		}
	}
}

// TestChargersBetween: a DC-DC charger draws 1.2 times its output (common practice,
// no source) and has a circuit from each battery; a shore charger and a solar
// controller have one from the battery they charge.
func TestChargersBetween(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	v := camper(electrical.Lithium)
	shore := catalog.Link{ID: "shore", From: "dash", To: "house", Kind: catalog.ShoreCharger, Rated: 20}
	solar := catalog.Link{ID: "sun", From: "rear", To: "house", Kind: catalog.Solar, Rated: 15}
	got := made(t, cat, v, linked(joined(catalog.DCDCCharger, 30), shore, solar))
	want := []struct {
		id, from string
		load     quantity.Amps
		metres   float64 // battery loop 0.15, routes and reach with 10 % more, loop 0.1
	}{
		{"link-in", "main", 36, 0.15 + 3.2*1.1 + 0.5*1.1 + 0.1},
		{"link-out", "house", 30, 0.15 + 0.5*1.1 + 0.1},
		{"shore", "house", 20, 0.15 + 2*1.1 + 0.5*1.1 + 0.1},
		{"sun", "house", 15, 0.15 + 0.5*1.1 + 0.1},
	}
	require.Len(t, got.Circuits, len(want))
	for _, w := range want {
		c := circuitNamed(t, got, w.id)
		assert.Equal(t, w.from, c.FedFrom, w.id)
		assert.InDelta(t, float64(w.load), float64(c.Load), 1e-9, w.id)
		assert.Nil(t, c.FarProtection, "%s: one battery end", w.id)
		assert.Nil(t, c.Relay, w.id)
		assert.InDelta(t, w.metres, feedOf(c), 1e-9, w.id)
		assert.InDelta(t, float64(w.load)*totalOhms(t, c, v.Category)+bodyShare(got, c)*bodyOhms(c, v.Category), float64(c.Running.Drop), 1e-9, w.id)
		assert.LessOrEqual(t, float64(c.Running.ConductorDrop), 0.36+1e-9, w.id)
		assert.LessOrEqual(t, float64(c.Running.Drop), 0.6+1e-9, w.id)
	}
	assert.Empty(t, codesAt(got, "lithium_bare_link"), "a charger stands between")
}

// bodyShare is what the other circuits put through the body.
func bodyShare(d *design.Design, of *design.Circuit) float64 {
	sum := 0.0
	for i := range d.Circuits {
		c := &d.Circuits[i]
		if c.ID != of.ID && c.Kind != design.TrunkCircuit && c.Runs[len(c.Runs)-1].To.Kind == design.AtChassis {
			sum += float64(c.Runs[0].Current)
		}
	}
	return sum
}

// codesAt gives where an advice is given.
func codesAt(d *design.Design, code string) []string {
	var at []string
	for _, a := range d.Advice {
		if a.Code == code {
			at = append(at, a.At)
		}
	}
	return at
}

// TestEquipmentOfALinkIsSoldOnce, at the input of a DC-DC charger.
func TestEquipmentOfALinkIsSoldOnce(t *testing.T) {
	t.Parallel()
	l := joined(catalog.DCDCCharger, 30)
	l.EquipmentSKU = "EQ-CHG-DC30"
	got := made(t, demoShop(t), camper(electrical.AGM), linked(l))
	sold := 0
	for _, c := range got.Circuits {
		for _, e := range c.Equipment {
			if e.Part != nil {
				sold += e.Count
				assert.Equal(t, "EQ-CHG-DC30", e.Part.SKU)
			}
		}
	}
	assert.Equal(t, 1, sold)
}

// TestLithiumBareLink: advice where lithium and lead are joined without a charger.
func TestLithiumBareLink(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	for _, kind := range []catalog.LinkKind{catalog.SplitRelay, catalog.Parallel} {
		assert.Equal(t, []string{"link"}, codesAt(made(t, cat, camper(electrical.Lithium), linked(joined(kind, 60))), "lithium_bare_link"), kind)
		assert.Empty(t, codesAt(made(t, cat, camper(electrical.AGM), linked(joined(kind, 60))), "lithium_bare_link"), kind)
	}
}

// TestLinksStayOffBlocks: with trunks asked for, the links keep feeds of their own.
func TestLinksStayOffBlocks(t *testing.T) {
	t.Parallel()
	s := linked(joined(catalog.SplitRelay, 60), catalog.Link{ID: "sun", From: "rear", To: "main", Kind: catalog.Solar, Rated: 10})
	s.Layout = design.TrunkFeeds
	for _, id := range []string{"a", "b", "c"} {
		d := draws(electrical.Light, 4)
		d.ID = id
		s.Devices = append(s.Devices, d)
	}
	got := made(t, demoShop(t), camper(electrical.AGM), s)
	require.NotEmpty(t, got.Blocks)
	for _, id := range []string{"link", "sun"} {
		assert.Equal(t, design.SingleCircuit, circuitNamed(t, got, id).Kind)
	}
	for _, id := range []string{"a", "b", "c"} {
		assert.Equal(t, design.BranchCircuit, circuitNamed(t, got, id).Kind)
	}
}

// TestLinkViolations are told at their field.
func TestLinkViolations(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, field string
		change      func(*catalog.Link)
	}{
		{"no id", ".id", func(l *catalog.Link) { l.ID = "" }},
		{"a device's id", ".id", func(l *catalog.Link) { l.ID = "first" }},
		{"the other link's id", ".id", func(l *catalog.Link) { l.ID = "other" }},
		{"a side that is a device's id", ".id", func(l *catalog.Link) { l.ID, l.Kind = "dc", catalog.DCDCCharger }},
		{"no kind", ".kind", func(l *catalog.Link) { l.Kind = "" }},
		{"a kind unheard of", ".kind", func(l *catalog.Link) { l.Kind = "rope" }},
		{"no current", ".rated_a", func(l *catalog.Link) { l.Rated = 0 }},
		{"a current that is no number", ".rated_a", func(l *catalog.Link) { l.Rated = quantity.Amps(nan) }},
		{"current without end", ".rated_a", func(l *catalog.Link) { l.Rated = quantity.Amps(inf) }},
		{"from a battery that is not there", ".from", func(l *catalog.Link) { l.From = "attic" }},
		{"to a battery that is not there", ".to", func(l *catalog.Link) { l.To = "attic" }},
		{"to itself", ".to", func(l *catalog.Link) { l.To = l.From }},
		{"a charger in no zone", ".from", func(l *catalog.Link) { l.Kind, l.From = catalog.ShoreCharger, "main" }},
		{"a charger nobody sells", ".equipment_sku", func(l *catalog.Link) { l.EquipmentSKU = "EQ-NONE" }},
		{"no way between", ".to", func(l *catalog.Link) { l.To = "shed" }},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			slip{tt.name, func(v *catalog.Vehicle, s *design.System) {
				*v = *camper(electrical.AGM)
				v.Zones = append(v.Zones, catalog.Zone{ID: "shed", Label: "shed", Environment: electrical.Cabin, Reach: 1})
				v.Batteries = append(v.Batteries, catalog.Battery{ID: "shed", Chemistry: electrical.AGM, Capacity: 80, Zone: "shed", Count: 1, Role: catalog.Both})
				s.Devices[0].ID, s.Devices[1].ID = "first", "dc-in"
				l := joined(catalog.Parallel, 40)
				tt.change(&l)
				s.Links = []catalog.Link{{ID: "other", From: "main", To: "house", Kind: catalog.Parallel, Rated: 40}, l}
			}, "system.links[1]" + tt.field}.run(t)
		})
	}
	_, err := design.New(demoShop(t)).Design(camper(electrical.AGM), design.System{})
	bad, ok := violations(err)
	require.True(t, ok, "neither device nor link is no job")
	assert.Equal(t, "system.devices", bad[0].Field)
}

// TestOtherVoltage: a device for other volts than the vehicle's is not met, and
// told what would: a 12 V load never hangs on one half of a 24 V pair.
func TestOtherVoltage(t *testing.T) {
	t.Parallel()
	designer := design.New(demoShop(t))
	for _, tt := range []struct{ vehicle, device quantity.Volts }{{24, 12}, {12, 24}, {12, 48}} {
		v, d := van(), draws(electrical.Light, 5)
		v.Nominal, d.Nominal = tt.vehicle, tt.device
		_, err := designer.Design(v, oneDevice(d))
		u, ok := unmet(err)
		require.True(t, ok, "%v", err)
		assert.Equal(t, "other_voltage", u.Constraint)
		assert.Equal(t, "d", u.At)
		own, _ := numberOf(u.Figures, "nominal_v")
		assert.InDelta(t, float64(tt.device), own, 0)
		assert.True(t, advises(u, "nearest.converter"))
		d.Nominal = tt.vehicle
		_, err = designer.Design(v, oneDevice(d))
		require.NoError(t, err, "its own volts")
	}
	slip{"volts of no system", func(_ *catalog.Vehicle, s *design.System) { s.Devices[1].Nominal = 13.8 }, "system.devices[1].nominal_v"}.run(t)
}

// TestGrowth: a trunk carries so much more than its branches draw, a feed of its
// own does not.
func TestGrowth(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	for _, layout := range []design.Layout{design.SingleFeeds, design.TrunkFeeds} {
		for _, growth := range []quantity.Percent{0, 25, 100} {
			s := design.System{Layout: layout, Growth: growth}
			for _, id := range []string{"a", "b", "c"} {
				d := draws(electrical.Heater, 6)
				d.ID = id
				s.Devices = append(s.Devices, d)
			}
			got := made(t, cat, coachVan(), s)
			for _, c := range got.Circuits {
				want := 6.0
				if c.Kind == design.TrunkCircuit {
					want = 18 * (1 + float64(growth)/100)
				}
				assert.InDelta(t, want, float64(c.Load), 1e-9, "%s with %v %%", c.ID, growth)
				assert.GreaterOrEqual(t, float64(c.Protection.Fuse.Rating), want/0.8, "%s with %v %%", c.ID, growth)
			}
			assert.Equal(t, layout == design.TrunkFeeds, len(got.Blocks) > 0)
		}
	}
	slip{"no number", func(_ *catalog.Vehicle, s *design.System) { s.Growth = quantity.Percent(nan) }, "system.growth_percent"}.run(t)
	slip{"less than there is", func(_ *catalog.Vehicle, s *design.System) { s.Growth = -1 }, "system.growth_percent"}.run(t)
}

// anyJoined draws a vehicle with two batteries, switched and plain devices, and links.
func anyJoined(t *rapid.T) (*catalog.Vehicle, design.System) {
	v := camper(rapid.SampledFrom(electrical.Chemistries()).Draw(t, "second"))
	v.Category = rapid.SampledFrom([]electrical.Category{electrical.Van, electrical.Truck, electrical.Boat, electrical.Motorcycle}).Draw(t, "category")
	v.Body = rapid.SampledFrom([]catalog.Body{catalog.Steel, catalog.Aluminium}).Draw(t, "body")
	v.Nominal = rapid.SampledFrom([]quantity.Volts{12, 12, 24}).Draw(t, "nominal")
	v.Zones[0].Environment = rapid.SampledFrom([]electrical.Environment{electrical.EngineSpace, electrical.Cabin, electrical.WetLocker}).Draw(t, "engine")
	for i := range v.Routes {
		v.Routes[i].Length = quantity.Metres(rapid.IntRange(20, 400).Draw(t, "route cm")) / 100
	}
	s := design.System{Layout: rapid.SampledFrom(design.LayoutChoices()).Draw(t, "layout"), Growth: quantity.Percent(rapid.IntRange(0, 50).Draw(t, "growth"))}
	zones, batteries := []string{"engine", "dash", "rear"}, []string{"main", "house"}
	for i := range rapid.IntRange(0, 4).Draw(t, "devices") {
		d := draws(rapid.SampledFrom([]electrical.DeviceKind{electrical.Heater, electrical.Light, electrical.Fan, electrical.Pump}).Draw(t, "kind"), quantity.Amps(rapid.IntRange(1, 28).Draw(t, "amps")))
		d.ID, d.Zone, d.FedFrom = fmt.Sprintf("d%d", i), rapid.SampledFrom(zones).Draw(t, "zone"), rapid.SampledFrom(batteries).Draw(t, "battery")
		d.Switched = rapid.Bool().Draw(t, "switched")
		s.Devices = append(s.Devices, d)
	}
	least := 0
	if len(s.Devices) == 0 {
		least = 1
	}
	for i := range rapid.IntRange(least, 3).Draw(t, "links") {
		l := joined(rapid.SampledFrom(catalog.LinkKinds()).Draw(t, "link"), quantity.Amps(rapid.IntRange(5, 90).Draw(t, "rated")))
		l.ID = fmt.Sprintf("l%d", i)
		if rapid.Bool().Draw(t, "the other way") {
			l.From, l.To = l.To, l.From
		}
		if l.Kind == catalog.ShoreCharger || l.Kind == catalog.Solar {
			l.From = rapid.SampledFrom(zones).Draw(t, "stands in")
		}
		s.Links = append(s.Links, l)
	}
	return v, s
}

// TestRelaysAndLinksInAnySystem: what is written is what was promised. The drops
// add up from the runs, ends, fuses and contacts; every end fits; every battery end
// of a link has its fuse; and the lines of the quote come to its total.
func TestRelaysAndLinksInAnySystem(t *testing.T) {
	cat := demoShop(t)
	designer := design.New(cat)
	relays, links, trunks := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		v, s := anyJoined(t)
		got, err := designer.Design(v, s)
		if _, ok := unmet(err); ok {
			return
		}
		require.NoError(t, err)
		for i := range got.Circuits {
			c := &got.Circuits[i]
			if c.Kind == design.TrunkCircuit {
				trunks++
			}
			if c.Relay != nil {
				relays++
				assert.GreaterOrEqual(t, c.Relay.Part.Contact, c.Protection.Fuse.Rating, c.ID)
				assert.Equal(t, v.Nominal, c.Relay.Part.CoilV, c.ID)
			}
			if c.FarProtection != nil {
				links++
				assert.Equal(t, c.Protection.Fuse.SKU, c.FarProtection.Fuse.SKU, c.ID)
			}
			dropsAddUp(t, v, got, c)
		}
		for i := range got.Circuits {
			endsFit(t, &got.Circuits[i])
		}
		for i := range got.Leads {
			endsFit(t, &got.Leads[i].Circuit)
		}
	})
	assert.Positive(t, relays)
	assert.Positive(t, links)
	assert.Positive(t, trunks)
}

func endsFit(t require.TestingT, c *design.Circuit) {
	for i := range c.Runs {
		for k := range c.Runs[i].Ends {
			fits(t, &c.Runs[i], k)
		}
	}
}

// dropsAddUp works a circuit's drop out again, behind its trunk where it has one.
func dropsAddUp(t require.TestingT, v *catalog.Vehicle, d *design.Design, c *design.Circuit) {
	i := float64(c.Runs[0].Current)
	conductors := i * conductorOhms(t, c, design.Feed)
	total := conductors + i*jointOhms(c, design.Feed)
	back := i
	if c.Kind == design.TrunkCircuit {
		back = 0 // nothing may come back on it
		if last := c.Runs[len(c.Runs)-1]; last.Polarity == design.Return {
			back = float64(last.Current)
		}
	}
	conductors += back * conductorOhms(t, c, design.Return)
	total += back * (conductorOhms(t, c, design.Return) + jointOhms(c, design.Return))
	total += (i + bodyShare(d, c)) * bodyOhms(c, v.Category)
	for k := range d.Circuits {
		trunk := &d.Circuits[k]
		if trunk.Kind != design.TrunkCircuit || trunk.ID != c.FedFrom {
			continue
		}
		shared := float64(trunk.Runs[0].Current)
		wires := shared * conductorOhms(t, trunk, design.Feed)
		whole := wires + shared*jointOhms(trunk, design.Feed)
		if last := trunk.Runs[len(trunk.Runs)-1]; bodyOhms(c, v.Category) == 0 && last.Polarity == design.Return {
			returning := float64(last.Current)
			wires += returning * conductorOhms(t, trunk, design.Return)
			whole += returning * (conductorOhms(t, trunk, design.Return) + jointOhms(trunk, design.Return))
		}
		conductors, total = conductors+wires, total+whole
	}
	assert.InDelta(t, conductors, float64(c.Running.ConductorDrop), 1e-9, c.ID)
	assert.InDelta(t, total, float64(c.Running.Drop), 1e-9, c.ID)
	assert.LessOrEqual(t, total, float64(c.Running.LimitPercent)/100*float64(v.Nominal)+1e-6, c.ID)
	assert.LessOrEqual(t, conductors, float64(c.Running.ConductorLimitPercent)/100*float64(v.Nominal)+1e-6, c.ID)
}

// methodLink works an example of a link out, from the battery under a van's bonnet
// to one in its rear.
func methodLink(t *testing.T, e *methodExample) map[string]string {
	t.Helper()
	got := made(t, withoutPostBlocks(t), camper(electrical.Chemistry(e.word("second"))), linked(joined(catalog.LinkKind(e.word("kind")), quantity.Amps(e.number(t, "rated", "A")))))
	first, last := &got.Circuits[0], &got.Circuits[len(got.Circuits)-1]
	out := map[string]string{
		"current": methodFigure(first.Load, "A"), "fuse": methodFigure(first.Protection.Fuse.Rating, "A"), "distance": methodFigure(first.Protection.Distance, "m"),
		"conductors": methodFigure(first.Running.ConductorDrop, "V"), "total": methodFigure(first.Running.Drop, "V"),
		"far_current": methodFigure(last.Load, "A"), "far_fuse": methodFigure(last.Protection.Fuse.Rating, "A"), "far_distance": methodFigure(last.Protection.Distance, "m"),
	}
	if far := first.FarProtection; far != nil {
		out["far_fuse"], out["far_distance"] = methodFigure(far.Fuse.Rating, "A"), methodFigure(far.Distance, "m")
	}
	return out
}
