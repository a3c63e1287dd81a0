package design_test

import (
	"fmt"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestCableGrowsForTheFault: a lamp of 1.5 A behind the 20 A fuse that its maker asks
// for, 28.9 m away. 16 AWG carries the fuse and keeps the drop, but a short at the lamp
// draws no more than 12.6 V / 0.43 Ω = 29 A, which a 20 A fuse may bear for minutes; it
// should draw 40 A.
func TestCableGrowsForTheFault(t *testing.T) {
	lamp := draws(electrical.Light, 1.5)
	lamp.HasMeasured, lamp.Measured, lamp.DropClass, lamp.Maker.Fuse = true, 28.9, electrical.General, 20
	c := made(t, demoShop(t), van(), oneDevice(lamp)).Circuits[0]
	feed := runNamed(t, &c, "d/feed")
	assert.Equal(t, quantity.AWG(14), feed.Conductor.Size)
	why := feed.Reasons[len(feed.Reasons)-1]
	assert.Equal(t, "conductor.thinner.short_circuit", why.Rule)
	assert.True(t, c.Short.Cleared)
	assert.GreaterOrEqual(t, c.Short.Fault, quantity.Amps(40))
	assert.Less(t, c.Short.Opens, c.Short.Withstands)

	// The thinner cable by ASTM B258 and IEC 60028: 1.309 mm² of 0.017241 Ω·mm²/m, 2 % of
	// lay, and half a metre back to the body of 1 mΩ; the bank 8.1 V/640 A at most.
	ohm := 0.017241/1.309*1.02*(28.9+0.5) + 1e-3 + 8.1/640
	assert.Less(t, 12.6/ohm, 40.0)
	assert.Less(t, 1.5*0.017241/1.309*1.02*(28.9+0.5), 0.1*12, "the drop would do")
	iz, err := electrical.Ampacity(electrical.Conductor{Size: quantity.AWG(16), Material: electrical.Copper, Insulation: electrical.PVC, Rating: 105}, electrical.Surroundings{EngineSpace: true})
	require.NoError(t, err)
	assert.Greater(t, iz, quantity.Amps(20), "so would the ampacity")
}

// TestLithiumFaultChoosesTheFamily: as the bank's short-circuit current grows, the
// fuse is of a family that can break it, and the reply says so.
func TestLithiumFaultChoosesTheFamily(t *testing.T) {
	designer := design.New(demoShop(t))
	for _, tt := range []struct {
		short quantity.Amps
		want  []electrical.Family
	}{
		{900, nil}, // any
		{9000, []electrical.Family{electrical.TerminalMount, electrical.ClassT}},
		{18000, []electrical.Family{electrical.ClassT}},
	} {
		t.Run(fmt.Sprintf("%v A", float64(tt.short)), func(t *testing.T) {
			v := van()
			v.Batteries[0] = catalog.Battery{ID: "main", Chemistry: electrical.Lithium, Capacity: 300, ShortCircuit: tt.short, Zone: "engine", Stud: "M8", Count: 1, Role: catalog.Both}
			got, err := designer.Design(v, oneDevice(draws(electrical.Inverter, 100)))
			require.NoError(t, err)
			o := &got.Circuits[0].Protection
			if tt.want != nil {
				assert.Contains(t, tt.want, o.Fuse.Family)
			}
			assert.GreaterOrEqual(t, o.Interrupting, o.Prospective)
			said := false
			for _, r := range o.Reasons {
				said = said || r.Rule == "fuse.interrupting_prospective"
			}
			assert.True(t, said)
		})
	}
}
