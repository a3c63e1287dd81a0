package design_test

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// methodExample is one worked example of docs/method.md: inputs by name, and what
// must come out, each as it is printed.
type methodExample struct {
	rule   string
	inputs map[string]string
	taken  map[string]bool
	wants  map[string]string
}

var methodBlock = regexp.MustCompile("(?s)```example ((?:joint|circuit)/\\S+)\n(.*?)```")

// readMethod reads the examples of joints and circuits; those of the electrical
// rules are run in their own package.
func readMethod(t *testing.T) []*methodExample {
	t.Helper()
	raw, err := os.ReadFile("../../docs/method.md")
	require.NoError(t, err)
	var examples []*methodExample
	for _, block := range methodBlock.FindAllStringSubmatch(string(raw), -1) {
		e := &methodExample{rule: block[1], inputs: map[string]string{}, taken: map[string]bool{}, wants: map[string]string{}}
		for line := range strings.Lines(block[2]) {
			text, result := strings.CutPrefix(strings.TrimSpace(line), "= ")
			name, value, ok := strings.Cut(text, " ")
			require.True(t, ok, "%s: %q", e.rule, line)
			into := e.inputs
			if result {
				into = e.wants
			}
			into[name] = strings.TrimSpace(value)
		}
		examples = append(examples, e)
	}
	return examples
}

func (e *methodExample) word(name string) string {
	e.taken[name] = true
	return e.inputs[name]
}

// number gives an input in a unit; 0 where it is not stated.
func (e *methodExample) number(t *testing.T, name, unit string) float64 {
	t.Helper()
	text := e.word(name)
	if text == "" {
		return 0
	}
	digits, ok := strings.CutSuffix(text, " "+unit)
	require.True(t, ok, "%s: %s is %q, wanted in %s", e.rule, name, text, unit)
	v, err := strconv.ParseFloat(digits, 64)
	require.NoError(t, err)
	return v
}

func (e *methodExample) millimetres(t *testing.T, name string) quantity.Millimetres {
	t.Helper()
	return quantity.Millimetres(e.number(t, name, "mm"))
}

// meets holds what came out against what is printed: words as they stand, numbers
// to half a unit of the last printed digit.
func (e *methodExample) meets(t *testing.T, got map[string]string) {
	t.Helper()
	require.NotEmpty(t, e.wants, "%s states no result", e.rule)
	for name := range e.inputs {
		assert.True(t, e.taken[name], "%s: the input %s has no part in it", e.rule, name)
	}
	for name, want := range e.wants {
		require.Contains(t, got, name, "%s has no result of that name", e.rule)
		digits, unit, _ := strings.Cut(want, " ")
		wanted, err := strconv.ParseFloat(digits, 64)
		number, gotUnit, _ := strings.Cut(got[name], " ")
		v, gotErr := strconv.ParseFloat(number, 64)
		if err != nil || gotErr != nil {
			assert.Equal(t, want, got[name], "%s: %s", e.rule, name)
			continue
		}
		assert.Equal(t, unit, gotUnit, "%s: unit of %s", e.rule, name)
		_, decimals, _ := strings.Cut(digits, ".")
		assert.InDelta(t, wanted, v, 0.5000001*math.Pow10(-len(decimals)), "%s: %s", e.rule, name)
	}
}

// TestMethodExamples runs the worked examples of docs/method.md that stand for
// joints and circuits.
func TestMethodExamples(t *testing.T) {
	ran := map[string]bool{}
	for _, e := range readMethod(t) {
		run, ok := methodRules[e.rule]
		require.True(t, ok, "no rule is called %s", e.rule)
		t.Run(e.rule, func(t *testing.T) { e.meets(t, run(t, e)) })
		ran[e.rule] = true
	}
	for rule := range methodRules {
		assert.True(t, ran[rule], "docs/method.md has no example of %s", rule)
	}
}

// methodRules works out each kind of example.
var methodRules = map[string]func(*testing.T, *methodExample) map[string]string{
	"joint/sleeve": func(t *testing.T, e *methodExample) map[string]string {
		outer := e.millimetres(t, "outer")
		cut := termination.SleeveCut(e.millimetres(t, "part"), int(e.number(t, "sides", "sides")), outer, quantity.Percent(e.number(t, "loss", "%")))
		return map[string]string{"grip": methodFigure(termination.Grip(outer), "mm"), "cut": methodFigure(cut, "mm")}
	},
	"joint/sleeve_fit": func(t *testing.T, e *methodExample) map[string]string {
		s := &catalog.Sleeve{Supplied: e.millimetres(t, "supplied"), Recovered: e.millimetres(t, "recovered")}
		fits := map[bool]string{true: "yes", false: "no"}
		return map[string]string{"fits": fits[termination.SleeveFits(s, e.millimetres(t, "largest"), e.millimetres(t, "smallest"))]}
	},
	"joint/pull": func(t *testing.T, e *methodExample) map[string]string {
		size, err := quantity.ParseSize(e.word("size"))
		require.NoError(t, err)
		return map[string]string{"force": methodFigure(termination.PullForce(size), "N")}
	},
	"joint/stud": func(_ *testing.T, e *methodExample) map[string]string {
		return map[string]string{"terminals": strconv.Itoa(termination.StudLimit(electrical.Category(e.word("category")))) + " terminals"}
	},
	"circuit/length":    methodLength,
	"circuit/run":       methodRun,
	"circuit/relay":     methodRelay,
	"circuit/lead":      methodLead,
	"circuit/link":      methodLink,
	"circuit/trunk":     methodTrunk,
	"circuit/converter": methodConverter,
	"circuit/labour": func(t *testing.T, e *methodExample) map[string]string {
		shop := &catalog.Shop{RateMicro: int64(e.number(t, "rate", "per_hour") * 1e6)}
		return map[string]string{"price": methodPrice(shop.LabourNano(int64(e.number(t, "minutes", "min") * 1e3)))}
	},
	"circuit/cable": func(t *testing.T, e *methodExample) map[string]string {
		part := &catalog.Part{UnitNano: int64(math.Round(e.number(t, "price", "per_metre") * 1e9))}
		return map[string]string{"price": methodPrice(part.LengthNano(int64(e.number(t, "length", "mm"))))}
	},
}

func methodFigure[T ~float64](v T, unit string) string { return fmt.Sprintf("%v %s", float64(v), unit) }

// methodPrice spells billionths of the currency unit.
func methodPrice(nano int64) string { return fmt.Sprintf("%d.%09d", nano/1e9, nano%1e9) }

func methodDesigner(t *testing.T) *design.Designer {
	t.Helper()
	cat, err := catalog.Read(demo.Files())
	require.NoError(t, err)
	return design.New(cat)
}

// methodLength designs a fan in a trailer with a battery in one zone and the fan
// in another, and measures the feed.
func methodLength(t *testing.T, e *methodExample) map[string]string {
	t.Helper()
	v := &catalog.Vehicle{
		ID: "example", Label: "example", Category: electrical.Trailer, Nominal: 12, Body: catalog.Wood, Fuel: catalog.NoFuel, Charging: catalog.Charging{Kind: catalog.NoCharging},
		Batteries: []catalog.Battery{{ID: "house", Chemistry: electrical.AGM, Capacity: 100, Zone: "locker", Stud: "M8", Count: 1, Role: catalog.House}},
		Zones: []catalog.Zone{
			{ID: "locker", Label: "locker", Environment: electrical.Cabin, Reach: 1, HasReach: true},
			{ID: "bunk", Label: "bunk", Environment: electrical.Cabin, Reach: quantity.Metres(e.number(t, "reach", "m")), HasReach: true},
		},
		Routes: []catalog.Route{{From: "locker", To: "bunk", Length: quantity.Metres(e.number(t, "route", "m")), Environment: electrical.Cabin}},
	}
	fan := design.Device{ID: "fan", Kind: electrical.Fan, Zone: "bunk", Load: electrical.Load{Current: 3}}
	made, err := methodDesigner(t).Design(v, design.System{Devices: []design.Device{fan}})
	require.NoError(t, err)
	sum := quantity.Metres(0)
	for _, run := range made.Circuits[0].Runs {
		if run.Polarity == design.Feed {
			sum += run.Length
		}
	}
	return map[string]string{"length": methodFigure(sum, "m")}
}

// methodRun sizes a run of 105 °C copper in a van's cabin.
func methodRun(t *testing.T, e *methodExample) map[string]string {
	t.Helper()
	answer, err := methodDesigner(t).Size(design.RunQuestion{
		Kind: electrical.DeviceKind(e.word("kind")), Category: electrical.Van, Nominal: 12, Environment: electrical.Cabin,
		Material: electrical.Copper, Insulation: electrical.PVC, Rating: 105,
		Load:    electrical.Load{Current: quantity.Amps(e.number(t, "current", "A")), Input: quantity.Watts(e.number(t, "input", "W"))},
		Length:  quantity.Metres(e.number(t, "length", "m")),
		Chassis: e.word("return") == "chassis",
	})
	require.NoError(t, err)
	return map[string]string{
		"conductor": answer.Conductor.Size.String(), "fuse": methodFigure(answer.Fuse.Rating, "A"),
		"conductors": methodFigure(answer.Check.ConductorDrop, "V"), "total": methodFigure(answer.Check.Drop, "V"),
	}
}
