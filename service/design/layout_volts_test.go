package design_test

import (
	"math"
	"testing"

	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
)

// TestTrunkVolts adds the drops up again along trunk and branch, from the runs,
// ends and fuses as written and the currents as judged independently: to every
// device, engine running and off, within a millivolt of the reply and within limits.
func TestTrunkVolts(t *testing.T) {
	off := 0
	forAnyTrunk(t, func(t *testing.T, l *laidOut) {
		l.trunks(func(trunk *design.Circuit, branches []*design.Circuit) {
			_, feedWires, feedEnds := runsOf(trunk, design.Feed)
			_, backWires, backEnds := runsOf(trunk, design.Return)
			var all, back, allRest, backRest float64
			for _, b := range branches {
				m := l.memberOf(b.ID)
				all, allRest = all+m.peak, allRest+m.restPeak
				if !overBody(b) {
					back, backRest = back+m.peak, backRest+m.restPeak
				}
			}
			feed := feedWires + feedEnds + fuseOhm(trunk.Protection.Fuse, max(all, float64(trunk.Load)))
			if trunk.Protection.Holder.OnPost() {
				feed += float64(electrical.BatteryClamp)
			}
			nominal := float64(l.vehicle.Nominal)
			sameVolts(t, l.name+" "+trunk.ID, &trunk.Running, all*feed+back*(backWires+backEnds), all*feedWires+back*backWires)
			assert.LessOrEqual(t, float64(trunk.Running.ConductorDrop), 0.03*nominal+1e-6, l.name)
			assert.LessOrEqual(t, float64(trunk.Running.Drop), 0.05*nominal+1e-6, l.name)
			for _, b := range branches {
				m, where := l.memberOf(b.ID), l.name+" "+b.ID
				_, out, outEnds := runsOf(b, design.Feed)
				_, in, inEnds := runsOf(b, design.Return)
				own := out + outEnds + in + inEnds + fuseOhm(b.Protection.Fuse, max(m.peak, float64(b.Load))) + m.bodyOhm
				shared := func(feedOhm, backOhm, all, back float64) float64 {
					if overBody(b) {
						return all * feedOhm
					}
					return all*feedOhm + back*backOhm
				}
				body, restBody := m.share*m.bodyOhm, m.restShare*m.bodyOhm
				sameVolts(t, where, &b.Running, m.peak*own+body+shared(feed, backWires+backEnds, all, back), m.peak*(out+in)+shared(feedWires, backWires, all, back))
				assert.LessOrEqual(t, float64(b.Running.ConductorDrop), m.conductorLimit+1e-6, where)
				assert.LessOrEqual(t, float64(b.Running.Drop), m.totalLimit()+1e-6, where)
				assert.GreaterOrEqual(t, float64(b.Running.Device), float64(m.device.MinVolts)-1e-6, where)
				if b.EngineOff == nil {
					assert.Zero(t, m.restLimit, where)
					continue
				}
				off++
				sameVolts(t, where+" engine off", b.EngineOff, m.restPeak*own+restBody+shared(feed, backWires+backEnds, allRest, backRest), m.restPeak*(out+in)+shared(feedWires, backWires, allRest, backRest))
				assert.GreaterOrEqual(t, float64(b.EngineOff.Device), m.restLimit-1e-6, where)
			}
		})
	})
	assert.Greater(t, off, 50, "enough devices used with the engine off")
}

func sameVolts(t *testing.T, where string, check *design.VoltageCheck, drop, conductors float64) {
	t.Helper()
	const millivolt = 1e-3
	assert.InDelta(t, drop, float64(check.Drop), millivolt, where)
	assert.InDelta(t, conductors, float64(check.ConductorDrop), millivolt, where+" conductors")
	assert.InDelta(t, float64(check.Source)-drop, float64(check.Device), millivolt, where)
	assert.True(t, check.Pass, where)
	assert.False(t, math.IsNaN(float64(check.DropPercent)), where)
}
