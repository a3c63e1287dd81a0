package rpc

import (
	"testing"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/termination"

	"github.com/stretchr/testify/assert"
)

// sameWords asks that the contract and the domain name exactly the same things,
// but for those that only the contract has.
func sameWords[E ~int32, T ~string](t *testing.T, name string, m enum[E], domain []T, contractOnly ...string) {
	t.Helper()
	t.Run(name, func(t *testing.T) {
		known := map[string]bool{"": true}
		for _, w := range contractOnly {
			known[w] = true
		}
		for _, w := range domain {
			known[string(w)] = true
			assert.NotZero(t, m.number(string(w)), "the contract lacks %q", w)
			assert.Equal(t, string(w), m.word(m.number(string(w))))
		}
		for number, word := range m.words {
			assert.True(t, known[word], "the domain lacks %q (%d)", word, number)
		}
	})
}

func TestEnumsOfContractAndDomainAgree(t *testing.T) {
	sameWords(t, "material", materials, electrical.Materials())
	sameWords(t, "insulation", insulations, electrical.Insulations())
	sameWords(t, "category", categories, electrical.Categories())
	sameWords(t, "fuel", fuels, catalog.Fuels())
	sameWords(t, "body", bodies, catalog.Bodies())
	sameWords(t, "chemistry", chemistries, electrical.Chemistries())
	sameWords(t, "role", roles, catalog.Roles())
	sameWords(t, "charging", chargingKinds, catalog.ChargingKinds())
	sameWords(t, "link", linkKinds, catalog.LinkKinds())
	sameWords(t, "environment", environments, electrical.Environments())
	sameWords(t, "device", deviceKinds, electrical.DeviceKinds())
	sameWords(t, "behaviour", behaviours, electrical.Behaviours())
	sameWords(t, "drop class", dropClasses, electrical.DropClasses())
	sameWords(t, "duty", dutyKinds, electrical.DutyKinds())
	sameWords(t, "amplifier class", classes, electrical.AmplifierClasses())
	sameWords(t, "landing", landingKinds, catalog.LandingKinds())
	sameWords(t, "polarity", polarities, []design.Polarity{design.Feed, design.Return, design.Link})
	sameWords(t, "family", families, electrical.Families())
	sameWords(t, "section", sections, catalog.Sections())
	sameWords(t, "part", partKinds, catalog.Kinds())
	sameWords(t, "sold by", soldBys, catalog.SoldBys())
	sameWords(t, "form", forms, catalog.Forms())
	sameWords(t, "construction", constructions, catalog.Constructions())
	sameWords(t, "quote state", quoteStates, quoting.States(), "draft")
	sameWords(t, "quote deed", quoteDeeds, quoting.Deeds())
	sameWords(t, "severity", severities, []design.Severity{design.Danger, design.Fault, design.AdviceOnly})
	sameWords(t, "method", methods, []termination.Method{termination.Crimp, termination.CrimpAndSolder, termination.SolderedSplice, termination.FerruleEnd, termination.PushOnEnd}, "bare_clamp")
}

func TestUnknownEnumNumberIsRefusedByName(t *testing.T) {
	assert.Equal(t, "number 99", environments.word(pb.Environment(99)))
}
