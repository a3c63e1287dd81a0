package electrical_test

import (
	"fmt"
	"maps"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// printed is one worked example of docs/method.md: inputs by name, and what must
// come out, each as it is printed.
type printed struct {
	rule   string
	inputs map[string]string
	taken  map[string]bool
	wants  map[string]string
}

var fenced = regexp.MustCompile("(?s)```example (\\S+)\n(.*?)```")

// readMethod reads the worked examples whose rule has a prefix.
func readMethod(t *testing.T, prefix string) []*printed {
	t.Helper()
	raw, err := os.ReadFile("../../docs/method.md")
	require.NoError(t, err)
	var examples []*printed
	for _, block := range fenced.FindAllStringSubmatch(string(raw), -1) {
		require.Regexp(t, "^(rule|joint|circuit)/", block[1], "an example that no test would run")
		rule, ours := strings.CutPrefix(block[1], prefix)
		if !ours {
			continue
		}
		e := &printed{rule: rule, inputs: map[string]string{}, taken: map[string]bool{}, wants: map[string]string{}}
		for line := range strings.Lines(block[2]) {
			text, result := strings.CutPrefix(strings.TrimSpace(line), "= ")
			name, value, ok := strings.Cut(text, " ")
			require.True(t, ok, "%s: %q", rule, line)
			if result {
				e.wants[name] = strings.TrimSpace(value)
			} else {
				e.inputs[name] = strings.TrimSpace(value)
			}
		}
		examples = append(examples, e)
	}
	return examples
}

// word gives an input that is a word.
func (e *printed) word(name string) string {
	e.taken[name] = true
	return e.inputs[name]
}

// number gives an input in a unit.
func (e *printed) number(t *testing.T, name, unit string) float64 {
	t.Helper()
	digits, ok := strings.CutSuffix(e.word(name), " "+unit)
	require.True(t, ok, "%s: %s is %q, wanted in %s", e.rule, name, e.inputs[name], unit)
	v, err := strconv.ParseFloat(digits, 64)
	require.NoError(t, err)
	return v
}

// wire gives the conductor of an example: PVC copper of 105 °C unless it says
// otherwise.
func (e *printed) wire(t *testing.T) electrical.Conductor {
	t.Helper()
	size, err := quantity.ParseSize(e.word("size"))
	require.NoError(t, err)
	c := cable(size, 105)
	if e.inputs["material"] != "" {
		c.Material = electrical.Material(e.word("material"))
	}
	if e.inputs["insulation"] != "" {
		c.Rating = quantity.Celsius(e.number(t, "insulation", "°C"))
	}
	return c
}

// meets holds what came out against what is printed: words as they stand, numbers
// to half a unit of the last printed digit.
func (e *printed) meets(t *testing.T, got map[string]string) {
	t.Helper()
	require.NotEmpty(t, e.wants, "%s states no result", e.rule)
	for name := range e.inputs {
		assert.True(t, e.taken[name], "%s: the input %s has no part in it", e.rule, name)
	}
	for name, want := range e.wants {
		require.Contains(t, got, name, "%s has no result of that name", e.rule)
		digits, unit, _ := strings.Cut(want, " ")
		wanted, err := strconv.ParseFloat(digits, 64)
		if err != nil {
			assert.Equal(t, want, got[name], "%s: %s", e.rule, name)
			continue
		}
		number, gotUnit, _ := strings.Cut(got[name], " ")
		v, err := strconv.ParseFloat(number, 64)
		require.NoError(t, err)
		assert.Equal(t, unit, gotUnit, "%s: unit of %s", e.rule, name)
		_, decimals, _ := strings.Cut(digits, ".")
		assert.InDelta(t, wanted, v, 0.5000001*math.Pow10(-len(decimals)), "%s: %s", e.rule, name)
	}
}

// in spells a result with its unit, to all its digits.
func in[T ~float64](v T, unit string) string { return fmt.Sprintf("%v %s", float64(v), unit) }

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// TestMethodExamples runs the worked examples of docs/method.md that stand for
// rules of this package.
func TestMethodExamples(t *testing.T) {
	ran := map[string]bool{}
	rules := maps.Clone(methodRules)
	maps.Copy(rules, methodFaultRules)
	for _, e := range readMethod(t, "rule/") {
		run, ok := rules[e.rule]
		require.True(t, ok, "no rule is called %s", e.rule)
		t.Run(e.rule, func(t *testing.T) { e.meets(t, run(t, e)) })
		ran[e.rule] = true
	}
	for rule := range rules {
		assert.True(t, ran[rule], "docs/method.md has no example of %s", rule)
	}
}

// methodRules works out each kind of example.
var methodRules = map[string]func(*testing.T, *printed) map[string]string{
	"gauge": func(t *testing.T, e *printed) map[string]string {
		s := e.wire(t).Size
		return map[string]string{"diameter": in(s.Diameter(), "mm"), "area": in(s.Area(), "mm²")}
	},
	"resistance": func(t *testing.T, e *printed) map[string]string { return methodResistance(t, e, e.wire(t)) },
	"resistance_sae": func(t *testing.T, e *printed) map[string]string {
		c := e.wire(t)
		c.SAE = true
		return methodResistance(t, e, c)
	},
	"ampacity": func(t *testing.T, e *printed) map[string]string {
		around := electrical.Surroundings{EngineSpace: e.word("place") == "engine_space", Bundled: int(e.number(t, "bundled", "conductors"))}
		return map[string]string{"ampacity": in(ampacity(t, e.wire(t), around), "A")}
	},
	"ampacity_at": func(t *testing.T, e *printed) map[string]string {
		around := electrical.Surroundings{Ambient: quantity.Celsius(e.number(t, "ambient", "°C")), HasAmbient: true, Bundled: int(e.number(t, "bundled", "conductors"))}
		return map[string]string{"ampacity": in(ampacity(t, e.wire(t), around), "A")}
	},
	"temperature": func(t *testing.T, e *printed) map[string]string {
		got := electrical.Temperature(quantity.Celsius(e.number(t, "ambient", "°C")), quantity.Celsius(e.number(t, "insulation", "°C")),
			e.amps(t, "current"), e.amps(t, "ampacity"))
		return map[string]string{"temperature": in(got, "°C")}
	},
	"load_audio": func(t *testing.T, e *printed) map[string]string {
		audio := electrical.Audio{RMS: quantity.Watts(e.number(t, "output", "W")), Class: electrical.AmplifierClass(e.word("class"))}
		return methodDemand(t, electrical.Load{Audio: audio}, electrical.LoadContext{Kind: electrical.Amplifier, Nominal: 12, Lowest: 12})
	},
	"load_input": func(t *testing.T, e *printed) map[string]string {
		return methodDemand(t, electrical.Load{Input: quantity.Watts(e.number(t, "input", "W"))},
			electrical.LoadContext{Kind: electrical.DeviceKind(e.word("kind")), Nominal: 12, Lowest: quantity.Volts(e.number(t, "lowest", "V"))})
	},
	"load_output": func(t *testing.T, e *printed) map[string]string {
		return methodDemand(t, electrical.Load{Output: quantity.Watts(e.number(t, "output", "W"))},
			electrical.LoadContext{Kind: electrical.DeviceKind(e.word("kind")), Nominal: quantity.Volts(e.number(t, "nominal", "V")), Lowest: 21})
	},
	"load_onboard": func(t *testing.T, e *printed) map[string]string {
		return methodDemand(t, electrical.Load{Audio: electrical.Audio{OnboardFuse: e.amps(t, "onboard")}}, electrical.LoadContext{Kind: electrical.Amplifier, Nominal: 12, Lowest: 12})
	},
	"operating_point": func(t *testing.T, e *printed) map[string]string {
		return methodPoint(t, e, electrical.Demand{Behaviour: electrical.Behaviour(e.word("behaviour")), Power: quantity.Watts(e.number(t, "power", "W"))})
	},
	"operating_point_resistive": func(t *testing.T, e *printed) map[string]string {
		return methodPoint(t, e, electrical.Demand{Behaviour: electrical.Resistive, Design: e.amps(t, "reference"), Reference: quantity.Volts(e.number(t, "at", "V"))})
	},
	"network": func(t *testing.T, e *printed) map[string]string {
		var elements []electrical.Element
		var loads []electrical.Demand
		shared := electrical.Element{R: e.ohms(t, "shared")}
		for k := range int(e.number(t, "loads", "loads")) {
			shared.Loads = append(shared.Loads, k)
			elements = append(elements, electrical.Element{R: e.ohms(t, "own"), Loads: []int{k}})
			loads = append(loads, electrical.Demand{Behaviour: electrical.ConstantPower, Power: quantity.Watts(e.number(t, "power", "W"))})
		}
		p, err := electrical.SolveNetwork(quantity.Volts(e.number(t, "source", "V")), append(elements, shared), loads)
		require.NoError(t, err)
		return map[string]string{"current": in(p.Currents[0], "A"), "volts": in(p.Volts[1], "V")}
	},
	"short_time": func(t *testing.T, e *printed) map[string]string {
		return map[string]string{"heating": in(e.duty(t).Heating(e.amps(t, "current")), "A")}
	},
	"short_time_peak": func(t *testing.T, e *printed) map[string]string {
		c, d, i := e.wire(t), e.duty(t), e.amps(t, "current")
		peak := electrical.ShortTimePeak(c, quantity.Celsius(e.number(t, "ambient", "°C")), d, i, e.amps(t, "ampacity"))
		return map[string]string{"rise": in(electrical.AdiabaticRise(c, i, d.On), "°C"), "peak": in(peak, "°C")}
	},
	"drop": func(t *testing.T, e *printed) map[string]string {
		r := e.wire(t).Resistance(quantity.Metres(e.number(t, "length", "m")), quantity.Celsius(e.number(t, "at", "°C")))
		drop := e.amps(t, "current").Through(r)
		return map[string]string{"drop": in(drop, "V"), "share": in(float64(drop)/e.number(t, "nominal", "V")*100, "%")}
	},
	"barrel": func(t *testing.T, e *printed) map[string]string {
		return map[string]string{"resistance": in(electrical.BarrelResistance(e.wire(t).Size).Milliohms(), "mΩ")}
	},
	"opening": func(t *testing.T, e *printed) map[string]string {
		family, rating := electrical.Family(e.word("family")), e.amps(t, "rating")
		o := electrical.CurveOf(family, rating).Opening(rating, e.amps(t, "current"))
		return map[string]string{"shortest": in(o.Min, "s"), "longest": in(o.Max, "s")}
	},
	"carry": func(t *testing.T, e *printed) map[string]string {
		family, rating, ambient := electrical.Family(e.word("family")), e.amps(t, "rating"), quantity.Celsius(e.number(t, "ambient", "°C"))
		return map[string]string{
			"lasting":      in(electrical.CarryLimit(family, rating, ambient, electrical.Standard().LoadShare), "A"),
			"now_and_then": in(electrical.BearLimit(family, rating, ambient), "A"),
		}
	},
	"fuse_resistance": func(t *testing.T, e *printed) map[string]string {
		figures, ok := electrical.FamilyOf(electrical.Family(e.word("family")))
		require.True(t, ok)
		return map[string]string{"resistance": in(electrical.FuseResistance(figures, e.amps(t, "rating"), e.amps(t, "current")).Milliohms(), "mΩ")}
	},
	"surge": func(t *testing.T, e *printed) map[string]string {
		family, rating := electrical.Family(e.word("family")), e.amps(t, "rating")
		surge := electrical.Surge{Current: e.amps(t, "surge"), Duration: e.seconds(t, "for")}
		return map[string]string{"passes": yes(electrical.CurveOf(family, rating).BearsSurge(rating, surge))}
	},
	"battery_cranking": func(t *testing.T, e *printed) map[string]string {
		return methodBank(electrical.Bank{Chemistry: electrical.Flooded, Nominal: 12, ColdCranking: e.amps(t, "cranking")})
	},
	"battery_capacity": func(t *testing.T, e *printed) map[string]string {
		return methodBank(electrical.Bank{Chemistry: electrical.Chemistry(e.word("chemistry")), Nominal: 12, Capacity: quantity.AmpHours(e.number(t, "capacity", "Ah"))})
	},
	"interrupting": func(t *testing.T, e *printed) map[string]string {
		b := electrical.Bank{Chemistry: electrical.Flooded, Nominal: 12, ColdCranking: e.amps(t, "cranking")}
		vs, r := quantity.Volts(e.number(t, "source", "V")), e.ohms(t, "resistance")
		return map[string]string{"prospective": in(b.Prospective(vs, r), "A"), "required": in(b.RequiredInterrupting(vs, r).Required, "A")}
	},
	"placement": func(_ *testing.T, e *printed) map[string]string {
		p := electrical.Standard().PlacementOf(electrical.Category(e.word("category")), electrical.Chemistry(e.word("chemistry")), electrical.Environment(e.word("place")), false)
		return map[string]string{"limit": in(p.Limit, "m")}
	},
}

func (e *printed) amps(t *testing.T, name string) quantity.Amps {
	t.Helper()
	return quantity.Amps(e.number(t, name, "A"))
}

func (e *printed) ohms(t *testing.T, name string) quantity.Ohms {
	t.Helper()
	return quantity.Ohms(e.number(t, name, "mΩ")) * quantity.Milliohm
}

func (e *printed) seconds(t *testing.T, name string) time.Duration {
	t.Helper()
	return time.Duration(e.number(t, name, "s") * float64(time.Second))
}

func (e *printed) duty(t *testing.T) electrical.Duty {
	t.Helper()
	return electrical.Duty{Kind: electrical.Intermittent, On: e.seconds(t, "on"), Off: e.seconds(t, "off")}
}

func methodResistance(t *testing.T, e *printed, c electrical.Conductor) map[string]string {
	t.Helper()
	r := c.Resistance(quantity.Metres(e.number(t, "length", "m")), quantity.Celsius(e.number(t, "at", "°C")))
	return map[string]string{"resistance": in(r.Milliohms(), "mΩ")}
}

func methodDemand(t *testing.T, l electrical.Load, c electrical.LoadContext) map[string]string {
	t.Helper()
	source, err := electrical.Standard().SourceAt(c.Nominal)
	require.NoError(t, err)
	c.Source = source
	d, err := electrical.DemandOf(l, c)
	require.NoError(t, err)
	return map[string]string{"current": in(d.Design, "A")}
}

func methodPoint(t *testing.T, e *printed, d electrical.Demand) map[string]string {
	t.Helper()
	i, v, err := electrical.OperatingPoint(d, quantity.Volts(e.number(t, "source", "V")), e.ohms(t, "resistance"))
	require.NoError(t, err)
	return map[string]string{"current": in(i, "A"), "volts": in(v, "V")}
}

func methodBank(b electrical.Bank) map[string]string {
	low, high := b.Resistance()
	return map[string]string{"low": in(low.Milliohms(), "mΩ"), "high": in(high.Milliohms(), "mΩ")}
}
