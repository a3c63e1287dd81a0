package design_test

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// This file hands systems too large to try every arrangement to a solver for mixed
// integer programs. What may be built, and what it costs and loses, comes from the
// rules that layout_feeds_test.go and layout_trunks_test.go hold a second time;
// what goes together is stated in testdata/layout.mod.

// solveSeconds is what glpsol gets for one question.
const solveSeconds = 60

// mathProg gives the path of glpsol. Without it the test is skipped, or fails
// where the tools are required.
func mathProg(t *testing.T) string {
	t.Helper()
	path, err := exec.LookPath("glpsol")
	if err == nil {
		return path
	}
	const advice = "glpsol is not installed: apt-get install -y glpk-utils"
	if os.Getenv("LUGBOOK_REQUIRE_TOOLS") == "1" || os.Getenv("CI") == "true" {
		require.Fail(t, advice)
	}
	t.Skip(advice)
	return ""
}

// stemWay is a trunk that can be built to a block.
type stemWay struct {
	nano   int64 // with the block, without the branches
	feed   *catalog.Conductor
	before [2]lost
	w      cabled
	main   *catalog.Fuse
}

// outlet is a block that may be mounted, with every trunk to it.
type outlet struct {
	*stem
	battery string
	hub     bool
	part    int
	fed     []int // the job's members, beside the stem's
	trunks  []stemWay
}

// offer is everything that may be built for a job.
type offer struct {
	*job
	singles map[int]int64
	outlets []outlet
}

func offerFor(j *job) *offer {
	o := &offer{job: j, singles: map[int]int64{}}
	for i := range j.members {
		if nano, ok := j.single(j.members[i]); ok {
			o.singles[i] = nano
		}
	}
	for _, b := range j.vehicle.Batteries {
		var members []int
		for i := range j.members {
			if j.battery[i] == b.ID {
				members = append(members, i)
			}
		}
		for k := range j.vehicle.Zones {
			zone := &j.vehicle.Zones[k]
			here := slices.DeleteFunc(slices.Clone(members), func(i int) bool { return j.members[i].end.ID != zone.ID })
			o.mount(b.ID, zone, here, false)
			if len(here) < len(members) {
				o.mount(b.ID, zone, members, true)
			}
		}
	}
	return o
}

// mount adds the blocks that may sit in a zone and feed two or more of some
// circuits, or of a part of them.
func (o *offer) mount(battery string, zone *catalog.Zone, indexes []int, hub bool) {
	if len(indexes) < 2 {
		return
	}
	for n, part := range o.parts(zone, indexes) {
		o.mountPart(battery, zone, part, hub, n+1)
	}
}

func (o *offer) mountPart(battery string, zone *catalog.Zone, indexes []int, hub bool, part int) {
	cabled := slices.ContainsFunc(indexes, func(i int) bool { return !o.members[i].chassis })
	for _, p := range o.panels(zone, cabled) {
		s, fed := o.stem(zone, indexes, p)
		if len(s.members) < 2 || len(s.members) > p.block.Ways || s.load > float64(p.block.TotalMax) ||
			s.cabled > 0 && (s.cabled > p.bus.Ways || s.backPeak > float64(p.bus.TotalMax)) {
			continue
		}
		if trunks := o.stemWays(s); len(trunks) > 0 {
			numbers := slices.DeleteFunc(slices.Clone(indexes), func(i int) bool { return fed>>i&1 == 0 })
			o.outlets = append(o.outlets, outlet{s, battery, hub, part, numbers, trunks})
		}
	}
}

// stemWays lists every cable with every main in every holder; on one cable only
// the smallest main that serves counts.
func (j *job) stemWays(s *stem) []stemWay {
	var out []stemWay
	for _, pair := range j.pairs {
		w, ok := s.cable(pair[0].Conductor)
		if !ok {
			continue
		}
		var here []stemWay
		for i := range j.cat.Fuses {
			fuse := &j.cat.Fuses[i]
			if len(here) > 0 && fuse.Rating > here[0].main.Rating || !j.mainServes(s, fuse, &w) {
				continue
			}
			for k := range j.cat.Holders {
				nano, before, ok := j.mainIn(s, pair, &w, fuse, &j.cat.Holders[k])
				if !ok {
					continue
				}
				if len(here) > 0 && fuse.Rating < here[0].main.Rating {
					here = nil
				}
				here = append(here, stemWay{nano, pair[0], before, w, fuse})
			}
		}
		out = append(out, here...)
	}
	return out
}

// mathProgData is the data section of the model.
type mathProgData struct{ bytes.Buffer }

func (d *mathProgData) line(format string, args ...any) { fmt.Fprintf(d, format+"\n", args...) }

// param writes the values of one parameter, one a line.
func (d *mathProgData) param(name string, values []string) {
	d.line("param %s :=\n%s;", name, strings.Join(values, "\n"))
}

// set writes the elements of one set.
func (d *mathProgData) set(name string, elements []string) {
	d.line("set %s := %s;", name, strings.Join(elements, " "))
}

// numbers gives 0 to n-1 as elements.
func numbers(n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = strconv.Itoa(i)
	}
	return out
}

// data writes the offer down, without what the two questions differ in.
func (o *offer) data() *mathProgData {
	d := &mathProgData{}
	limit := 3 // MIL-DTL-917F; on boats four, ABYC E-11 (from memory)
	if o.vehicle.Category == electrical.Boat {
		limit = 4
	}
	d.line("param stud_limit := %d;", limit)
	var batteries, singles, feeds, returns, costs []string
	for _, b := range o.vehicle.Batteries {
		batteries = append(batteries, b.ID)
	}
	for i := range o.members {
		feeds = append(feeds, fmt.Sprintf("%d %s", i, o.battery[i]))
		returns = append(returns, fmt.Sprintf("%d %d", i, oneIf(!o.members[i].chassis)))
		if nano, ok := o.singles[i]; ok {
			singles = append(singles, strconv.Itoa(i))
			costs = append(costs, fmt.Sprintf("%d %d", i, nano))
		}
	}
	d.set("BATTERIES", batteries)
	d.set("DEVICES", numbers(len(o.members)))
	d.param("battery", feeds)
	d.param("cabled", returns)
	d.set("SINGLES", singles)
	d.param("single_cost", costs)
	o.writeOutlets(d)
	return d
}

// writeOutlets writes the blocks with their trunks and branches.
func (o *offer) writeOutlets(d *mathProgData) {
	var batteries, zones, parts, hubs, costs, drops []string
	add := func(to *[]string, format string, args ...any) { *to = append(*to, fmt.Sprintf(format, args...)) }
	d.set("BLOCKS", numbers(len(o.outlets)))
	for b := range o.outlets {
		out := &o.outlets[b]
		add(&batteries, "%d %s", b, out.battery)
		add(&zones, "%d %s", b, out.zone.ID)
		add(&parts, "%d %d", b, out.part)
		add(&hubs, "%d %d", b, oneIf(out.hub))
		d.set(fmt.Sprintf("TRUNKS[%d]", b), numbers(len(out.trunks)))
		for k, trunk := range out.trunks {
			add(&costs, "%d %d %d", b, k, trunk.nano)
			for side, before := range trunk.before {
				add(&drops, "%d %d %d conductors %s", b, k, side, millivolts(before.conductors))
				add(&drops, "%d %d %d total %s", b, k, side, millivolts(before.total))
				add(&drops, "%d %d %d off %s", b, k, side, millivolts(before.rest))
			}
		}
	}
	d.param("block_battery", batteries)
	d.param("block_zone", zones)
	d.param("part", parts)
	d.param("hub", hubs)
	d.param("trunk_cost", costs)
	d.param("trunk_drop", drops)
	o.writeBranches(d)
}

func (o *offer) writeBranches(d *mathProgData) {
	var limits, costs, fuses, drops []string
	add := func(to *[]string, format string, args ...any) { *to = append(*to, fmt.Sprintf(format, args...)) }
	for b := range o.outlets {
		out := &o.outlets[b]
		weak := map[*catalog.Fuse]bool{}
		var fed []string
		for n, i := range out.fed {
			m := &out.members[n]
			fed = append(fed, strconv.Itoa(i))
			judged := m.limits()
			d.set(fmt.Sprintf("BRANCHES[%d,%d]", b, i), numbers(len(out.ways[n])))
			d.set(fmt.Sprintf("JUDGED[%d,%d]", b, i), dropNames[:len(judged)])
			for l, volts := range judged {
				add(&limits, "%d %d %s %s", b, i, dropNames[l], millivolts(volts+1e-9))
			}
			for k := range out.ways[n] {
				way := &out.ways[n][k]
				add(&costs, "%d %d %d %d", b, i, k, way.nano)
				add(&fuses, "%d %d %d '%s'", b, i, k, way.fuse.SKU)
				for l, volts := range m.losses(way)[:len(judged)] {
					add(&drops, "%d %d %d %s %s", b, i, k, dropNames[l], millivolts(volts))
				}
				if list := out.uncleared(m, way); len(list) > 0 {
					d.set(fmt.Sprintf("UNCLEARED[%d,%d,%d]", b, i, k), list)
				}
				if !weak[way.fuse] {
					weak[way.fuse] = true
					d.set(fmt.Sprintf("TOO_STRONG[%d,'%s']", b, way.fuse.SKU), out.tooStrong(way.fuse))
				}
			}
		}
		d.set(fmt.Sprintf("FED[%d]", b), fed)
	}
	d.param("limit", limits)
	d.param("branch_cost", costs)
	d.param("branch_fuse", fuses)
	d.param("branch_drop", drops)
}

// dropNames names the drops that are judged, as the model does.
var dropNames = []string{"conductors", "total", "off"}

// limits are the most that may be lost in the conductors and in all, engine
// running, and in all, engine off, where that is judged.
func (m *member) limits() []float64 {
	out := []float64{m.conductorLimit, min(m.totalLimit(), m.running-float64(m.device.MinVolts))}
	if m.restLimit > 0 {
		out = append(out, m.rest-m.restLimit)
	}
	return out
}

// losses is what a branch itself loses of each.
func (m *member) losses(b *branchWay) []float64 {
	ohm := b.w.ohm + b.joints + m.bodyOhm + fuseOhm(b.fuse, max(m.peak, m.load))
	return []float64{m.peak * b.w.ohm, m.peak*ohm + m.share*m.bodyOhm, m.restPeak*ohm + m.restShare*m.bodyOhm}
}

// uncleared lists the trunks behind which a branch does not clear a short at its far
// end.
func (o *outlet) uncleared(m *member, way *branchWay) []string {
	var out []string
	for k := range o.trunks {
		if !m.clearsBehind(&way.w, way.joints, way.fuse, o.trunks[k].before[oneIf(!m.chassis)], way.soldered) {
			out = append(out, strconv.Itoa(k))
		}
	}
	return out
}

// tooStrong lists the trunks behind which a fuse cannot break a fault.
func (o *outlet) tooStrong(fuse *catalog.Fuse) []string {
	var out []string
	for k := range o.trunks {
		if !o.breaks(fuse, &o.trunks[k].w, o.trunks[k].main) {
			out = append(out, strconv.Itoa(k))
		}
	}
	return out
}

// oneIf writes a truth as the model does.
func oneIf(is bool) int {
	if is {
		return 1
	}
	return 0
}

func millivolts(volts float64) string { return strconv.FormatFloat(volts*1000, 'g', 17, 64) }

// chosen is what glpsol chose of an offer.
type chosen struct {
	crowded  map[string]bool // by battery
	alone    []int
	trunks   [][2]int // outlet, trunk
	branches [][3]int // outlet, member of the job, way
}

// glpsol asks one question and reads the answer; false where nothing can be built.
// An answer that time ran out on is none.
func glpsol(t *testing.T, path string, data []byte, question string) (chosen, bool) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "system.dat")
	text := slices.Concat([]byte("data;\n"), data, []byte(question), []byte("\nend;\n"))
	require.NoError(t, os.WriteFile(file, text, 0o600))
	command := exec.CommandContext(t.Context(), path, "--tmlim", strconv.Itoa(solveSeconds), "--model", filepath.Join("testdata", "layout.mod"), "--data", file)
	out, err := command.CombinedOutput()
	require.NoError(t, err, "%s", out)
	switch {
	case bytes.Contains(out, []byte("INTEGER OPTIMAL SOLUTION FOUND")):
		return readChosen(t, bytes.NewReader(out)), true
	case bytes.Contains(out, []byte("HAS NO PRIMAL FEASIBLE SOLUTION")), bytes.Contains(out, []byte("HAS NO INTEGER FEASIBLE SOLUTION")):
		return chosen{}, false
	}
	require.Fail(t, "no answer", "%s", out)
	return chosen{}, false
}

func readChosen(t *testing.T, out io.Reader) chosen {
	t.Helper()
	c := chosen{crowded: map[string]bool{}}
	for lines := bufio.NewScanner(out); lines.Scan(); {
		words := strings.Fields(lines.Text())
		if len(words) < 3 || words[0] != "CHOSEN" {
			continue
		}
		if words[1] == "crowded" {
			c.crowded[words[2]] = true
			continue
		}
		var n [3]int
		for i, word := range words[2:] {
			var err error
			n[i], err = strconv.Atoi(word)
			require.NoError(t, err)
		}
		switch words[1] {
		case "alone":
			c.alone = append(c.alone, n[0])
		case "trunk":
			c.trunks = append(c.trunks, [2]int{n[0], n[1]})
		case "branch":
			c.branches = append(c.branches, n)
		}
	}
	return c
}

// optimum asks glpsol for the fewest crowded posts and then for the least cost.
func (o *offer) optimum(t *testing.T, path string) (chosen, bool) {
	t.Helper()
	data := o.data().Bytes()
	first, ok := glpsol(t, path, data, "param ranking := 1;")
	if !ok {
		return first, false
	}
	var crowding []string
	for _, b := range o.vehicle.Batteries {
		crowding = append(crowding, fmt.Sprintf("%s %d", b.ID, oneIf(first.crowded[b.ID])))
	}
	best, ok := glpsol(t, path, data, fmt.Sprintf("param ranking := 0;\nparam crowding := %s;", strings.Join(crowding, " ")))
	require.True(t, ok, "what could be ranked cannot be built")
	return best, true
}

// cost adds up what glpsol chose, in whole numbers, and holds it to the rules once
// more, without glpsol's tolerances: every member fed once, and each branch within
// its limits behind its trunk.
func (o *offer) cost(t *testing.T, c chosen) int64 {
	t.Helper()
	nano, feeds := int64(0), make([]int, len(o.members))
	for _, i := range c.alone {
		nano += o.singles[i]
		feeds[i]++
	}
	behind := map[int]*stemWay{}
	for _, n := range c.trunks {
		require.NotContains(t, behind, n[0], "two trunks to a block")
		behind[n[0]] = &o.outlets[n[0]].trunks[n[1]]
		nano += behind[n[0]].nano
	}
	for _, n := range c.branches {
		out, trunk := &o.outlets[n[0]], behind[n[0]]
		require.NotNil(t, trunk, "a branch without a trunk")
		at := slices.Index(out.fed, n[1])
		m, way := &out.members[at], &out.ways[at][n[2]]
		before := trunk.before[oneIf(!m.chassis)]
		require.True(t, m.volts(&way.w, way.joints, way.fuse, before), "%s keeps its limits", m.device.ID)
		require.True(t, m.clearsBehind(&way.w, way.joints, way.fuse, before, way.soldered), "%s clears a short at its far end", m.device.ID)
		require.True(t, out.breaks(way.fuse, &trunk.w, trunk.main), "%s breaks a fault", m.device.ID)
		nano += way.nano
		feeds[n[1]]++
	}
	for i, n := range feeds {
		require.Equal(t, 1, n, "feeds of %s", o.members[i].device.ID)
	}
	return nano
}

// outline says in a line what glpsol chose.
func (o *offer) outline(c chosen) string {
	out := ""
	for _, n := range c.trunks {
		at := &o.outlets[n[0]]
		trunk := &at.trunks[n[1]]
		out += fmt.Sprintf(" [%s in %s from %s, trunk %v %s]", at.panel.block.SKU, at.zone.ID, at.battery, float64(trunk.main.Rating), trunk.feed.SKU)
	}
	for _, n := range c.branches {
		at := &o.outlets[n[0]]
		way := &at.ways[slices.Index(at.fed, n[1])][n[2]]
		out += fmt.Sprintf(" [%s branch %v %s]", o.members[n[1]].device.ID, float64(way.fuse.Rating), way.w.conductor.Size)
	}
	for _, i := range c.alone {
		out += fmt.Sprintf(" [%s alone]", o.members[i].device.ID)
	}
	return out
}

// wideShop is a leanShop with some fused blocks and a bus, which have as many ways
// as a hub needs, or few, so that a battery's circuits need more than one block.
func wideShop(t *testing.T, random *rand.Rand) *catalog.Catalog {
	t.Helper()
	ways := anyone(random, 5, 15)
	for {
		folder := leanFolder(t, random)
		rows := readTable(t, folder, "blocks.csv")
		fused, at := 0, slices.Index(rows[0], "fused")
		for i := 1; i < len(rows); i++ {
			fused += oneIf(rows[i][at] == "yes")
			rows.set(i, "ways", strconv.Itoa(2+random.IntN(ways)))
			rows.times(i, "total_max_a", 1+random.Float64())
		}
		if fused >= 3 && len(rows)-1-fused >= 1 {
			folder["blocks.csv"] = rows.file(t)
			return readShop(t, folder)
		}
	}
}

// wideVehicle is a layoutVehicle with five to seven zones, and often a second
// battery.
func wideVehicle(random *rand.Rand) *catalog.Vehicle {
	v := layoutVehicle(random)
	for n := 5 + random.IntN(3); len(v.Zones) < n; {
		z := catalog.Zone{ID: fmt.Sprintf("z%d", len(v.Zones)), Environment: electrical.Cabin, ChassisGround: random.IntN(4) > 0, GroundStud: "M8", Reach: 0.4, HasReach: true}
		from := v.Zones[random.IntN(len(v.Zones))].ID
		v.Zones = append(v.Zones, z)
		v.Routes = append(v.Routes, catalog.Route{From: from, To: z.ID, Length: quantity.Metres(between(random, 0.3, 4)), Environment: electrical.Cabin})
	}
	if len(v.Batteries) == 1 && random.IntN(2) == 0 {
		v.Batteries = append(v.Batteries, catalog.Battery{ID: "c", Chemistry: electrical.Flooded, Capacity: 100, ColdCranking: 700, Zone: "z1", Stud: "M10"})
	}
	v.SetDefaults()
	return v
}

// wideSystem makes up a job of some devices in two zones or in any. Most could have
// a feed of their own, or hardly any system of so many could be had.
func wideSystem(random *rand.Rand, cat *catalog.Catalog, planner *termination.Planner, v *catalog.Vehicle, devices int) design.System {
	drawn := layoutSystem(random, v, 20*devices)
	s := design.System{Growth: drawn.Growth}
	spread := random.IntN(2) == 0
	for _, d := range drawn.Devices {
		if spread {
			d.Zone = v.Zones[random.IntN(len(v.Zones))].ID
		}
		if len(s.Devices) == devices {
			break
		}
		if random.IntN(4) == 0 { // so that the volts with the engine off decide at times
			used := true
			d.UsedEngineOff, d.MinVolts = &used, v.Nominal*quantity.Volts(0.95+0.07*random.Float64())
		}
		lone := design.System{Devices: []design.Device{d}}
		j := newJob(cat, planner, v, &lone)
		if _, ok := j.single(j.members[0]); ok || random.IntN(12) == 0 {
			s.Devices = append(s.Devices, d)
		}
	}
	return s
}

// TestGLPKAgrees holds the designer to the optimum that glpsol proves for systems of
// up to fifteen devices: it finds a design exactly where there is one, crowds a post
// exactly where it must, and at the same cost to the billionth. Without -short it
// takes some 10 s.
func TestGLPKAgrees(t *testing.T) {
	path := mathProg(t)
	const most, sizes = 15, 8
	systems := 40
	if testing.Short() {
		systems = 6
	}
	feasible, trunks, hubs, parts, crowded := 0, 0, 0, 0, 0
	for n := range systems {
		random := rand.New(rand.NewPCG(uint64(n), 20260307))
		cat := wideShop(t, random)
		planner, v := termination.NewPlanner(cat), wideVehicle(random)
		s := wideSystem(random, cat, planner, v, most-n%sizes)
		name := fmt.Sprintf("system %d of %d devices", n, len(s.Devices))
		got, err := design.New(cat).Design(v, s)
		if bad, ok := violations(err); ok {
			require.Fail(t, "the made-up job is malformed", "%s: %v", name, bad)
		}
		o := offerFor(newJob(cat, planner, v, &s))
		began := time.Now()
		best, ok := o.optimum(t, path)
		t.Logf("%s, %d batteries, %d blocks to choose from: %d ms", name, len(v.Batteries), len(o.outlets), time.Since(began).Milliseconds())
		if !ok {
			require.Error(t, err, "%s: the designer found what glpsol did not", name)
			continue
		}
		feasible++
		cost := o.cost(t, best)
		for _, k := range best.trunks {
			trunks++
			hubs += oneIf(o.outlets[k[0]].hub)
			parts += oneIf(o.outlets[k[0]].part > 1)
		}
		crowded += min(1, len(best.crowded))
		if assert.NoError(t, err, "%s: glpsol found what the designer did not", name) {
			assert.Equal(t, cost, priceOf(cat, got), "%s: %s; glpsol%s", name, outline(got), o.outline(best))
			assert.Equal(t, len(best.crowded) > 0, got.Crowded, name)
		}
	}
	t.Logf("%d systems, %d can be had, with %d trunks, of them %d hubs, %d second parts of a place; %d crowded", systems, feasible, trunks, hubs, parts, crowded)
	if !testing.Short() {
		assert.Greater(t, feasible, 20, "enough systems that can be had")
		assert.Greater(t, trunks-hubs, 4, "enough trunks of a zone")
		assert.Greater(t, hubs, 8, "enough hubs")
		assert.Positive(t, parts, "some place is divided into parts")
		assert.Greater(t, feasible-crowded, 5, "enough systems that need not crowd a post")
	}
}
