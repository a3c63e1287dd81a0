package wording_test

import (
	"go/ast"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/wording"
)

// rests is what may follow a code's beginning where the source puts the rest on
// at run time.
func (s *source) rests(t *testing.T, beginning string) []string {
	t.Helper()
	var all []string
	switch beginning {
	case "conductor.thinner.":
		for name, value := range s.consts["design"] {
			if strings.HasPrefix(name, "bind") {
				all = append(all, value)
			}
		}
		all = append(all, "no_candidates")
	case "end.method.":
		for name, kind := range s.types["termination"] {
			if kind == "Method" {
				all = append(all, s.consts["termination"][name])
			}
		}
	case "fact.category_":
		for _, c := range electrical.Categories() {
			all = append(all, string(c))
		}
	case "point.":
		for name, kind := range s.types["design"] {
			if kind == "PointKind" {
				all = append(all, s.consts["design"][name])
			}
		}
	case "circuit.":
		for name, kind := range s.types["design"] {
			if kind == "Side" {
				all = append(all, s.consts["design"][name])
			}
		}
	case "layout.": // what a design can be
		all = []string{"single", "trunk", "mixed"}
	case "instead.": // the states
		for name, kind := range s.types["quoting"] {
			if kind == "State" {
				all = append(all, s.consts["quoting"][name])
			}
		}
	case "exclusion.":
		all = s.list("rpc", "exclusions")
	case "line.": // the lines that pricing leaves without a description
		all = []string{"why.supplies", "why.minimum_labour", "why.trip"}
	case "violation.": // besides those that are seen: what is not found by name
		all = []string{"unknown_vehicle", "unknown_part"}
	case "fact.", "assumed.", "step.", "note.", "advice.", "conflict.", "unmet.": // makers and structs show every rest
		return nil
	default:
		t.Fatalf("codes begin with %q: tell here what follows", beginning)
	}
	require.NotEmpty(t, all, beginning)
	return all
}

// codes gives every code that the source makes, in order.
func (s *source) codes(t *testing.T) []string {
	t.Helper()
	var all []string
	for _, at := range s.sites() {
		beginning, unknown := strings.CutSuffix(at.code, unknownRest)
		if !unknown {
			all = append(all, at.code)
			continue
		}
		for _, rest := range s.rests(t, beginning) {
			all = append(all, beginning+rest)
		}
	}
	for name, value := range s.consts["design"] {
		if strings.HasPrefix(name, "bind") {
			all = append(all, "unmet."+value)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

func TestEveryCodeOfTheDomainHasAMessage(t *testing.T) {
	codes := readSource(t).codes(t)
	teller := wording.For("en", wording.Metric)
	// One of each way in which the domain makes codes, so that the reading of the
	// source is seen to work.
	assert.Subset(t, codes, []string{"load.audio", "placement.road", "fuse.interrupting_road", "conductor.thinner.ampacity", "end.method.ferrule",
		"step.cut_square", "step.strip", "step.crimp", "fact.every_job", "fact.category_boat", "fact.vapour", "note.drilling", "assumed.lengths", "advice.body_straps",
		"conflict.maker_fuse_not_stocked", "unmet.load_range", "unmet.landing.largest", "unmet.ambient", "violation.range", "nearest.block"})
	for _, code := range codes {
		assert.True(t, teller.Has(code), "%s is made in the domain and has no message", code)
	}
}

// codeLike is text that looks like a code; fields of requests begin with
// "conductor." too.
var codeLike = regexp.MustCompile(`^(check|load|fuse|placement|end|fact|assumed|nearest|why|size|curve|exclusion|quote|note|step|advice|conflict|unmet)\.[a-z_.]*$`)

// A code that is made in a way sites does not know is still seen as a text.
func TestEveryTextThatLooksLikeACodeHasAMessage(t *testing.T) {
	teller := wording.For("en", wording.Metric)
	all := teller.Codes()
	for _, f := range readSource(t).files {
		ast.Inspect(f.tree, func(n ast.Node) bool {
			e, ok := n.(ast.Expr)
			if !ok {
				return true
			}
			text, ok := literal(e)
			if !ok || !codeLike.MatchString(text) {
				return true
			}
			known := teller.Has(text) || slices.ContainsFunc(all, func(code string) bool {
				return strings.HasSuffix(text, ".") && strings.HasPrefix(code, text) || text == "fact.category_"
			})
			assert.True(t, known, "%s: %q has no message", f.path, text)
			return true
		})
	}
}

// Where the source shows all figures of a code, they fill its message.
func TestTheFiguresOfTheDomainFillTheMessages(t *testing.T) {
	checked := 0
	teller := wording.For("en", wording.US)
	for _, at := range readSource(t).sites() {
		if at.open || strings.HasSuffix(at.code, unknownRest) {
			continue
		}
		checked++
		assertSaid(t, teller, at.code, at.figures, at.path)
	}
	require.Greater(t, checked, 80, "most codes show their figures")
}

// What the source gives with codes whose figures it collects elsewhere:
// conductor.thinner.ambient comes with the size alone, an end's constraint with
// its own figures.
func TestFiguresCollectedElsewhereFillTheMessages(t *testing.T) {
	thinner := []electrical.Figure{electrical.SizeFigure("thinner", quantity.AWG(10))}
	compared := append([]electrical.Figure{
		electrical.Num("drop_v", 0.5, electrical.UnitV), electrical.Num("drop_percent", 4.2, electrical.UnitPercent),
		electrical.Num("limit_percent", 3, electrical.UnitPercent), electrical.Num("total_limit_percent", 5, electrical.UnitPercent),
		electrical.Num("ampacity_a", 60, electrical.UnitA), electrical.Num("required_a", 62.5, electrical.UnitA)}, thinner...)
	run := []electrical.Figure{
		electrical.Num("current_a", 50, electrical.UnitA), electrical.Num("required_a", 62.5, electrical.UnitA), electrical.Num("length_m", 5.5, electrical.UnitM),
		electrical.Num("limit_percent", 3, electrical.UnitPercent), electrical.Num("total_limit_percent", 5, electrical.UnitPercent)}
	interrupting := []electrical.Figure{electrical.Num("prospective_a", 1800, electrical.UnitA), electrical.Num("interrupting_a", 1000, electrical.UnitA)}

	s := readSource(t)
	teller := wording.For("en", wording.Metric)
	for _, rest := range s.rests(t, "conductor.thinner.") {
		figures := compared
		if rest == "ambient" {
			figures = thinner
		}
		assertSaid(t, teller, "conductor.thinner."+rest, figures, "")
		assertSaid(t, teller, "unmet."+rest, run, "")
	}
	for _, method := range s.rests(t, "end.method.") {
		assertSaid(t, teller, "end.method."+method, []electrical.Figure{electrical.SizeFigure("conductor", quantity.AWG(10))}, "")
	}
	assertSaid(t, teller, "fuse.interrupting_road", interrupting, "")
	cut := []electrical.Figure{electrical.Num("cuts", 2, electrical.UnitCount), electrical.Num("length_m", 3.2, electrical.UnitM), electrical.Num("waste_percent", 5, electrical.UnitPercent)}
	assertSaid(t, teller, "why.cable", append(cut, electrical.SizeFigure("conductor", quantity.AWG(10))), "")
	assertSaid(t, teller, "why.sleeve", append(cut, electrical.Num("supplied_mm", 9, electrical.UnitMM)), "")
	assertSaid(t, teller, "why.sundry", []electrical.Figure{electrical.Word("use", "loom")}, "")
	assertSaid(t, teller, "why.equipment", []electrical.Figure{electrical.Name("device", "Fridge")}, "")
	work := []electrical.Figure{electrical.Num("times", 4, electrical.UnitCount), electrical.Num("minutes", 48, electrical.UnitMinutes)}
	assertSaid(t, teller, "why.labour", work, "")
	assertSaid(t, teller, "why.access", work, "")
	for _, code := range teller.Codes() {
		for _, bare := range []string{"note.", "line.", "exclusion.", "fact.category_"} {
			if strings.HasPrefix(code, bare) {
				assertSaid(t, teller, code, nil, "")
			}
		}
	}
}

// assertSaid asks for a sentence, not the code with its figures.
func assertSaid(t *testing.T, teller *wording.Teller, code string, figures []electrical.Figure, where string) {
	t.Helper()
	said := teller.Say(code, figures...)
	assert.False(t, said == code || strings.HasPrefix(said, code+" ("), "%s: %s names a figure that it is not given: %s", where, code, said)
	assert.NotContains(t, said, "{", "%s: %s", where, code)
}
