package electrical_test

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

func texts[T ~string](words []T) []string {
	var out []string
	for _, w := range words {
		out = append(out, string(w))
	}
	return out
}

// The words are the contract's enum values in lower case: mapping rests on it.
func TestWordsAreShortLowerCaseAndDistinct(t *testing.T) {
	word := regexp.MustCompile(`^[a-z][a-z0-9]*(_[a-z0-9]+)*$`)
	for list, words := range map[string][]string{
		"materials": texts(electrical.Materials()), "insulations": texts(electrical.Insulations()),
		"environments": texts(electrical.Environments()), "categories": texts(electrical.Categories()),
		"chemistries": texts(electrical.Chemistries()), "families": texts(electrical.Families()),
		"drop classes": texts(electrical.DropClasses()), "behaviours": texts(electrical.Behaviours()),
		"device kinds": texts(electrical.DeviceKinds()), "amplifier classes": texts(electrical.AmplifierClasses()),
		"duties": texts(electrical.DutyKinds()), "poor joints": texts(electrical.PoorJoints()),
	} {
		seen := map[string]bool{}
		for _, w := range words {
			assert.Regexp(t, word, w, list)
			assert.False(t, seen[w], "%s: %s twice", list, w)
			seen[w] = true
		}
		assert.NotEmpty(t, words, list)
	}
}

func TestOnlyACabinNeedsNoSealing(t *testing.T) {
	for _, e := range electrical.Environments() {
		assert.Equal(t, e != electrical.Cabin, electrical.NeedsSealing(e), "%s", e)
	}
}

func TestFigures(t *testing.T) {
	r := electrical.Because("conductor.drop", "ABYC practice",
		electrical.Num("drop_v", quantity.Volts(0.31), electrical.UnitV), electrical.Name("part", "feed"),
		electrical.Word("family", electrical.Maxi), electrical.SizeFigure("size", quantity.AWG(4)))
	assert.Equal(t, electrical.Reason{Rule: "conductor.drop", Source: "ABYC practice", Figures: []electrical.Figure{
		{Key: "drop_v", Value: 0.31, Unit: electrical.UnitV},
		{Key: "part", Text: "feed", Unit: electrical.UnitText},
		{Key: "family", Text: "maxi", Unit: electrical.UnitWord},
		{Key: "size", Size: quantity.AWG(4), Unit: electrical.UnitSize},
	}}, r)
}
