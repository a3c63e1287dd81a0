package wording_test

import (
	"go/ast"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/service/wording"
)

// groupOf is the name under which an enumeration's words stand, where it is not
// the type's own: that of the figure that carries it, or one that says more.
var groupOf = map[string]string{
	"Kind": "part_kind", "LandingKind": "landing", "LinkKind": "link", "ChargingKind": "charging", "DutyKind": "duty", "PointKind": "point",
}

func snake(name string) string {
	var b strings.Builder
	for i, r := range name {
		if unicode.IsUpper(r) && i > 0 {
			b.WriteByte('_')
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return b.String()
}

// Every value of every enumeration of the domain has a word. The unit of a figure
// is no word: it is printed with the number.
func TestEveryEnumerationHasWords(t *testing.T) {
	s := readSource(t)
	teller := wording.For("en", wording.Metric)
	checked := 0
	for _, pkg := range []string{"electrical", "catalog", "termination", "design", "pricing"} {
		for name, kind := range s.types[pkg] {
			value := s.consts[pkg][name]
			if value == "" || pkg == "electrical" && kind == "Unit" || kind == "string" || !ast.IsExported(kind) {
				continue
			}
			group, ok := groupOf[kind]
			if !ok {
				group = snake(kind)
			}
			checked++
			assert.True(t, teller.HasWord(group, value), "%s.%s: no word for %s in words.%s", pkg, name, value, group)
		}
	}
	for name, kind := range s.types["quoting"] {
		if kind == "State" || kind == "Deed" {
			assert.True(t, teller.HasWord("quote_"+snake(kind), s.consts["quoting"][name]), name)
		}
	}
	require.Greater(t, checked, 150)
	for group, code := range wordOf {
		assert.True(t, teller.HasWord(group, code), "%s %s", group, code)
	}
}

// Every figure that the source makes has a label.
func TestEveryFigureHasALabel(t *testing.T) {
	s := readSource(t)
	teller := wording.For("en", wording.Metric)
	checked := 0
	for _, f := range s.files {
		ast.Inspect(f.tree, func(n ast.Node) bool {
			c, ok := n.(*ast.CallExpr)
			if !ok || len(c.Args) < 2 {
				return true
			}
			switch nameOf(c.Fun) {
			case "Num", "Name", "Word", "SizeFigure", "sizeFigure":
			default:
				return true
			}
			if key, ok := literal(c.Args[0]); ok {
				checked++
				assert.True(t, teller.HasLabel(key), "%s: figure %s has no label", f.path, key)
			}
			return true
		})
	}
	require.Greater(t, checked, 150)
	// The keys that the contract names for answers and findings.
	for _, key := range strings.Fields(`conductor_awg_min conductor_mm2_min current_a fuse_a fuse_max_a opening_s drop_v drop_percent length_m
		length_max_m ampacity_a resistance_mohm heat_w sleeve_supplied_mm sleeve_cut_mm strip_mm pull_n power_w surplus_a hours stud_mm price`) {
		assert.True(t, teller.HasLabel(key), "figure %s of the contract has no label", key)
	}
}
