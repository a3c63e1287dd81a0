package design_test

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// shopWithout gives the demo shop without the rows of a file that begin with one
// of some texts.
func shopWithout(t testing.TB, file string, rows ...string) *catalog.Catalog {
	t.Helper()
	folder := fstest.MapFS{}
	require.NoError(t, fs.WalkDir(demo.Files(), ".", func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := fs.ReadFile(demo.Files(), path)
		folder[path] = &fstest.MapFile{Data: data}
		return err
	}))
	var kept strings.Builder
	for line := range strings.Lines(string(folder[file].Data)) {
		if !slices.ContainsFunc(rows, func(row string) bool { return strings.HasPrefix(line, row) }) {
			kept.WriteString(line)
		}
	}
	require.Less(t, kept.Len(), len(folder[file].Data), "no row of %s begins so", file)
	folder[file] = &fstest.MapFile{Data: []byte(kept.String())}
	keepCurves(t, folder)
	cat, err := catalog.Read(folder)
	require.NoError(t, err)
	return cat
}

// coachVan is a van with its controls at the dashboard.
func coachVan() *catalog.Vehicle {
	v := van()
	v.Zones[1].Controls = true
	return v
}

// switched gives a heater in the rear that a switch at the controls turns on.
func switched(i quantity.Amps) design.Device {
	d := draws(electrical.Heater, i)
	d.Switched = true
	return d
}

// made designs a system that can be met.
func made(t testing.TB, cat *catalog.Catalog, v *catalog.Vehicle, s design.System) *design.Design {
	t.Helper()
	got, err := design.New(cat).Design(v, s)
	require.NoError(t, err)
	return got
}

// runNamed gives a run of a circuit.
func runNamed(t testing.TB, c *design.Circuit, id string) *design.Run {
	t.Helper()
	i := slices.IndexFunc(c.Runs, func(r design.Run) bool { return r.ID == id })
	require.GreaterOrEqual(t, i, 0, "%s has no run %s", c.ID, id)
	return &c.Runs[i]
}

// leadNamed gives a lead by its id.
func leadNamed(t testing.TB, d *design.Design, id string) *design.LeadPlan {
	t.Helper()
	i := slices.IndexFunc(d.Leads, func(l design.LeadPlan) bool { return l.ID == id })
	require.GreaterOrEqual(t, i, 0, "no lead %s", id)
	return &d.Leads[i]
}

func works(list []catalog.Work, task catalog.Task) bool {
	return slices.ContainsFunc(list, func(w catalog.Work) bool { return w.Operation.Task == task })
}

// TestRelayAboveTenAmperes: a switched load above 10 A is switched by a relay
// (common practice, no source); one up to that, or one that nobody switches, is not.
func TestRelayAboveTenAmperes(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	tests := []struct {
		name     string
		amps     quantity.Amps
		switched bool
		want     string
	}{
		{"a small load", 4, true, ""},
		{"10 A itself", 10, true, ""},
		{"just above", 10.1, true, "RL-040-12"},
		{"the tabs of 6.3 mm do not take 8 AWG", 32, true, "RL-070-12"},
		{"behind a fuse of 50 A", 33, true, "RL-070-12"},
		{"behind a fuse of 80 A", 60, true, "RL-100-12"},
		{"behind a fuse of 125 A", 90, true, "RL-200-12"},
		{"a large load that nobody switches", 60, false, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			d := switched(tt.amps)
			d.Switched = tt.switched
			got := made(t, cat, coachVan(), oneDevice(d))
			c := &got.Circuits[0]
			if tt.want == "" {
				assert.Nil(t, c.Relay)
				assert.Empty(t, got.Leads)
				assert.False(t, works(c.Work, catalog.TaskRelay))
				return
			}
			require.NotNil(t, c.Relay)
			assert.Equal(t, tt.want, c.Relay.Part.SKU)
			assert.Equal(t, "engine", c.Relay.Zone, "beside the fuse")
			assert.GreaterOrEqual(t, c.Relay.Part.Contact, c.Protection.Fuse.Rating)
			require.Len(t, c.Relay.Reasons, 1)
			assert.Equal(t, "relay.needed", c.Relay.Reasons[0].Rule)
			assert.True(t, works(c.Work, catalog.TaskRelay))
		})
	}
}

// TestRelayContactBearsTheFuse: whatever the current, the contact bears the fuse,
// and no other relay that would, and that the cable can be landed on, costs less
// with its two ends.
func TestRelayContactBearsTheFuse(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	designer, planner := design.New(cat), termination.NewPlanner(cat)
	seen := map[string]bool{}
	for amps := quantity.Amps(11); amps <= 140; amps += 3 {
		got, err := designer.Design(coachVan(), oneDevice(switched(amps)))
		require.NoError(t, err, "%v A", amps)
		c := &got.Circuits[0]
		require.NotNil(t, c.Relay, "%v A", amps)
		assert.GreaterOrEqual(t, c.Relay.Part.Contact, c.Protection.Fuse.Rating, "%v A", amps)
		feed := runNamed(t, c, "d/feed")
		for _, other := range cat.Relays {
			if other.CoilV != 12 || other.Contact < c.Protection.Fuse.Rating {
				continue
			}
			end, err := planner.Plan(termination.Joint{Landing: other.Landing, Conductor: feed.Conductor, Category: electrical.Van, Environment: electrical.EngineSpace})
			if err == nil {
				assert.GreaterOrEqual(t, other.UnitNano+2*end.Nano, c.Relay.Part.UnitNano+2*feed.Ends[0].Plan.Nano, "%v A: %s", amps, other.SKU)
			}
		}
		seen[c.Relay.Part.SKU] = true
	}
	assert.Len(t, seen, 4, "every relay with a 12 V coil has its turn")
}

func TestCoilIsForTheNominalVolts(t *testing.T) {
	t.Parallel()
	v := coachVan()
	v.Nominal = 24
	c := &made(t, demoShop(t), v, oneDevice(switched(20))).Circuits[0]
	require.NotNil(t, c.Relay)
	assert.Equal(t, quantity.Volts(24), c.Relay.Part.CoilV)
}

// TestRelayIsSealedWhereItMustBe: in the cabin an open relay will do, under the
// bonnet it will not.
func TestRelayIsSealedWhereItMustBe(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	for i := range cat.Relays {
		cat.Relays[i].Sealed = cat.Relays[i].Contact > 40
	}
	v := coachVan()
	assert.Equal(t, "RL-040-12", made(t, demoShop(t), v, oneDevice(switched(14))).Circuits[0].Relay.Part.SKU)
	assert.Equal(t, "RL-070-12", made(t, cat, v, oneDevice(switched(14))).Circuits[0].Relay.Part.SKU)
	v.Batteries[0].Zone = "dash"
	assert.Equal(t, "RL-040-12", made(t, cat, v, oneDevice(switched(14))).Circuits[0].Relay.Part.SKU)
}

// TestRelayThatCannotBeHad says that the relay is what is missing.
func TestRelayThatCannotBeHad(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name       string
		cat        *catalog.Catalog
		change     func(*catalog.Vehicle)
		constraint string
	}{
		{"none stocked for the volts", shopWithout(t, "relays.csv", "RL-040-12", "RL-070-12", "RL-100-12", "RL-200-12"), func(*catalog.Vehicle) {}, "relay"},
		{"vapour where it would sit", demoShop(t), func(v *catalog.Vehicle) { v.Zones[0].Vapour = true }, "relay"},
		{"no fuse for its coil", shopWithout(t, "fuses.csv", "FU-BLD-3,", "FU-MIN-3,"), func(*catalog.Vehicle) {}, "trigger_lead"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			for i := range tt.cat.Fuses {
				tt.cat.Fuses[i].IgnitionProtected = true
			}
			v := coachVan()
			tt.change(v)
			_, err := design.New(tt.cat).Design(v, oneDevice(switched(20)))
			u, ok := unmet(err)
			require.True(t, ok, "%v", err)
			assert.Equal(t, tt.constraint, u.Constraint)
			assert.Equal(t, "d", u.At)
			_, err = design.New(tt.cat).Design(v, oneDevice(draws(electrical.Heater, 20)))
			assert.NoError(t, err, "without the switch it can be had")
		})
	}
}

// TestRelayInTheFeed: the feed is longer by a loop at each contact and goes
// through the relay; the contact and its two ends add to the drop.
func TestRelayInTheFeed(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	for _, tt := range []struct {
		amps quantity.Amps
		mohm float64 // contact: 2 up to 100 A, 0.3 from there (common practice, no source)
	}{{20, 2}, {60, 0.3}} {
		t.Run(fmt.Sprintf("%v A", float64(tt.amps)), func(t *testing.T) {
			t.Parallel()
			c := &made(t, cat, coachVan(), oneDevice(switched(tt.amps))).Circuits[0]
			plain := &made(t, cat, coachVan(), oneDevice(draws(electrical.Heater, tt.amps))).Circuits[0]
			assert.InDelta(t, feedOf(plain)+0.2, feedOf(c), 1e-9, "two loops of 0.10 m")
			in, out := runNamed(t, c, "d/relay"), runNamed(t, c, "d/feed")
			assert.InDelta(t, 0.2, float64(in.Length), 1e-9)
			relay := design.Point{Kind: design.AtRelay, ID: "d"}
			assert.Equal(t, relay, in.To)
			assert.Equal(t, relay, out.From)
			assert.Equal(t, design.Point{Kind: design.AtFuseHolder, ID: "d"}, in.From)
			assert.Equal(t, c.Relay.Part.Landing, in.Ends[1].Landing)
			assert.Equal(t, c.Relay.Part.Landing, out.Ends[0].Landing)
			assert.InDelta(t, totalOhms(t, c, electrical.Van)*float64(tt.amps), float64(c.Running.Drop), 1e-9)
			without := totalOhms(t, c, electrical.Van) - tt.mohm*1e-3
			c.Relay = nil
			assert.InDelta(t, without, totalOhms(t, c, electrical.Van), 1e-12)
		})
	}
}

// TestCoilLead: from the relay to a switch at the controls, of thin cable behind a
// fuse of 3 A that sits there (common practice, no source).
func TestCoilLead(t *testing.T) {
	t.Parallel()
	got := made(t, demoShop(t), coachVan(), oneDevice(switched(20)))
	require.Len(t, got.Leads, 1)
	l := &got.Leads[0]
	assert.Equal(t, "d/coil", l.ID)
	assert.Equal(t, design.TriggerLead, l.Lead)
	assert.Equal(t, 1, l.Count)
	assert.Equal(t, quantity.Amps(3), l.Protection.Fuse.Rating)
	assert.Equal(t, "dash", l.Protection.Zone)
	assert.Equal(t, design.Point{Kind: design.AtRelayCoil, ID: "d"}, l.From)
	assert.Equal(t, design.Point{Kind: design.AtSwitch, ID: "dash"}, l.To)
	// Reach and route with 10 % on them, a loop at each end: 0.5·1.1 + 0.1 + 1.2·1.1 + 0.1.
	r := cutAtItsFuse(t, l, 2.07)
	assert.Equal(t, quantity.AWG(18), r.Conductor.Size, "the thinnest that a 3 A holder takes")
	assert.True(t, works(l.Work, catalog.TaskSwitch))
	assert.True(t, works(l.Work, catalog.TaskPull))
}

// TestRelayBehindABlock sits beside the block, in the zone of the block.
func TestRelayBehindABlock(t *testing.T) {
	t.Parallel()
	s := design.System{Layout: design.TrunkFeeds}
	for _, id := range []string{"a", "b"} {
		d := switched(14)
		d.ID = id
		s.Devices = append(s.Devices, d)
	}
	got := made(t, demoShop(t), coachVan(), s)
	branches := 0
	for i := range got.Circuits {
		c := &got.Circuits[i]
		if c.Kind != design.BranchCircuit {
			continue
		}
		branches++
		require.NotNil(t, c.Relay, c.ID)
		assert.Equal(t, got.Blocks[0].Zone, c.Relay.Zone, c.ID)
		assert.GreaterOrEqual(t, c.Relay.Part.Contact, c.Protection.Fuse.Rating, c.ID)
		assert.True(t, works(c.Work, catalog.TaskRelay), c.ID)
		assert.InDelta(t, 0.2, float64(runNamed(t, c, c.ID+"/relay").Length), 1e-9)
		assert.Equal(t, design.AtSwitch, leadNamed(t, got, c.ID+"/coil").To.Kind)
	}
	assert.Equal(t, 2, branches)
}

// methodRelay works an example of a relay out: a switched heater in the rear of a van.
func methodRelay(t *testing.T, e *methodExample) map[string]string {
	t.Helper()
	c := &made(t, demoShop(t), coachVan(), oneDevice(switched(quantity.Amps(e.number(t, "current", "A"))))).Circuits[0]
	out := map[string]string{"relay": "none", "fuse": methodFigure(c.Protection.Fuse.Rating, "A")}
	if c.Relay != nil {
		out["relay"] = methodFigure(c.Relay.Part.Contact, "A")
		out["contact"] = methodFigure(electrical.RelayContact(c.Relay.Part.Contact).Milliohms(), "mΩ")
		out["loops"] = methodFigure(runNamed(t, c, "d/relay").Length, "m")
	}
	return out
}

// methodTrunk works an example of a trunk out: heaters in the rear of a van, and the
// volts at the block and at the first of them.
func methodTrunk(t *testing.T, e *methodExample) map[string]string {
	t.Helper()
	s := design.System{Layout: design.TrunkFeeds, Growth: quantity.Percent(e.number(t, "growth", "%"))}
	for i := range int(e.number(t, "heaters", "heaters")) {
		d := draws(electrical.Heater, quantity.Amps(e.number(t, "current", "A")))
		d.ID = fmt.Sprintf("d%d", i)
		s.Devices = append(s.Devices, d)
	}
	got := made(t, demoShop(t), coachVan(), s)
	trunk, first := &got.Circuits[0], &got.Circuits[1]
	return map[string]string{
		"load": methodFigure(trunk.Load, "A"), "main": methodFigure(trunk.Protection.Fuse.Rating, "A"), "branch": methodFigure(first.Protection.Fuse.Rating, "A"),
		"promised": methodFigure(first.Running.Device, "V"), "draws": methodFigure(first.Nodes[0].Current, "A"),
		"block": methodFigure(trunk.Nodes[0].Running, "V"), "volts": methodFigure(first.Nodes[0].Running, "V"),
	}
}
