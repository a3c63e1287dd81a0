package electrical

import (
	"errors"
	"fmt"
	"math"
	"sort"
	"strings"

	"example.com/lugbook/api/quantity"
)

// Surroundings is what heats a conductor besides its own current.
type Surroundings struct {
	// EngineSpace asks for the engine-space factor; ignored where an ambient is stated.
	EngineSpace bool
	Ambient     quantity.Celsius // where HasAmbient; else 30 °C
	HasAmbient  bool
	// Bundled counts the conductors strapped together that are loaded above
	// 35 % of their own ampacity, this one included. 0 to 2 is the base table.
	Bundled int
}

// Ambient temperatures that the tables are built on.
const (
	tableAmbient       quantity.Celsius = 30 // 33 CFR 183.425 Table 5
	engineSpaceAmbient quantity.Celsius = 50 // its note 1
)

// Temperature gives the ambient temperature that the surroundings stand for.
func (s Surroundings) Temperature() quantity.Celsius {
	switch {
	case s.HasAmbient:
		return s.Ambient
	case s.EngineSpace:
		return engineSpaceAmbient
	default:
		return tableAmbient
	}
}

// ErrAmbient tells that the insulation cannot be used at the ambient temperature.
var ErrAmbient = errors.New("ambient at or above the insulation rating")

// ErrThinner tells that a conductor is thinner than any that carries power.
var ErrThinner = errors.New("conductor thinner than the tables")

// SourceAmpacity names where ampacity comes from.
const SourceAmpacity = "33 CFR 183.425 Table 5"

// Ampacity gives the current Iz that a conductor may carry without end in its
// surroundings.
//
//	Iz = I30(size, insulation) · fT · fB · fM
//
// I30 is 33 CFR 183.425 Table 5 at 30 °C. An insulation rating between two
// columns takes the lower column; a metric size, a gauge that the table does
// not list and cable marked only with an SAE gauge take the next smaller listed
// gauge. fT is the engine-space factor (note 1) or √((Tins − Ta)/(Tins − 30))
// for a stated ambient, never both, never above 1. fB is the bundling factor
// (ABYC E-11: 0.7 for 3, 0.6 for 4 to 6, 0.5 for 7 to 24, 0.4 above). fM is
// √(ρCu/ρ) for copper-clad aluminium.
//
// It fails with ErrAmbient where Tins ≤ Ta, with ErrThinner below 22 AWG and
// 0.35 mm², and where Check of the conductor does.
//
// Example: 10 AWG, 105 °C, three bundled, engine space: 60 · 0.85 · 0.70 = 35.7 A.
func Ampacity(c Conductor, s Surroundings) (quantity.Amps, error) {
	return ampacityOf(c, c.CopperArea(), s)
}

// ampacityOf counts a conductor as having an area of its material.
func ampacityOf(c Conductor, area quantity.SquareMillimetres, s Surroundings) (quantity.Amps, error) {
	if err := c.Check(); err != nil {
		return 0, err
	}
	base, err := tableAmpacity(c, area)
	if err != nil {
		return 0, err
	}
	temp, err := temperatureFactor(c.Rating, s)
	if err != nil {
		return 0, err
	}
	material := 1.0
	if c.Material == CopperClad {
		material = math.Sqrt(copperResistivity / cladResistivity)
	}
	return quantity.Amps(base * temp * BundlingFactor(s.Bundled) * material), nil
}

// Temperature gives a conductor's temperature under load.
//
//	T = Ta + (Tins − Ta)·(I/Iz)²
func Temperature(ambient, rating quantity.Celsius, load, ampacity quantity.Amps) quantity.Celsius {
	share := float64(load / ampacity)
	return ambient + quantity.Celsius(float64(rating-ambient)*share*share)
}

// BundlingFactor gives the share of its ampacity that a conductor keeps among n
// loaded conductors strapped together (ABYC E-11 table, as UL 1426 cable makers
// print it; 25 and more from memory). 33 CFR asks for it only at 50 V and more.
func BundlingFactor(n int) float64 {
	switch {
	case n <= 2:
		return 1
	case n == 3:
		return 0.7
	case n <= 6:
		return 0.6
	case n <= 24:
		return 0.5
	default:
		return 0.4
	}
}

func temperatureFactor(rating quantity.Celsius, s Surroundings) (float64, error) {
	ta := s.Temperature()
	if !(rating > ta) { // a NaN is refused too
		return 0, fmt.Errorf("%w: %v °C insulation at %v °C", ErrAmbient, float64(rating), float64(ta))
	}
	if s.EngineSpace && !s.HasAmbient {
		return engineSpaceFactor(rating), nil
	}
	if ta <= tableAmbient {
		return 1, nil
	}
	return math.Sqrt(float64((rating - ta) / (rating - tableAmbient))), nil
}

type ampacityRow struct {
	size quantity.Size
	amps []float64 // by column of ampacityColumns
}

var ampacityColumns = []quantity.Celsius{60, 75, 80, 90, 105, 125, 200}

// ampacityRows is Table 5, thinnest first.
var ampacityRows = func() []ampacityRow {
	const name = "ampacity_33cfr183.csv"
	var rows []ampacityRow
	for _, rec := range mustTable(name, "size_awg", "60", "75", "80", "90", "105", "125", "200") {
		row := ampacityRow{size: mustAWG(name, rec[0])}
		for _, cell := range rec[1:] {
			row.amps = append(row.amps, mustFloat(name, cell))
		}
		rows = append(rows, row)
	}
	sort.Slice(rows, func(i, j int) bool { return rows[i].size.Area() < rows[j].size.Area() })
	return rows
}()

type thinRow struct {
	size quantity.Size
	amps float64 // at 105 °C
}

// thinGauges and thinMetric list the sizes below Table 5, thinnest first. They
// are kept apart: the figures of the two interleave (22 AWG 5 A, 0.35 mm² 4 A),
// and taken together a thicker gauge would carry less than a thinner one.
var thinGauges, thinMetric = func() (gauges, metric []thinRow) {
	const name = "ampacity_thin.csv"
	for _, rec := range mustTable(name, "size", "amps") {
		amps := mustFloat(name, rec[1])
		if text, ok := strings.CutSuffix(rec[0], " AWG"); ok {
			gauges = append(gauges, thinRow{mustAWG(name, text), amps})
			continue
		}
		area := quantity.SquareMillimetres(mustFloat(name, strings.TrimSuffix(rec[0], " mm2")))
		metric = append(metric, thinRow{quantity.Metric(area), amps})
	}
	for _, rows := range [][]thinRow{gauges, metric} {
		sort.Slice(rows, func(i, j int) bool { return rows[i].size.Area() < rows[j].size.Area() })
	}
	return gauges, metric
}()

var engineSpaceFactors = func() []float64 {
	const name = "engine_space.csv"
	var factors []float64
	for _, rec := range mustTable(name, "insulation_c", "factor") {
		factors = append(factors, mustFloat(name, rec[1]))
	}
	return factors
}()

func engineSpaceFactor(rating quantity.Celsius) float64 {
	return engineSpaceFactors[ampacityColumn(rating)]
}

// ampacityColumn gives the table column of an insulation rating, the lower one
// between two. The rating is 60 °C at the least, as Check has seen to.
func ampacityColumn(rating quantity.Celsius) int {
	return sort.Search(len(ampacityColumns), func(i int) bool { return ampacityColumns[i] > rating }) - 1
}

// sameArea is how much a stated area may fall short of a listed one and still
// count as it: the rounding of printed areas.
const sameArea = 0.005

func tableAmpacity(c Conductor, stated quantity.SquareMillimetres) (float64, error) {
	area := stated * (1 + sameArea)
	column := ampacityColumn(c.Rating)
	if area < ampacityRows[0].size.Area() {
		return thinAmpacity(c.Size.IsAWG(), area, column)
	}
	i := sort.Search(len(ampacityRows), func(i int) bool { return ampacityRows[i].size.Area() > area }) - 1
	base := ampacityRows[i].amps[column]
	if i == 0 && !c.Size.IsAWG() {
		// 1 mm² has more copper than 18 AWG but is kept below it.
		thin, err := thinAmpacity(false, area, column)
		return min(base, thin), err
	}
	return base, nil
}

// thinAmpacity takes the next thinner row of the size's own kind and scales its
// 105 °C figure by how 18 AWG changes over the columns, never upwards.
func thinAmpacity(isAWG bool, area quantity.SquareMillimetres, column int) (float64, error) {
	rows := thinMetric
	if isAWG {
		rows = thinGauges
	}
	i := sort.Search(len(rows), func(i int) bool { return rows[i].size.Area() > area }) - 1
	if i < 0 {
		return 0, fmt.Errorf("%w: %.2f mm²; the thinnest is %.2f mm²", ErrThinner, float64(area), float64(rows[0].size.Area()))
	}
	row18 := ampacityRows[0].amps
	scale := min(1, row18[column]/row18[ampacityColumn(105)])
	return rows[i].amps * scale, nil
}
