package pricing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/pricing"
	"example.com/lugbook/service/termination"
)

// fused is a fuse in a holder of its own.
func fused() design.Overcurrent {
	return design.Overcurrent{
		Fuse:   &catalog.Fuse{Part: part("FUSE", usd("4.00"), catalog.Each), Rating: 60},
		Holder: &catalog.Holder{Part: part("HOLDER", usd("14.00"), catalog.Each), MaxRating: 80},
	}
}

// TestRelayIsALineOfItsCircuit, after the fuse and its holder, with what its
// contact bears.
func TestRelayIsALineOfItsCircuit(t *testing.T) {
	t.Parallel()
	relay := &catalog.Relay{Part: part("RELAY", usd("26.00"), catalog.Each), Contact: 70}
	d := &design.Design{Circuits: []design.Circuit{{ID: "heater", Protection: fused(), Relay: &design.RelayUse{Part: relay}}}}
	q := price(t, plainShop(), d, pricing.Terms{})
	require.Equal(t, []string{
		"p1 heater FUSE 1 each 4.00 4.00 why.fuse",
		"p2 heater HOLDER 1 each 14.00 14.00 why.holder",
		"p3 heater RELAY 1 each 26.00 26.00 why.relay",
	}, rows(q))
	assert.Equal(t, []electrical.Figure{electrical.Num("contact_a", 70.0, electrical.UnitA)}, q.Lines[2].Figures)
	assert.False(t, q.Lines[2].Termination, "a relay is no part of a joint")
	assert.Equal(t, "44.00", q.Totals.Total.Number())
}

// TestBothFusesOfALinkAreSold, each with its holder.
func TestBothFusesOfALinkAreSold(t *testing.T) {
	t.Parallel()
	far := fused()
	d := &design.Design{Circuits: []design.Circuit{{ID: "link", Protection: fused(), FarProtection: &far}}}
	q := price(t, plainShop(), d, pricing.Terms{})
	require.Equal(t, []string{
		"p1 link FUSE 1 each 4.00 4.00 why.fuse",
		"p2 link HOLDER 1 each 14.00 14.00 why.holder",
		"p3 link FUSE 1 each 4.00 4.00 why.fuse",
		"p4 link HOLDER 1 each 14.00 14.00 why.holder",
	}, rows(q))
	assert.Equal(t, "36.00", q.Totals.Total.Number())
}

// TestBlockAndBusGoWithTheirTrunk and with no other circuit; the fuse of a branch
// has the block for its holder.
func TestBlockAndBusGoWithTheirTrunk(t *testing.T) {
	t.Parallel()
	block := &catalog.Block{Part: part("BLOCK", usd("45.00"), catalog.Each), Fused: true}
	bus := &catalog.Block{Part: part("BUS", usd("28.00"), catalog.Each)}
	branch := design.Overcurrent{Fuse: &catalog.Fuse{Part: part("BLADE", usd("1.20"), catalog.Each), Rating: 10}, Block: block}
	d := &design.Design{
		Circuits: []design.Circuit{
			{ID: "trunk-a", Kind: design.TrunkCircuit, Protection: fused()},
			{ID: "light", Kind: design.BranchCircuit, FedFrom: "trunk-a", Protection: branch},
			{ID: "trunk-b", Kind: design.TrunkCircuit, Protection: fused()},
		},
		Blocks: []design.BlockUse{
			{ID: "a/block", Part: block, FedBy: "trunk-a", Ways: 3}, {ID: "a/bus", Part: bus, FedBy: "trunk-a", Ways: 2},
			{ID: "b/block", Part: block, FedBy: "trunk-b", Ways: 4},
		},
	}
	q := price(t, plainShop(), d, pricing.Terms{})
	require.Equal(t, []string{
		"p1 trunk-a FUSE 1 each 4.00 4.00 why.fuse",
		"p2 trunk-a HOLDER 1 each 14.00 14.00 why.holder",
		"p3 trunk-a BLOCK 1 each 45.00 45.00 why.block",
		"p4 trunk-a BUS 1 each 28.00 28.00 why.bus",
		"p5 light BLADE 1 each 1.20 1.20 why.fuse",
		"p6 trunk-b FUSE 1 each 4.00 4.00 why.fuse",
		"p7 trunk-b HOLDER 1 each 14.00 14.00 why.holder",
		"p8 trunk-b BLOCK 1 each 45.00 45.00 why.block",
	}, rows(q))
	assert.Equal(t, []electrical.Figure{electrical.Num("ways", 3, electrical.UnitCount)}, q.Lines[2].Figures)
	assert.Equal(t, "155.20", q.Totals.Total.Number())
}

// TestLeadsArePricedLikeCircuits and after them: cable and ends of a pair, fuse and
// holder of a trigger, signal leads by the metre or ready made, and their labour.
func TestLeadsArePricedLikeCircuits(t *testing.T) {
	t.Parallel()
	end := termination.Plan{Terminal: &catalog.Terminal{Part: part("FERRULE", usd("0.30"), catalog.Each)}}
	wire := cable(part("WIRE", usd("2.00"), catalog.ByMetre))
	lead := func(id string, kind design.LeadKind) design.LeadPlan {
		return design.LeadPlan{Lead: kind, Count: 1, Circuit: design.Circuit{ID: id, Kind: design.LeadCircuit}}
	}
	speaker, trigger, signal := lead("amp/speaker", design.SpeakerLead), lead("amp/trigger", design.TriggerLead), lead("amp/signal", design.SignalLead)
	speaker.Runs = []design.Run{run(wire, 1.5, end, end), run(wire, 1.5, end, end)}
	trigger.Protection, trigger.Work = fused(), []catalog.Work{hour()}
	signal.Sundries = []design.Material{
		{Sundry: &catalog.Sundry{Part: part("SIGNAL", usd("4.80"), catalog.ByMetre), Use: catalog.UseSignal}, Milli: 5900},
		{Sundry: &catalog.Sundry{Part: part("PLUGGED", usd("12.00"), catalog.Each), Use: catalog.UseSignal}, Milli: 2000},
	}
	d := &design.Design{Leads: []design.LeadPlan{speaker, trigger, signal}, Circuits: []design.Circuit{{ID: "amp", Protection: fused()}}}
	q := price(t, plainShop(), d, pricing.Terms{})
	require.Equal(t, []string{
		"p1 amp FUSE 1 each 4.00 4.00 why.fuse",
		"p2 amp HOLDER 1 each 14.00 14.00 why.holder",
		"p3 amp/speaker WIRE 3 m 2.00 6.00 why.cable",
		"p4 amp/speaker FERRULE 4 each 0.30 1.20 why.terminal",
		"p5 amp/trigger FUSE 1 each 4.00 4.00 why.fuse",
		"p6 amp/trigger HOLDER 1 each 14.00 14.00 why.holder",
		"p7 amp/signal SIGNAL 5.9 m 4.80 28.32 why.sundry",
		"p8 amp/signal PLUGGED 2 each 12.00 24.00 why.sundry",
	}, rows(q)[:8])
	labour := only(q, catalog.Labour)
	require.Len(t, labour, 1)
	assert.Equal(t, "100.00", labour[0].Amount.Number())
	assert.Equal(t, "195.52", q.Totals.Total.Number(), "95.52 of parts and an hour")
}

// TestStrapsArePricedAfterTheLeads: cable, ends and labour, under their own id.
func TestStrapsArePricedAfterTheLeads(t *testing.T) {
	t.Parallel()
	end := termination.Plan{Terminal: &catalog.Terminal{Part: part("LUG", usd("4.50"), catalog.Each)}}
	strap := &design.Circuit{ID: "body/straps", Kind: design.StrapCircuit, Work: []catalog.Work{hour()}}
	strap.Runs = []design.Run{run(cable(part("WIRE", usd("20.00"), catalog.ByMetre)), 1, end, end)}
	q := price(t, plainShop(), &design.Design{Straps: strap, Circuits: []design.Circuit{{ID: "amp", Protection: fused()}}}, pricing.Terms{})
	require.Equal(t, []string{
		"p1 amp FUSE 1 each 4.00 4.00 why.fuse",
		"p2 amp HOLDER 1 each 14.00 14.00 why.holder",
		"p3 body/straps WIRE 1 m 20.00 20.00 why.cable",
		"p4 body/straps LUG 2 each 4.50 9.00 why.terminal",
	}, rows(q)[:4])
	labour := only(q, catalog.Labour)
	require.Len(t, labour, 1)
	assert.Equal(t, "100.00", labour[0].Amount.Number())
}
