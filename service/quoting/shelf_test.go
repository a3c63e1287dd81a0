package quoting_test

import (
	"context"
	"strings"
	"testing"
	"testing/fstest"

	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/pricing"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/quoting/quotingtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// lampJob is a small job.
func lampJob() quoting.Job {
	return quoting.Job{VehicleID: "sedan", System: design.System{Devices: []design.Device{{ID: "lamp", Label: "Boot lamp", Kind: electrical.Light, Zone: "boot",
		Load: electrical.Load{Current: 3}, Measured: 5, HasMeasured: true}}}}
}

// shop is a service of the invented shop whose stock tests set.
type shop struct {
	*quoting.Service
	store *quotingtest.Store
}

func newShop(t *testing.T) shop {
	service, store := newService(t)
	return shop{service, store}
}

// move writes to the ledger.
func (s shop) move(t require.TestingT, moves ...quoting.Movement) {
	require.NoError(t, s.store.Update(context.Background(), func(w quoting.Writer) error {
		for _, m := range moves {
			m.Time = moment()
			if err := w.Move(m); err != nil {
				return err
			}
		}
		return nil
	}))
}

func (s shop) count(t require.TestingT, sku string, quantity quoting.Thousandths) {
	s.move(t, quoting.Movement{SKU: sku, Kind: quoting.Counted, Quantity: quantity})
}

func (s shop) preview(t require.TestingT, job quoting.Job) *quoting.Preview {
	p, err := s.Preview(context.Background(), s.Current(), job)
	require.NoError(t, err)
	return p
}

// parts gives the SKUs of a quote's parts with how much its lines take together, in
// the words of the lines.
func parts(q *pricing.Quote) map[string]float64 {
	sums := map[string]float64{}
	for i := range q.Lines {
		if l := &q.Lines[i]; l.SKU != "" {
			sums[l.SKU] += l.QuantityFloat()
		}
	}
	return sums
}

// rowless reads the invented shop's catalog from files without the rows of some parts.
func rowless(t require.TestingT, skus ...string) *catalog.Catalog {
	folder := fstest.MapFS{}
	files := demo.Files()
	for _, name := range catalog.Files() {
		file, err := files.Open(name)
		require.NoError(t, err)
		info, err := file.Stat()
		require.NoError(t, err)
		text := make([]byte, info.Size())
		_, err = file.Read(text)
		require.NoError(t, err)
		var kept strings.Builder
		for line := range strings.Lines(string(text)) {
			drop := false
			for _, sku := range skus {
				drop = drop || strings.HasPrefix(line, sku+",")
			}
			if !drop {
				kept.WriteString(line)
			}
		}
		folder[name] = &fstest.MapFile{Data: []byte(kept.String())}
	}
	cat, err := catalog.Read(folder)
	require.NoError(t, err)
	return cat
}

// totalOn designs and prices a job on a catalog, without the service; false where it
// cannot be met.
func totalOn(t require.TestingT, cat *catalog.Catalog, job quoting.Job) (*pricing.Quote, bool) {
	vehicle, ok := cat.Vehicle(job.VehicleID)
	require.True(t, ok)
	designed, err := design.New(cat).Design(&vehicle, job.System)
	if err != nil {
		return nil, false
	}
	price, err := pricing.Price(cat, designed, job.Terms)
	require.NoError(t, err)
	return price, true
}

func TestAShopThatCountsNothingHearsNothing(t *testing.T) {
	s := newShop(t)
	s.move(t, quoting.Movement{SKU: "FU-BLD-5", Kind: quoting.Reserve, Quantity: 4000, Number: "2026-00009"}) // set aside, yet never counted
	assert.Equal(t, quoting.Shelf{Stock: map[string]quoting.Stock{}}, s.preview(t, lampJob()).Shelf)
}

func TestWithoutAStoreThereIsNoShelf(t *testing.T) {
	service := quoting.New(quoting.Config{Catalog: rowless(t), Now: moment})
	p, err := service.Preview(t.Context(), service.Current(), lampJob())
	require.NoError(t, err)
	assert.Equal(t, quoting.Shelf{}, p.Shelf)
}

func TestAStoreThatCannotBeAskedIsToldOf(t *testing.T) {
	s := newShop(t)
	s.store.Fail(quoting.ErrUnavailable)
	assert.Equal(t, quoting.Shelf{Unknown: true}, s.preview(t, lampJob()).Shelf)
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := s.Preview(ended, s.Current(), lampJob())
	require.ErrorIs(t, err, context.Canceled)
}

// A store that is absent is not asked: it would be made.
type unmade struct{ quoting.Store }

func (unmade) Absent() bool { return true }

func TestAStoreThatIsNotMadeYetIsLeftAlone(t *testing.T) {
	service := quoting.New(quoting.Config{Catalog: rowless(t), Now: moment, Store: unmade{}})
	p, err := service.Preview(t.Context(), service.Current(), lampJob())
	require.NoError(t, err)
	assert.Equal(t, quoting.Shelf{}, p.Shelf)
	list, err := service.ListStock(t.Context())
	require.NoError(t, err)
	assert.Empty(t, list)
}

// For every part of a job that alone runs out: the way found is what comes out on a
// catalog read from files that never had the part, as long as that takes nothing else
// that is short.
func TestTheWayIsWhatACatalogWithoutTheRowGives(t *testing.T) {
	found := 0
	for sku, needed := range parts(newShop(t).preview(t, lampJob()).Price) {
		s := newShop(t)
		s.count(t, sku, quoting.Thousandths(needed*1000+0.5)-1)
		p := s.preview(t, lampJob())
		require.Len(t, p.Shelf.Short, 1, sku)
		short := p.Shelf.Short[0]
		assert.Equal(t, sku, short.SKU)
		assert.Equal(t, quoting.Thousandths(1), short.Missing, "one thousandth")
		want, ok := totalOn(t, rowless(t, sku), lampJob())
		way := p.Shelf.Way
		if kind := kindOf(t, s, sku); way == nil {
			assert.True(t, !ok || kind == catalog.KindSundry, "%s could be done without", sku)
			assert.Nil(t, short.Substitute)
			continue
		}
		found++
		require.True(t, ok, sku)
		assert.Equal(t, parts(want), parts(way.Price), sku)
		assert.NotContains(t, parts(way.Price), sku)
		assert.True(t, way.Complete)
		assert.Equal(t, want.Totals.Total, way.Total)
		sum, err := p.Price.Totals.Total.Add(way.Difference)
		require.NoError(t, err)
		assert.True(t, sum.Equal(way.Total))
		if short.Substitute != nil {
			assert.Equal(t, kindOf(t, s, sku), short.Substitute.Kind)
			assert.Contains(t, parts(way.Price), short.Substitute.SKU)
		}
	}
	assert.Greater(t, found, 3, "parts with a substitute")
}

func kindOf(t require.TestingT, s shop, sku string) catalog.Kind {
	part, ok := s.Current().Catalog().Part(sku)
	require.True(t, ok)
	return part.Kind
}

// Whatever is on the shelf: what is short is what the lines take beyond what is free,
// and the way takes nothing that is short but what the job cannot be met without.
func TestShelvesOfAnyKind(t *testing.T) {
	base := parts(newShop(t).preview(t, lampJob()).Price)
	all := newShop(t).Current().Catalog()
	rapid.Check(t, func(r *rapid.T) {
		s := newShop(t)
		stock := map[string]quoting.Stock{}
		set := func(sku string) {
			hand := quoting.Thousandths(rapid.SampledFrom([]int{0, 500, 2000, 40000}).Draw(r, sku))
			aside := quoting.Thousandths(rapid.SampledFrom([]int{0, 0, 1000}).Draw(r, sku+" aside"))
			s.count(r, sku, hand)
			s.move(r, quoting.Movement{SKU: sku, Kind: quoting.Reserve, Quantity: aside, Number: "2026-00009"})
			stock[sku] = quoting.Stock{Counted: true, OnHand: hand, Reserved: aside}
		}
		for sku := range base {
			if rapid.Bool().Draw(r, "count "+sku) {
				set(sku)
			}
		}
		for i := range all.Conductors {
			if sku := all.Conductors[i].SKU; base[sku] == 0 && rapid.IntRange(0, 9).Draw(r, "also") == 0 {
				set(sku)
			}
		}
		p := s.preview(r, lampJob())
		assert.Equal(r, base, parts(p.Price), "the quote itself does not go by the shelf")
		short := shortOn(stock, base)
		told := map[string]bool{}
		for _, x := range p.Shelf.Short {
			told[x.SKU] = true
			assert.Equal(r, stock[x.SKU], x.Stock)
			assert.InDelta(r, min(base[x.SKU]*1000, base[x.SKU]*1000-float64(x.Free())), float64(x.Missing), 1)
			if x.Substitute != nil {
				assert.NotContains(r, shortOn(stock, parts(p.Shelf.Way.Price)), x.Substitute.SKU)
			}
		}
		assert.Equal(r, short, told)
		if way := p.Shelf.Way; way != nil {
			assert.Equal(r, len(shortOn(stock, parts(way.Price))) == 0, way.Complete)
		}
	})
}

// shortOn gives the parts of which more is taken than is free.
func shortOn(stock map[string]quoting.Stock, taken map[string]float64) map[string]bool {
	short := map[string]bool{}
	for sku, quantity := range taken {
		if b, ok := stock[sku]; ok && quantity*1000 > float64(b.OnHand-b.Reserved)+1e-6 {
			short[sku] = true
		}
	}
	return short
}

// What a substitute is short of itself is left out too.
func TestASubstituteThatIsShortItselfIsNoSubstitute(t *testing.T) {
	s := newShop(t)
	base := s.preview(t, lampJob())
	fuse := base.Design.Circuits[0].Protection.Fuse.SKU
	s.count(t, fuse, 0)
	first := s.preview(t, lampJob()).Shelf
	require.NotNil(t, first.Short[0].Substitute)
	s.count(t, first.Short[0].Substitute.SKU, 0)
	second := s.preview(t, lampJob()).Shelf
	require.Len(t, second.Short, 1, "the substitute is no part of the quote")
	want, ok := totalOn(t, rowless(t, fuse, first.Short[0].Substitute.SKU), lampJob())
	require.True(t, ok)
	assert.Equal(t, parts(want), parts(second.Way.Price))
	require.NotNil(t, second.Short[0].Substitute)
	assert.NotEqual(t, first.Short[0].Substitute.SKU, second.Short[0].Substitute.SKU)
}

// A device is what the job is about.
func TestNothingTakesThePlaceOfADevice(t *testing.T) {
	s := newShop(t)
	job := lampJob()
	job.VehicleID = "camper-van"
	job.System.Devices = []design.Device{{ID: "fridge", EquipmentSKU: "EQ-FRG-45", Zone: "galley", Measured: 5, HasMeasured: true}}
	s.count(t, "EQ-FRG-45", 0)
	shelf := s.preview(t, job).Shelf
	require.Len(t, shelf.Short, 1)
	assert.Equal(t, "EQ-FRG-45", shelf.Short[0].SKU)
	assert.Nil(t, shelf.Short[0].Substitute)
	assert.Nil(t, shelf.Way)
}

// What is set aside for a quote is there for that quote, and for no other.
func TestRequoteTakesItsOwnPartsForFree(t *testing.T) {
	s := newShop(t)
	fuse := s.preview(t, lampJob()).Design.Circuits[0].Protection.Fuse.SKU
	s.count(t, fuse, 1000)
	_, err := s.Create(t.Context(), quoting.Request{ID: "a"}, lamp)
	require.NoError(t, err)
	_, _, err = s.Accept(t.Context(), ref(t, "1"), 0, quoting.Request{ID: "b"}, func(quoting.Revision) ([]quoting.Part, error) {
		return []quoting.Part{{SKU: fuse, Quantity: "1", Unit: "each"}}, nil
	})
	require.NoError(t, err)
	_, today, err := s.Requote(t.Context(), ref(t, "1"), func(quoting.Stored) (quoting.Job, error) { return lampJob(), nil })
	require.NoError(t, err)
	assert.Empty(t, today.Shelf.Short)
	assert.Len(t, s.preview(t, lampJob()).Shelf.Short, 1, "for anybody else it is short")
}
