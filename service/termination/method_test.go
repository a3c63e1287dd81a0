package termination_test

import (
	"slices"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	stud     = catalog.Landing{Kind: catalog.OnStud, Stud: "M8"}
	chassis  = catalog.Landing{Kind: catalog.OnChassis, Stud: "M8"}
	setScrew = catalog.Landing{Kind: catalog.OnSetScrew}
	blade    = catalog.Landing{Kind: catalog.OnBlade}
	splice   = catalog.Landing{Kind: catalog.OnSplice}
	lead     = catalog.Landing{Kind: catalog.OnFlyingLead}
)

// TestMethod is the shop's habit of soldering (common practice, no source): below
// 8 AWG a soldered splice, 8 AWG and larger crimped and soldered rings; never on
// boats, copper-clad, set-screws or where the shop only crimps.
func TestMethod(t *testing.T) {
	afloat := func(c *catalog.Catalog) { c.Shop.Termination.SolderAfloat = true }
	crimpOnly := func(c *catalog.Catalog) { c.Shop.Termination.CrimpOnly = true }
	tests := []struct {
		name     string
		change   func(*catalog.Catalog)
		sku      string
		landing  catalog.Landing
		category electrical.Category
		want     termination.Method
	}{
		{"10 AWG splice", nil, "CB-10-CU-RD", splice, electrical.Car, termination.SolderedSplice},
		{"10 AWG on a flying lead", nil, "CB-10-CU-RD", lead, electrical.Motorcycle, termination.SolderedSplice},
		{"6 mm² splice", nil, "CB-6MM-CU-RD", splice, electrical.Car, termination.SolderedSplice},
		{"8 AWG splice", nil, "CB-08-CU-RD", splice, electrical.Car, termination.Crimp},
		{"10 AWG ring", nil, "CB-10-CU-RD", stud, electrical.Car, termination.Crimp},
		{"8 AWG ring", nil, "CB-08-CU-RD", stud, electrical.Car, termination.CrimpAndSolder},
		{"10 mm² ring", nil, "CB-10MM-CU-RD", stud, electrical.Car, termination.CrimpAndSolder},
		{"4/0 ring on the chassis", nil, "CB-4-0-CU-BK", chassis, electrical.Truck, termination.CrimpAndSolder},
		{"8 AWG set-screw", nil, "CB-08-CU-RD", setScrew, electrical.Car, termination.FerruleEnd},
		{"16 AWG set-screw", nil, "CB-16-CU-RD", setScrew, electrical.Car, termination.FerruleEnd},
		{"14 AWG blade", nil, "CB-14-CU-RD", blade, electrical.Car, termination.PushOnEnd},
		{"8 AWG ring, clad", nil, "CB-08-CA-RD", stud, electrical.Car, termination.Crimp},
		{"8 AWG splice, clad", nil, "CB-08-CA-RD", splice, electrical.Car, termination.Crimp},
		{"10 AWG splice afloat", nil, "CB-10-TC-RD", splice, electrical.Boat, termination.Crimp},
		{"4 AWG ring afloat", nil, "CB-04-TC-RD", stud, electrical.Boat, termination.Crimp},
		{"4 AWG ring afloat, shop solders afloat", afloat, "CB-04-TC-RD", stud, electrical.Boat, termination.CrimpAndSolder},
		{"10 AWG splice afloat, shop solders afloat", afloat, "CB-10-TC-RD", splice, electrical.Boat, termination.Crimp},
		{"10 AWG splice, shop only crimps", crimpOnly, "CB-10-CU-RD", splice, electrical.Car, termination.Crimp},
		{"4 AWG ring, shop only crimps", crimpOnly, "CB-04-CU-RD", stud, electrical.Car, termination.Crimp},
		{"shop solders from 2 AWG", func(c *catalog.Catalog) { c.Shop.Termination.SolderFrom = quantity.AWG(2) }, "CB-04-CU-RD", stud, electrical.Car, termination.Crimp},
		{"every ring is closed", closed, "CB-04-CU-RD", stud, electrical.Car, termination.Crimp},
		{"every ring is pre-insulated", insulated, "CB-04-CU-RD", stud, electrical.Car, termination.Crimp},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			cat := demoShop(t)
			if tt.change != nil {
				tt.change(cat)
			}
			plan, err := termination.NewPlanner(cat).Plan(termination.Joint{Landing: tt.landing, Conductor: cable(t, cat, tt.sku), Category: tt.category, Environment: electrical.Cabin})
			require.NoError(t, err)
			assert.Equal(t, tt.want, plan.Method)
			soldered := plan.Method == termination.CrimpAndSolder || plan.Method == termination.SolderedSplice
			assert.Equal(t, soldered, hasStep(&plan, "first_clamp"), "a soldered end has its first clamp named")
			assert.Equal(t, plan.Method == termination.CrimpAndSolder, hasStep(&plan, "solder_top"))
			assert.Equal(t, plan.Method == termination.SolderedSplice, hasStep(&plan, "solder_splice"))
		})
	}
}

func closed(c *catalog.Catalog) {
	for i := range c.Terminals {
		c.Terminals[i].Construction = catalog.ClosedBarrel
	}
}

func insulated(c *catalog.Catalog) {
	for i := range c.Terminals {
		c.Terminals[i].Insulated = true
	}
}

func hasStep(plan *termination.Plan, code string) bool {
	_, ok := stepOf(plan, code)
	return ok
}

func stepOf(plan *termination.Plan, code string) (termination.Step, bool) {
	for _, s := range plan.Steps {
		if s.Code == code {
			return s, true
		}
	}
	return termination.Step{}, false
}

// TestSolderableRingComesFirst: where solder is called for, a closed lug is no
// choice although it is cheaper, as long as one with a seam or window fits.
func TestSolderableRingComesFirst(t *testing.T) {
	cat := demoShop(t)
	for i := range cat.Terminals {
		if term := &cat.Terminals[i]; term.SKU == "LG-04-M8" {
			term.Construction, term.UnitNano = catalog.ClosedBarrel, 1
		}
	}
	size := cable(t, cat, "CB-04-CU-RD")
	plan, err := termination.NewPlanner(cat).Plan(termination.Joint{Landing: stud, Conductor: size, Category: electrical.Car, Environment: electrical.Cabin})
	require.NoError(t, err)
	// 5/16 in lugs go over an M8 stud too.
	assert.NotEqual(t, "LG-04-M8", plan.Terminal.SKU)
	assert.Equal(t, termination.CrimpAndSolder, plan.Method)
	afloat, err := termination.NewPlanner(cat).Plan(termination.Joint{Landing: stud, Conductor: size, Category: electrical.Boat, Environment: electrical.Cabin})
	require.NoError(t, err)
	assert.Equal(t, "LG-04-M8", afloat.Terminal.SKU, "where nothing is soldered the cheapest lug is taken")
}

// TestClosestRingOfOnePrice: of rings that cost the same, the one sold for the stud is
// taken, else the one whose hole is closest to it.
func TestClosestRingOfOnePrice(t *testing.T) {
	cat := demoShop(t)
	cat.Terminals = slices.DeleteFunc(cat.Terminals, func(t catalog.Terminal) bool { return t.SKU == "RT-1210-S10" })
	planner := termination.NewPlanner(cat)
	for stud, want := range map[catalog.Stud]string{"#8": "RT-1210-S8", "#10": "RT-1210-S8", "M5": "RT-1210-M5", "M6": "RT-1210-M6", "1/4": "RT-1210-14", "M8": "RT-1210-M8"} {
		joint := termination.Joint{Landing: catalog.Landing{Kind: catalog.OnStud, Stud: stud}, Conductor: cable(t, cat, "CB-10-CU-RD"), Category: electrical.Car, Environment: electrical.Cabin}
		plan, err := planner.Plan(joint)
		require.NoError(t, err, stud)
		assert.Equal(t, want, plan.Terminal.SKU, stud)
	}
}

// TestSteps is the order in which an end is made.
func TestSteps(t *testing.T) {
	cat := demoShop(t)
	planner := termination.NewPlanner(cat)
	tests := []struct {
		name     string
		sku      string
		landing  catalog.Landing
		category electrical.Category
		want     []string
	}{
		{"soldered ring", "CB-04-CU-RD", stud, electrical.Car, []string{"cut_square", "sleeve_on", "strip", "all_strands", "crimp", "solder_top", "tug", "shrink", "first_clamp", "stud"}},
		{"crimped ring afloat", "CB-04-TC-RD", stud, electrical.Boat, []string{"cut_square", "sleeve_on", "strip", "all_strands", "crimp", "tug", "shrink", "stud"}},
		{"chassis point", "CB-12-CU-BK", chassis, electrical.Car, []string{"cut_square", "sleeve_on", "strip", "all_strands", "crimp", "tug", "shrink", "ground_point"}},
		{"ferrule", "CB-08-CU-RD", setScrew, electrical.Car, []string{"cut_square", "strip", "all_strands", "crimp", "tug", "retorque"}},
		{"soldered splice", "CB-14-CU-RD", lead, electrical.Car, []string{"cut_square", "sleeve_on", "strip", "solder_splice", "tug", "shrink", "first_clamp"}},
		{"push-on", "CB-14-CU-RD", blade, electrical.Car, []string{"cut_square", "sleeve_on", "strip", "all_strands", "crimp", "tug", "shrink"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			plan, err := planner.Plan(termination.Joint{Landing: tt.landing, Conductor: cable(t, cat, tt.sku), Category: tt.category, Environment: electrical.Cabin})
			require.NoError(t, err)
			var got []string
			for _, s := range plan.Steps {
				got = append(got, s.Code)
			}
			assert.Equal(t, tt.want, got)
		})
	}
}

// TestFirstClampWithinFiftyMillimetres: solder stiffens the strands (common
// practice, no source).
func TestFirstClampWithinFiftyMillimetres(t *testing.T) {
	cat := demoShop(t)
	plan, err := termination.NewPlanner(cat).Plan(termination.Joint{Landing: stud, Conductor: cable(t, cat, "CB-08-CU-RD"), Category: electrical.Car, Environment: electrical.Cabin})
	require.NoError(t, err)
	step, ok := stepOf(&plan, "first_clamp")
	require.True(t, ok)
	require.Len(t, step.Figures, 1)
	assert.InDelta(t, 50, step.Figures[0].Value, 1e-9)
}

// TestStudLimit: four terminals on a stud on boats (ABYC E-11, from memory),
// three elsewhere (MIL-DTL-917F), and the step says so.
func TestStudLimit(t *testing.T) {
	cat := demoShop(t)
	planner := termination.NewPlanner(cat)
	for _, category := range electrical.Categories() {
		want := 3
		if category == electrical.Boat {
			want = 4
		}
		assert.Equal(t, want, termination.StudLimit(category), category)
		plan, err := planner.Plan(termination.Joint{Landing: stud, Conductor: cable(t, cat, "CB-08-TC-RD"), Category: category, Environment: electrical.Cabin})
		require.NoError(t, err)
		step, ok := stepOf(&plan, "stud")
		require.True(t, ok, category)
		assert.InDelta(t, float64(want), step.Figures[0].Value, 1e-9, category)
	}
}

// TestPullForceStandsOnCrimpsOnly: a ferrule has no figure of its own.
func TestPullForceStandsOnCrimpsOnly(t *testing.T) {
	cat := demoShop(t)
	planner := termination.NewPlanner(cat)
	for landing, want := range map[catalog.Landing]quantity.Newtons{stud: 222.5, blade: 222.5, lead: 222.5, setScrew: 0} { // UL 486A, 14 AWG
		plan, err := planner.Plan(termination.Joint{Landing: landing, Conductor: cable(t, cat, "CB-14-CU-RD"), Category: electrical.Car, Environment: electrical.Cabin})
		require.NoError(t, err)
		assert.Equal(t, want, plan.Pull, landing.Kind)
	}
}

// TestDie names the die by the size that it is marked for.
func TestDie(t *testing.T) {
	assert.Equal(t, "8 AWG (8, 6)", termination.DieOf(&catalog.Tool{Dies: "8, 6"}, quantity.AWG(8)))
	assert.Equal(t, "1/0 AWG", termination.DieOf(&catalog.Tool{}, quantity.AWG(0)))
}
