package demo_test

import (
	"fmt"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// studsFor lists the metric studs that a conductor of the size meets at work:
// small terminals on small screws, battery cable on M8 and M10 (common practice,
// no source).
func studsFor(s quantity.Size) []catalog.Stud {
	switch {
	case catalog.Thinner(s, quantity.AWG(8)):
		return []catalog.Stud{"M5", "M6", "M8"}
	case catalog.Thinner(s, quantity.AWG(2)):
		return []catalog.Stud{"M5", "M6", "M8", "M10"}
	default:
		return []catalog.Stud{"M8", "M10"}
	}
}

// ringFor gives the ring that takes the conductor onto the stud, nil without one.
func ringFor(c *catalog.Catalog, s quantity.Size, stud catalog.Stud) *catalog.Terminal {
	for _, t := range c.TerminalsFor(catalog.Ring, s) {
		if t.Stud == stud {
			return t
		}
	}
	return nil
}

func TestEveryCableHasTerminalsSleevesAndTools(t *testing.T) {
	c := read(t)
	for i := range c.Conductors {
		k := &c.Conductors[i]
		for _, stud := range studsFor(k.Size) {
			assert.NotNil(t, ringFor(c, k.Size, stud), "%s: no ring for %s", k.SKU, stud)
		}
		if !catalog.Thinner(quantity.AWG(0), k.Size) {
			assert.NotEmpty(t, c.TerminalsFor(catalog.Ferrule, k.Size), "%s: no ferrule", k.SKU)
			assert.NotEmpty(t, c.TerminalsFor(catalog.Butt, k.Size), "%s: no butt splice", k.SKU)
		}
		if catalog.Thinner(k.Size, quantity.AWG(8)) {
			assert.NotEmpty(t, c.TerminalsFor(catalog.PushOn, k.Size), "%s: no push-on", k.SKU)
		}
		for _, form := range catalog.Forms() {
			for _, terminal := range c.TerminalsFor(form, k.Size) {
				fits(t, c, k, terminal)
			}
		}
	}
}

// fits checks one cable in one terminal: all strands go in, a tool closes it, and
// a sleeve goes over both (supplied ≥ 1.1 × the largest, recovered ≤ 0.9 × the
// smallest; common practice, no source). Ferrules get no sleeve.
func fits(t *testing.T, c *catalog.Catalog, k *catalog.Conductor, terminal *catalog.Terminal) {
	t.Helper()
	pair := k.SKU + " in " + terminal.SKU
	assert.Less(t, k.BundleDiameter, terminal.BarrelInner, "%s: strands are left out", pair)
	assert.NotEmpty(t, c.ToolsFor(terminal.Form, k.Size), "%s: no tool", pair)
	if terminal.Form == catalog.Ferrule {
		return
	}
	largest := 1.1 * max(k.OuterDiameter, terminal.BarrelOuter)
	smallest := 0.9 * min(k.OuterDiameter, terminal.BarrelOuter)
	for _, s := range c.SleeveLadder(true) {
		if s.Supplied >= largest && s.Recovered <= smallest {
			return
		}
	}
	assert.Fail(t, "no sleeve", "%s: from %.1f mm down to %.1f mm", pair, float64(largest), float64(smallest))
}

// TestTubeLugsHoldTheBundleSnugly: 5 to 15 % play (common practice, no source),
// for the bundle of flexible copper, 1.14 times the solid wire.
func TestTubeLugsHoldTheBundleSnugly(t *testing.T) {
	c := read(t)
	for _, terminal := range c.Terminals {
		if terminal.Construction != catalog.Window {
			continue
		}
		play := float64(terminal.BarrelInner/(1.14*terminal.Takes.Max.Diameter())) - 1
		assert.True(t, play >= 0.05 && play <= 0.15, "%s: %.0f %% play", terminal.SKU, 100*play)
	}
}

// sizes lists every gauge that a power conductor may have, odd ones too, and
// every metric size of IEC 60228 and ISO 6722 up to the largest lug.
func sizes() []quantity.Size {
	var all []quantity.Size
	for g := 22; g >= quantity.ThickestAWG; g-- {
		all = append(all, quantity.AWG(g))
	}
	for _, area := range []quantity.SquareMillimetres{0.35, 0.5, 0.75, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 50, 60, 70, 95, 120} {
		all = append(all, quantity.Metric(area))
	}
	return all
}

func TestLabourBandsLeaveNoGapAndDoNotOverlap(t *testing.T) {
	c := read(t)
	largest := map[catalog.Task]quantity.Size{
		catalog.TaskCrimpEnd: quantity.Metric(120), catalog.TaskPull: quantity.Metric(120), catalog.TaskSolderAdd: quantity.Metric(120),
		catalog.TaskFerrule: quantity.AWG(0), catalog.TaskPushOn: quantity.Metric(6), catalog.TaskSplice: quantity.Metric(6),
	}
	for task, last := range largest {
		for _, s := range sizes() {
			if catalog.Thinner(last, s) || task == catalog.TaskSolderAdd && catalog.Thinner(s, c.Shop.Termination.SolderFrom) {
				continue
			}
			bands := 0
			for _, o := range c.Operations {
				if o.Task == task && o.Takes.Includes(s) {
					bands++
				}
			}
			assert.Equal(t, 1, bands, "%s of %v", task, s)
		}
	}
}

func TestEveryTaskHasLabour(t *testing.T) {
	c := read(t)
	for _, task := range catalog.Tasks() {
		_, ok := c.Operation(task, quantity.AWG(8))
		if task == catalog.TaskSplice || task == catalog.TaskPushOn {
			_, ok = c.Operation(task, quantity.AWG(12)) // thin conductors only
		}
		assert.True(t, ok, task)
	}
	for kind, minutes := range map[electrical.DeviceKind]int64{electrical.Amplifier: 30, electrical.Refrigerator: 25, electrical.Winch: 45, electrical.Inverter: 60} {
		op, ok := c.FitOperation(kind)
		require.True(t, ok, kind)
		assert.Equal(t, minutes*1000, op.MilliMinutes, kind)
	}
}

// TestMinutesByGauge: the shop's minutes (common practice, no source).
func TestMinutesByGauge(t *testing.T) {
	c := read(t)
	tests := []struct {
		task    catalog.Task
		size    quantity.Size
		minutes int64
	}{
		{catalog.TaskCrimpEnd, quantity.AWG(16), 4}, {catalog.TaskCrimpEnd, quantity.AWG(10), 5}, {catalog.TaskCrimpEnd, quantity.AWG(8), 8},
		{catalog.TaskCrimpEnd, quantity.AWG(4), 10}, {catalog.TaskCrimpEnd, quantity.AWG(3), 10}, {catalog.TaskCrimpEnd, quantity.AWG(0), 13},
		{catalog.TaskCrimpEnd, quantity.AWG(-3), 16}, {catalog.TaskCrimpEnd, quantity.Metric(16), 8}, {catalog.TaskCrimpEnd, quantity.Metric(50), 13},
		{catalog.TaskSolderAdd, quantity.AWG(4), 3}, {catalog.TaskSolderAdd, quantity.AWG(2), 5},
		{catalog.TaskSplice, quantity.AWG(14), 6}, {catalog.TaskSplice, quantity.AWG(12), 8},
		{catalog.TaskFerrule, quantity.AWG(10), 2}, {catalog.TaskFerrule, quantity.AWG(0), 4},
		{catalog.TaskPull, quantity.AWG(10), 3}, {catalog.TaskPull, quantity.AWG(6), 4}, {catalog.TaskPull, quantity.AWG(0), 6},
	}
	for _, tt := range tests {
		t.Run(fmt.Sprintf("%s %v", tt.task, tt.size), func(t *testing.T) {
			op, ok := c.Operation(tt.task, tt.size)
			require.True(t, ok)
			assert.Equal(t, tt.minutes*1000, op.MilliMinutes)
		})
	}
}
