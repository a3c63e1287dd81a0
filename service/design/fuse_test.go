package design_test

import (
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestFuseAnswers: by the gates of ISO 8820-3 a blade fuse stays closed at 110 %, opens
// between 0.75 s and 600 s at 135 %, and between 0.15 s and 5 s at 200 %.
func TestFuseAnswers(t *testing.T) {
	got, err := design.New(demoShop(t)).Fuse(design.FuseQuestion{Family: electrical.Blade, Rating: 20, At: []quantity.Amps{22, 27, 40},
		Conductor: electrical.Conductor{Size: quantity.AWG(14), Material: electrical.Copper, Insulation: electrical.PVC, Rating: 105}})
	require.NoError(t, err)
	require.Len(t, got.Points, 3)
	assert.Equal(t, "opening.stays_closed", got.Points[0].Says.Rule)
	for i, band := range map[int][2]float64{1: {0.75, 600}, 2: {0.15, 5}} {
		assert.Equal(t, "opening.between", got.Points[i].Says.Rule)
		assert.InDelta(t, band[0], got.Points[i].Opening.Min, 1e-9)
		assert.InDelta(t, band[1], got.Points[i].Opening.Max, 1e-9)
	}
	assert.Equal(t, quantity.Amps(35), got.Conductor.Ampacity, "33 CFR 183.425 Table 5")
	assert.Equal(t, "opening.cable_carries", got.Points[1].Bears(got.Conductor).Rule)
	assert.Equal(t, "opening.cable_ages", got.Points[2].Bears(got.Conductor).Rule)
}

// TestFuseOfThePart: a part's own times win over its family's, and are said to be its
// own; a family without times of its own says that they are typical.
func TestFuseOfThePart(t *testing.T) {
	designer := design.New(demoShop(t))
	rules := func(a *design.FuseAnswer) (out []string) {
		for _, r := range a.Remarks {
			out = append(out, r.Rule)
		}
		return out
	}
	part, err := designer.Fuse(design.FuseQuestion{SKU: "FU-ANL-100", At: []quantity.Amps{200}})
	require.NoError(t, err)
	assert.InDelta(t, 5, part.Points[0].Opening.Min, 1e-9)
	assert.InDelta(t, 300, part.Points[0].Opening.Max, 1e-9)
	assert.Contains(t, rules(part), "opening.own_times")
	family, err := designer.Fuse(design.FuseQuestion{Family: electrical.ANL, Rating: 100})
	require.NoError(t, err)
	assert.Len(t, family.Points, 5, "the usual currents")
	assert.Equal(t, "opening.stays_closed", family.Points[0].Says.Rule, "the rating itself")
	assert.Contains(t, rules(family), "opening.typical")
	breaker, err := designer.Fuse(design.FuseQuestion{Family: electrical.Breaker, Rating: 50, At: []quantity.Amps{500}})
	require.NoError(t, err)
	assert.Equal(t, "opening.unknown", breaker.Points[0].Says.Rule)
}

// TestHotFuseOpensEarlier at every current.
func TestHotFuseOpensEarlier(t *testing.T) {
	designer := design.New(demoShop(t))
	q := design.FuseQuestion{Family: electrical.Maxi, Rating: 60, At: []quantity.Amps{81, 90, 120, 300}}
	cool, err := designer.Fuse(q)
	require.NoError(t, err)
	q.Ambient, q.HasAmbient = 65, true
	hot, err := designer.Fuse(q)
	require.NoError(t, err)
	for i := range cool.Points {
		assert.LessOrEqual(t, hot.Points[i].Opening.Max, cool.Points[i].Opening.Max)
		assert.Less(t, hot.Points[i].Opening.Min, cool.Points[i].Opening.Min)
	}
}

func TestFuseQuestionViolations(t *testing.T) {
	designer := design.New(demoShop(t))
	many := make([]quantity.Amps, 17)
	for i := range many {
		many[i] = 10
	}
	for field, q := range map[string]design.FuseQuestion{
		"family":           {},
		"rating_a":         {Family: electrical.Blade, Rating: -1},
		"sku":              {SKU: "FU-NONE"},
		"at_a":             {Family: electrical.Blade, Rating: 10, At: many},
		"at_a[1]":          {Family: electrical.Blade, Rating: 10, At: []quantity.Amps{10, -3}},
		"ambient_c":        {Family: electrical.Blade, Rating: 10, Ambient: 300, HasAmbient: true},
		"beside[0].family": {Family: electrical.Blade, Rating: 10, Beside: []electrical.Fuse{{Family: "cartridge", Rating: 10}}},
		"beside":           {Family: electrical.Blade, Rating: 10, Beside: make([]electrical.Fuse, 8)},
		"conductor":        {Family: electrical.Blade, Rating: 10, Conductor: electrical.Conductor{Size: quantity.AWG(14), Material: electrical.Copper, Insulation: electrical.PVC, Rating: 20}},
	} {
		_, err := designer.Fuse(q)
		bad, ok := violations(err)
		require.True(t, ok, field)
		assert.Equal(t, field, bad[0].Field)
	}
	_, err := designer.Fuse(design.FuseQuestion{SKU: "FU-ANL-100", Family: electrical.ANL, Rating: 100})
	bad, ok := violations(err)
	require.True(t, ok)
	assert.Equal(t, "fuse_twice", bad[0].Code)
}
