package rpc

import (
	"fmt"
	"strings"

	pb "example.com/lugbook/api/lugbook/v1"
)

// enum maps between an enum of the contract and the domain's short word for the
// same thing: ENVIRONMENT_ENGINE_SPACE and "engine_space".
type enum[E ~int32] struct {
	words   map[E]string
	numbers map[string]E
}

// enumOf builds the mapping from the generated names. The zero value's name ends
// in UNSPECIFIED and tells the prefix; it maps to the empty word.
func enumOf[E ~int32](names map[int32]string) enum[E] {
	prefix := strings.TrimSuffix(names[0], "UNSPECIFIED")
	m := enum[E]{words: map[E]string{0: ""}, numbers: map[string]E{"": 0}}
	for number, name := range names {
		if number == 0 {
			continue
		}
		word := strings.ToLower(strings.TrimPrefix(name, prefix))
		m.words[E(number)], m.numbers[word] = word, E(number)
	}
	return m
}

// word gives the domain's word. A number that the contract does not know gives a
// word that no list holds, so that validation refuses it by name.
func (m enum[E]) word(number E) string {
	if w, ok := m.words[number]; ok {
		return w
	}
	return fmt.Sprintf("number %d", number)
}

// number gives the contract's value of a word; 0 for a word that it lacks.
func (m enum[E]) number(word string) E { return m.numbers[word] }

var (
	materials     = enumOf[pb.Material](pb.Material_name)
	insulations   = enumOf[pb.Insulation](pb.Insulation_name)
	severities    = enumOf[pb.Severity](pb.Severity_name)
	categories    = enumOf[pb.VehicleCategory](pb.VehicleCategory_name)
	fuels         = enumOf[pb.Fuel](pb.Fuel_name)
	bodies        = enumOf[pb.BodyMaterial](pb.BodyMaterial_name)
	chemistries   = enumOf[pb.Chemistry](pb.Chemistry_name)
	roles         = enumOf[pb.BatteryRole](pb.BatteryRole_name)
	chargingKinds = enumOf[pb.ChargingKind](pb.ChargingKind_name)
	linkKinds     = enumOf[pb.LinkKind](pb.LinkKind_name)
	environments  = enumOf[pb.Environment](pb.Environment_name)
	deviceKinds   = enumOf[pb.DeviceKind](pb.DeviceKind_name)
	behaviours    = enumOf[pb.LoadBehaviour](pb.LoadBehaviour_name)
	dropClasses   = enumOf[pb.DropClass](pb.DropClass_name)
	dutyKinds     = enumOf[pb.DutyKind](pb.DutyKind_name)
	classes       = enumOf[pb.AmplifierClass](pb.AmplifierClass_name)
	landingKinds  = enumOf[pb.LandingKind](pb.LandingKind_name)
	layouts       = enumOf[pb.Layout](pb.Layout_name)
	layoutChoices = enumOf[pb.LayoutChoice](pb.LayoutChoice_name)
	leadKinds     = enumOf[pb.LeadKind](pb.LeadKind_name)
	polarities    = enumOf[pb.Polarity](pb.Polarity_name)
	methods       = enumOf[pb.TerminationMethod](pb.TerminationMethod_name)
	families      = enumOf[pb.FuseFamily](pb.FuseFamily_name)
	sections      = enumOf[pb.LineSection](pb.LineSection_name)
	partKinds     = enumOf[pb.PartKind](pb.PartKind_name)
	soldBys       = enumOf[pb.SoldBy](pb.SoldBy_name)
	forms         = enumOf[pb.TerminalForm](pb.TerminalForm_name)
	quoteStates   = enumOf[pb.QuoteState](pb.QuoteState_name)
	quoteDeeds    = enumOf[pb.QuoteDeed](pb.QuoteDeed_name)
	constructions = enumOf[pb.BarrelConstruction](pb.BarrelConstruction_name)
)
