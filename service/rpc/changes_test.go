package rpc

import (
	"fmt"
	"testing"

	pb "example.com/lugbook/api/lugbook/v1"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// comes is what a line comes to, whatever its id and reasons.
func comes(l *pb.Line) string {
	return fmt.Sprintf("%v|%s|%s|%s|%g %s|%v|%v", l.GetSection(), l.GetCircuitId(), l.GetSku(), l.GetOperation(), l.GetQuantity(), l.GetUnit(), l.GetUnitPrice(), l.GetAmount())
}

// counted counts lines by what they come to.
func counted(lines ...*pb.Line) map[string]int {
	all := map[string]int{}
	for _, l := range lines {
		all[comes(l)]++
	}
	return all
}

func dollars(cents int) *pb.Money {
	return &pb.Money{CurrencyCode: "USD", Amount: fmt.Sprintf("%d.%02d", cents/100, cents%100)}
}

func anyLines(t *rapid.T, name string) []*pb.Line {
	lines := make([]*pb.Line, rapid.IntRange(0, 8).Draw(t, name))
	for i := range lines {
		price, n := rapid.IntRange(1, 3).Draw(t, "price")*150, rapid.IntRange(1, 3).Draw(t, "n")
		lines[i] = &pb.Line{Id: fmt.Sprintf("p%d", i), Section: pb.LineSection(rapid.IntRange(1, 4).Draw(t, "section")), CircuitId: rapid.SampledFrom([]string{"", "a"}).Draw(t, "circuit"),
			Sku: rapid.SampledFrom([]string{"", "X", "Y"}).Draw(t, "sku"), Description: rapid.SampledFrom([]string{"one", "two"}).Draw(t, "description"),
			Quantity: float64(n), Unit: "each", UnitPrice: dollars(price), Amount: dollars(price * n)}
	}
	return lines
}

// The changes, applied to the old lines, give the new ones; what is not named in them
// is in both.
func TestChangesLeadFromOldToNew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		before, after := anyLines(t, "before"), anyLines(t, "after")
		if rapid.Bool().Draw(t, "related") {
			after = append(after, before[:rapid.IntRange(0, len(before)).Draw(t, "kept")]...)
		}
		lines := counted(before...)
		sum := 0
		position := -1
		for _, c := range changes(before, after) {
			if c.GetBefore() != nil {
				lines[comes(c.GetBefore())]--
			}
			if c.GetAfter() != nil {
				lines[comes(c.GetAfter())]++
			}
			sum += cents(t, c.GetDifference())
			assertKind(t, c)
			at := len(after)
			for i, l := range after {
				if l == c.GetAfter() {
					at = i
				}
			}
			require.GreaterOrEqual(t, at, position, "in the order of the new lines, dropped ones last")
			position = at
		}
		for what, n := range lines {
			if n == 0 {
				delete(lines, what)
			}
		}
		require.Equal(t, counted(after...), lines)
		for _, l := range before {
			sum += cents(t, l.GetAmount())
		}
		for _, l := range after {
			sum -= cents(t, l.GetAmount())
		}
		require.Zero(t, sum, "the differences add up to that of the sums")
	})
}

func assertKind(t require.TestingT, c *pb.LineChange) {
	switch c.GetKind() {
	case pb.LineChangeKind_LINE_CHANGE_KIND_ADDED:
		require.Nil(t, c.GetBefore())
	case pb.LineChangeKind_LINE_CHANGE_KIND_DROPPED:
		require.Nil(t, c.GetAfter())
	default:
		require.Equal(t, pb.LineChangeKind_LINE_CHANGE_KIND_CHANGED, c.GetKind())
		require.NotEqual(t, comes(c.GetBefore()), comes(c.GetAfter()))
	}
}

func cents(t require.TestingT, m *pb.Money) int {
	var sign, whole, part int
	text := m.GetAmount()
	if sign = 1; len(text) > 0 && text[0] == '-' {
		sign, text = -1, text[1:]
	}
	_, err := fmt.Sscanf(text, "%d.%02d", &whole, &part)
	require.NoError(t, err, text)
	return sign * (whole*100 + part)
}

func TestNothingChangedBetweenEqualQuotes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := anyLines(t, "lines")
		require.Empty(t, changes(lines, lines))
	})
}

// Two lines of one operation are told apart by their words, so that the one that
// grew is not taken for the other.
func TestRepeatedLinesArePairedByTheirWords(t *testing.T) {
	line := func(description string, cents int) *pb.Line {
		return &pb.Line{Section: pb.LineSection_LINE_SECTION_CHARGES, Description: description, Quantity: 1, UnitPrice: dollars(cents), Amount: dollars(cents)}
	}
	before := []*pb.Line{line("Trip", 2000), line("Minimum", 500)}
	after := []*pb.Line{line("Minimum", 500), line("Trip", 2500), line("Ferry", 900)}
	got := changes(before, after)
	require.Len(t, got, 2)
	assert.Equal(t, pb.LineChangeKind_LINE_CHANGE_KIND_CHANGED, got[0].GetKind())
	assert.Equal(t, "Trip", got[0].GetBefore().GetDescription())
	assert.Equal(t, "5.00", got[0].GetDifference().GetAmount())
	assert.Equal(t, pb.LineChangeKind_LINE_CHANGE_KIND_ADDED, got[1].GetKind())
}

// Without a common currency there is no difference to tell.
func TestDifferenceOfTwoCurrencies(t *testing.T) {
	assert.Nil(t, difference(dollars(100), &pb.Money{CurrencyCode: "EUR", Amount: "1.00"}))
	assert.Equal(t, "-1.00", difference(dollars(100), nil).GetAmount())
	assert.Equal(t, "-0.50", difference(dollars(100), dollars(50)).GetAmount())
}
