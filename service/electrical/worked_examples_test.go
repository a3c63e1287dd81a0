package electrical_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// example is one printed worked example: what it states and what it answers.
type example struct {
	id, kind, answer, tolerance string
	inputs                      map[string]string
}

func readExamples(t *testing.T) []example {
	t.Helper()
	var examples []example
	for _, r := range readRows(t, "worked_examples.csv") {
		e := example{id: r["id"], kind: r["kind"], answer: r["answer"], tolerance: r["tolerance"], inputs: map[string]string{}}
		for _, part := range strings.Split(r["inputs"], ";") {
			key, value, _ := strings.Cut(strings.TrimSpace(part), "=")
			e.inputs[strings.TrimSpace(key)] = strings.TrimSpace(value)
		}
		examples = append(examples, e)
	}
	return examples
}

var leadingNumber = regexp.MustCompile(`^[0-9.]+`)

// in gives a stated number; remarks behind it ("50 including ground") are dropped.
func (e example) in(t *testing.T, key string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(leadingNumber.FindString(e.inputs[key]), 64)
	require.NoError(t, err, "%s: %s", e.id, key)
	return v
}

// check holds a result against the printed answer within the stated tolerance.
func (e example) check(t *testing.T, got float64) {
	t.Helper()
	want, err := strconv.ParseFloat(e.answer, 64)
	require.NoError(t, err)
	share := 1e-9
	if text, ok := strings.CutSuffix(e.tolerance, " percent"); ok {
		share, err = strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		share /= 100
	}
	within(t, want, got, share, e.id)
}

// notCovered says of every example without a rule here why there is none.
var notCovered = map[string]string{
	"WE12": "free-air aircraft ampacity with an altitude factor: Table 5 of 33 CFR holds no such figures",
	"WE28": "circular mils of a strand count: sizes are taken by gauge or mm², never from strands",
	"WE30": "melting current: a bound on what a conductor withstands, in TestWithstandEndsBeforeCopperMelts",
	"WE39": "battery strings: a Bank's figures are for the whole bank, whoever enters it adds the strings",
}

func TestPublishedWorkedExamples(t *testing.T) {
	covered := 0
	for _, e := range readExamples(t) {
		if notCovered[e.id] != "" {
			continue
		}
		covered++
		t.Run(e.id, func(t *testing.T) {
			switch e.kind {
			case "voltage_drop":
				e.check(t, exampleDrop(t, e))
			case "resistance":
				e.check(t, exampleResistance(t, e))
			case "wire_size":
				require.Equal(t, e.answer, exampleSize(t, e))
			case "ampacity":
				e.check(t, exampleAmpacity(t, e))
			case "fuse_max":
				require.Equal(t, e.in(t, "ampacity_A"), ampacity(t, cable(quantity.AWG(14), 105), base))
				e.check(t, e.in(t, "ampacity_A")*electrical.FuseOverAmpacity(electrical.Boat))
			case "amplifier_current":
				e.check(t, exampleAmplifier(t, e))
			default:
				t.Fatalf("no check for %q: cover it or say in notCovered why not", e.kind)
			}
		})
	}
	require.Equal(t, 35-len(notCovered), covered)
}

// stated is a cable whose resistance the source prints per 1000 ft.
func stated(size quantity.Size, ohmPerKft float64) electrical.Conductor {
	c := cable(size, 105)
	c.MaxOhmPerKm = ohmPerKft * perKft
	return c
}

func exampleDrop(t *testing.T, e example) float64 {
	t.Helper()
	i := quantity.Amps(e.in(t, "current_A"))
	if e.inputs["resistance_ohm"] != "" {
		return float64(i.Through(quantity.Ohms(e.in(t, "resistance_ohm"))))
	}
	var feet float64
	if e.inputs["one_way_ft"] != "" {
		feet = 2 * e.in(t, "one_way_ft")
	} else {
		feet = e.in(t, "length_ft")
	}
	c := stated(gauge(t, e.inputs["awg"]), e.in(t, "ohm_per_kft"))
	return float64(i.Through(c.Resistance(quantity.Metres(feet*foot), 20)))
}

// exampleResistance asks at the temperature that the printed figure is for, where
// the rule's own reference of 20 °C leaves it as it is.
func exampleResistance(t *testing.T, e example) float64 {
	t.Helper()
	c := cable(quantity.AWG(12), 105)
	if e.inputs["1000 ft"] != "" {
		c = stated(c.Size, e.in(t, "1000 ft"))
	} else {
		c = stated(gauge(t, e.inputs["awg"]), e.in(t, "ohm_per_kft"))
	}
	return float64(c.Resistance(quantity.Metres(e.in(t, "length_ft")*foot), 20))
}

func exampleAmpacity(t *testing.T, e example) float64 {
	t.Helper()
	bundle, _, _ := strings.Cut(e.inputs["bundle"], "-")
	n, err := strconv.Atoi(bundle)
	require.NoError(t, err)
	c := cable(gauge(t, e.inputs["awg"]), quantity.Celsius(e.in(t, "insulation_C")))
	return ampacity(t, c, electrical.Surroundings{EngineSpace: e.inputs["engine_space"] == "yes", Bundled: n})
}

func exampleAmplifier(t *testing.T, e example) float64 {
	t.Helper()
	d, err := electrical.DemandOf(
		electrical.Load{Audio: electrical.Audio{RMS: quantity.Watts(e.in(t, "rms_total_W")), Efficiency: e.in(t, "efficiency")}},
		electrical.LoadContext{Kind: electrical.Amplifier, Nominal: 12, Source: electrical.SourceVolts{Running: quantity.Volts(e.in(t, "supply_V"))}, Lowest: 10.8})
	require.NoError(t, err)
	return float64(d.Design)
}

// exampleSize picks the thinnest size of the source's own table whose drop, by
// Resistance with that table's ohms, stays in the stated limit. FAA examples use
// table 11-9 at 20 °C, the others the ABYC formula CM = K·I·L/E with SAE areas,
// that is K/CM ohm per foot.
func exampleSize(t *testing.T, e example) string {
	t.Helper()
	faa := e.inputs["allowed_drop_V"] != ""
	var limit, feet float64
	if faa {
		limit, feet = e.in(t, "allowed_drop_V"), e.in(t, "length_ft")
	} else {
		limit = e.in(t, "supply_V") * e.in(t, "drop_pct") / 100
		if e.inputs["total_length_ft"] != "" {
			feet = e.in(t, "total_length_ft")
		} else {
			feet = e.in(t, "positive_ft") + e.in(t, "negative_ft")
		}
	}
	i, l := quantity.Amps(e.in(t, "current_A")), quantity.Metres(feet*foot)
	for _, r := range readRows(t, "awg.csv") { // thinnest first
		ohmPerKft := math.Inf(1)
		if faa && r["faa_20c_ohm_per_kft"] != "" {
			ohmPerKft = r.number(t, "faa_20c_ohm_per_kft")
		}
		if !faa && r["sae_circular_mils"] != "" {
			ohmPerKft = abycK / r.number(t, "sae_circular_mils") * 1e3
		}
		if math.IsInf(ohmPerKft, 1) {
			continue
		}
		if float64(i.Through(stated(gauge(t, r["size_awg"]), ohmPerKft).Resistance(l, 20))) <= limit {
			return r["size_awg"]
		}
	}
	return "none"
}
