package electrical_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// touring is a motorcycle of 45 A with 16 A of its own.
func touring(equipment quantity.Amps) electrical.Charging {
	return electrical.Charging{Rated: 45, IdleShare: 0.45, CruiseShare: 0.9, Standing: 16, Running: equipment, Reserve: 4}
}

func rules(b electrical.ChargingBalance) []string {
	var all []string
	for _, r := range b.Reasons {
		all = append(all, r.Rule)
	}
	return all
}

// By hand: 45 A gives 40.5 A at cruising, 20.25 A at idle. The reserve of 4 A on a
// motorcycle is a charging system maker's.
func TestChargingBalance(t *testing.T) {
	tests := []struct {
		name                    string
		charging                electrical.Charging
		idle, cruise, idleShort float64
		cruiseShort, needed     float64
		pass                    bool
		rules                   []string
	}{
		{"enough at both", touring(3), 1.25, 21.5, 0, 0, 0, true, []string{"charging.cruise", "charging.idle"}},
		{"drains at idle only", touring(10), -5.75, 14.5, 5.75, 0, 0, true, []string{"charging.cruise", "charging.idle_drains"}},
		{"just the reserve", touring(20.5), -16.25, 4, 16.25, 0, 0, true, []string{"charging.cruise", "charging.idle_drains"}},
		{"short of the reserve", touring(22), -17.75, 2.5, 17.75, 1.5, 42 / 0.9, false, []string{"charging.cruise_short", "charging.change", "charging.idle_drains"}},
		{"drains at cruising", touring(30), -25.75, -5.5, 25.75, 9.5, 50 / 0.9, false, []string{"charging.cruise_drains", "charging.change", "charging.idle_drains"}},
		{"nothing charges", electrical.Charging{Running: 2}, -2, -2, 2, 2, 0, false, []string{"charging.cruise_drains", "charging.idle_drains"}},
		{"nothing charges, nothing draws", electrical.Charging{}, 0, 0, 0, 0, 0, true, []string{"charging.cruise", "charging.idle"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := tt.charging.Balance()
			assert.InDelta(t, tt.idle, float64(got.Idle.Surplus), 1e-9)
			assert.InDelta(t, tt.cruise, float64(got.Cruise.Surplus), 1e-9)
			assert.InDelta(t, tt.idleShort, float64(got.Idle.Short), 1e-9)
			assert.InDelta(t, tt.cruiseShort, float64(got.Cruise.Short), 1e-9)
			assert.InDelta(t, tt.needed, float64(got.Needed), 1e-9)
			assert.Equal(t, tt.pass, got.Pass)
			assert.Equal(t, tt.rules, rules(got))
			assert.False(t, got.HasHours)
		})
	}
}

func TestChargingEngineOff(t *testing.T) {
	tests := []struct {
		name          string
		charging      electrical.Charging
		usable, hours float64
	}{
		{"lead-acid house battery: half", electrical.Charging{Resting: 4, Capacity: 200, Chemistry: electrical.AGM}, 100, 25},
		{"lithium: 0.8", electrical.Charging{Resting: 5, Capacity: 100, Chemistry: electrical.Lithium}, 80, 16},
		{"it starts the engine: 0.3", electrical.Charging{Resting: 6, Capacity: 18, Chemistry: electrical.AGM, Starts: true}, 5.4, 0.9},
		{"lithium that starts the engine", electrical.Charging{Resting: 6, Capacity: 20, Chemistry: electrical.Lithium, Starts: true}, 6, 1},
		{"a stated share", electrical.Charging{Resting: 4, Capacity: 200, Chemistry: electrical.Flooded, Usable: 0.3}, 60, 15},
		{"a stated share above one", electrical.Charging{Resting: 4, Capacity: 200, Chemistry: electrical.Flooded, Usable: 30}, 200, 50},
		{"a stated share leaves what starting needs", electrical.Charging{Resting: 6, Capacity: 18, Starts: true, Usable: 0.8}, 5.4, 0.9},
		{"a stated share below that", electrical.Charging{Resting: 6, Capacity: 18, Starts: true, Usable: 0.1}, 1.8, 0.3},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := tt.charging.Balance()
			require.True(t, got.HasHours)
			within(t, tt.usable, float64(got.UsableAh), 1e-12)
			within(t, tt.hours, got.Hours, 1e-12)
			within(t, float64(tt.charging.Capacity), float64(got.UsableAh+got.KeptAh), 1e-12)
			assert.Contains(t, rules(got), "charging.engine_off")
		})
	}
	assert.False(t, electrical.Charging{Resting: 4}.Balance().HasHours, "capacity not known")
	assert.False(t, electrical.Charging{Capacity: 100}.Balance().HasHours, "nothing used")
}

// Common practice, no source; the motorcycle's 4 A a charging system maker's.
func TestChargingHabits(t *testing.T) {
	for _, c := range electrical.Categories() {
		h := electrical.ChargingHabitsOf(c)
		if c == electrical.Trailer || c == electrical.OtherVehicle {
			assert.Zero(t, h, "%s", c)
			continue
		}
		assert.GreaterOrEqual(t, h.IdleShare, 0.3, "%s: 30 to 50 %% of the rating, hot, at idle", c)
		assert.LessOrEqual(t, h.IdleShare, 0.5, "%s", c)
		assert.Greater(t, h.CruiseShare, h.IdleShare, "%s", c)
		bare := electrical.Charging{Rated: h.Rated, IdleShare: h.IdleShare, CruiseShare: h.CruiseShare, Standing: h.Standing, Reserve: h.Reserve}
		assert.True(t, bare.Balance().Pass, "%s: with nothing added it charges", c)
		if c == electrical.Motorcycle {
			assert.Equal(t, quantity.Amps(4), h.Reserve)
		} else {
			assert.Zero(t, h.Reserve, "%s", c)
		}
	}
}

// One eighth for music, on/(on + off), a stated share before either.
func TestDutyAverage(t *testing.T) {
	tests := []struct {
		name string
		duty electrical.Duty
		want float64
	}{
		{"continuous", electrical.Duty{Kind: electrical.Continuous}, 96},
		{"not stated", electrical.Duty{}, 96},
		{"music", electrical.Duty{Kind: electrical.Music}, 12},
		{"a minute in five", electrical.Duty{Kind: electrical.Intermittent, On: time.Minute, Off: 4 * time.Minute}, 19.2},
		{"never off", electrical.Duty{Kind: electrical.Intermittent, On: time.Minute}, 96},
		{"no times", electrical.Duty{Kind: electrical.Intermittent}, 96},
		{"a stated share", electrical.Duty{Kind: electrical.Continuous, Share: 0.45}, 43.2},
		{"a stated share of music", electrical.Duty{Kind: electrical.Music, Share: 0.33}, 31.68},
		{"a share above one", electrical.Duty{Share: 45}, 96},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { within(t, tt.want, float64(tt.duty.Average(96)), 1e-12) })
	}
}

// Common practice, no source: shares of the full current over the time in use.
func TestEnergyDuty(t *testing.T) {
	for kind, want := range map[electrical.DeviceKind]float64{
		electrical.Refrigerator: 0.45, electrical.Fan: 0.5, electrical.Inverter: 0.1, electrical.HeadUnit: 1, electrical.Navigation: 1,
		electrical.Charger: 1, electrical.Winch: 0.2, electrical.Windlass: 1.0 / 30, electrical.Compressor: 1.0 / 3, electrical.Horn: 1.0 / 720,
		electrical.Radio: 0.175, electrical.OtherDevice: 1, "unknown": 1, electrical.Amplifier: 0.125,
	} {
		within(t, want, float64(electrical.EnergyDuty(kind, 4).Average(1)), 1e-9, "%s", kind)
	}
	within(t, 0.33, float64(electrical.EnergyDuty(electrical.Amplifier, 1).Average(1)), 1e-12, "bass alone")
	for _, kind := range electrical.DeviceKinds() {
		share := float64(electrical.EnergyDuty(kind, 0).Average(1))
		assert.True(t, share > 0 && share <= 1, "%s: %v", kind, share)
		assert.NotEmpty(t, electrical.EnergyDuty(kind, 0).Kind, "%s", kind)
	}
}

// More on the battery never leaves more, and what is said to do would do.
func TestChargingBalanceNeverImprovesWithLoad(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := electrical.Charging{
			Rated: quantity.Amps(rapid.Float64Range(1, 300).Draw(t, "rated")), IdleShare: rapid.Float64Range(0, 1).Draw(t, "idle"),
			CruiseShare: rapid.Float64Range(0.1, 1).Draw(t, "cruise"), Standing: quantity.Amps(rapid.Float64Range(0, 100).Draw(t, "standing")),
			Running: quantity.Amps(rapid.Float64Range(0, 200).Draw(t, "running")), Reserve: quantity.Amps(rapid.Float64Range(0, 10).Draw(t, "reserve")),
			Resting: quantity.Amps(rapid.Float64Range(0.1, 50).Draw(t, "resting")), Capacity: quantity.AmpHours(rapid.Float64Range(1, 600).Draw(t, "capacity")),
			Chemistry: rapid.SampledFrom(electrical.Chemistries()).Draw(t, "chemistry"), Starts: rapid.Bool().Draw(t, "starts"),
		}
		more := c
		extra := quantity.Amps(rapid.Float64Range(0, 50).Draw(t, "more"))
		more.Running += extra
		more.Resting += extra
		got, worse := c.Balance(), more.Balance()
		if worse.Cruise.Surplus > got.Cruise.Surplus || worse.Idle.Surplus > got.Idle.Surplus || worse.Hours > got.Hours || worse.Pass && !got.Pass {
			t.Fatalf("%+v, with %v A more %+v", got, extra, worse)
		}
		if got.Pass {
			return
		}
		less, larger := c, c
		less.Running -= got.Cruise.Short + 1e-9 // rounding
		larger.Rated = got.Needed + 1e-9
		if !less.Balance().Pass || !larger.Balance().Pass {
			t.Fatalf("%+v is not mended by %v A less or %v A rated", got, got.Cruise.Short, got.Needed)
		}
	})
}
