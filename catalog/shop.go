package catalog

import (
	"time"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"

	"github.com/bojanz/currency"
)

// Shop is how one shop works: its name, money, taxes, habits and allowances.
type Shop struct {
	Name, Address, Phone string
	Language             string // BCP 47
	Units                UnitSystem
	Currency             string          // ISO 4217
	LabourRate           currency.Amount // per hour
	RateMicro            int64           // LabourRate in millionths, for selection
	LabourStep           int             // hours are charged in steps of 1/LabourStep h: 10 or 4
	LabourMinimum        float64         // h per job
	SuppliesShare        quantity.Percent
	SuppliesCap          currency.Amount
	Taxes                []Tax
	PricesIncludeTax     bool
	ValidityDays         int
	DepositShare         quantity.Percent // of the total
	DepositOver          currency.Amount  // asked for above this total
	Rules                PriceRules
	Allowances           Allowances
	ZoneFactors          map[electrical.Environment]float64 // labour
	Termination          TerminationRules
	Habits               map[electrical.Category]Habit // candidates per category; every category has one
	Defaults             electrical.Defaults
	TimeZone             *time.Location // in which days and years are counted; UTC where the shop states none
	RetentionDays        int            // how long a customer is kept after a quote has ended; 0 means for good
}

// UnitSystem is how lengths and sizes are shown.
type UnitSystem string

// The unit systems.
const (
	US     UnitSystem = "us"
	Metric UnitSystem = "metric"
)

// Tax is one tax component.
type Tax struct {
	Label       string
	RatePercent string    // exact decimal, "8.25"
	On          []Section // what it is charged on
}

// Section is a part of a quote.
type Section string

// The sections.
const (
	Parts    Section = "parts"
	Labour   Section = "labour"
	Supplies Section = "supplies"
	Charges  Section = "charges"
)

// Sections lists the sections in the order of a quote.
func Sections() []Section { return []Section{Parts, Labour, Supplies, Charges} }

// Allowances turns a route into cable to cut.
type Allowances struct {
	Route         quantity.Percent // added to route lengths that nobody measured
	Waste         quantity.Percent // cable, of the cut length
	SleeveWaste   quantity.Percent
	MinimumCut    quantity.Metres
	SpareShare    quantity.Percent // terminals, rounded up per SKU and job
	LoopPerEnd    quantity.Metres  // service loop at an ordinary end
	LoopBattery   quantity.Metres  // at a battery
	LoopRemovable quantity.Metres  // at a saddlebag, top case or drawer
	ReturnTail    quantity.Metres  // device to the chassis point
}

// TerminationRules is how the shop makes joints.
type TerminationRules struct {
	// CrimpOnly makes every joint without solder.
	CrimpOnly bool
	// SpliceBelow: wire-to-wire joints thinner than this are soldered splices.
	SpliceBelow quantity.Size
	// SolderFrom: crimped rings of this size and larger get solder at the top and seam.
	SolderFrom quantity.Size
	// HeavyFrom: this size and larger wants the heavy tool (hydraulic).
	HeavyFrom quantity.Size
	// SolderAfloat allows solder on boats in addition to the crimp.
	SolderAfloat bool
}

// Habit limits the candidates for one category of vehicle.
type Habit struct {
	Materials     []electrical.Material
	Families      []electrical.Family
	FeedColours   []string // first that the size is stocked in
	ReturnColours []string
	SizeSystem    SizeSystem
	MinInsulation quantity.Celsius
}

// SizeSystem is which cable sizes the shop cuts from.
type SizeSystem string

// The size systems.
const (
	SizesAWG    SizeSystem = "awg"
	SizesMetric SizeSystem = "metric"
	SizesBoth   SizeSystem = "both"
)
