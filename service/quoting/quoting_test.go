package quoting_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/quoting/quotingtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// lamp is the draft of a small job.
func lamp(context.Context) (quoting.Draft, error) {
	return quoting.Draft{
		Job: quoting.Job{VehicleID: "sedan", System: design.System{Devices: []design.Device{{ID: "lamp", Label: "Boot lamp", Kind: electrical.Light, Zone: "boot",
			Load: electrical.Load{Current: 3}, Measured: 5, HasMeasured: true}}}},
		Customer: quoting.Contact{Name: "Somebody"}, Language: "en", Format: 7, Asked: []byte("asked"), Personal: []byte("personal"),
		Encode: func(p *quoting.Preview) ([]byte, error) { return []byte(p.Price.Totals.Total.String()), nil },
	}, nil
}

func moment() time.Time { return time.Date(2026, 11, 24, 12, 0, 0, 123_456_789, time.UTC) }

func newService(t *testing.T) (*quoting.Service, *quotingtest.Store) {
	t.Helper()
	cat, err := catalog.Read(demo.Files())
	require.NoError(t, err)
	store := quotingtest.NewStore()
	return quoting.New(quoting.Config{Catalog: cat, Store: store, Now: moment}), store
}

func ref(t *testing.T, text string) quoting.Ref {
	t.Helper()
	r, ok := quoting.ParseRef(text)
	require.True(t, ok)
	return r
}

func TestCreateKeepsWhatItIsGiven(t *testing.T) {
	service, store := newService(t)
	made, err := service.Create(t.Context(), quoting.Request{Caller: "ida", Staff: "Ole", ID: "a", Sum: []byte{1}}, lamp)
	require.NoError(t, err)
	assert.Equal(t, quoting.Open, made.State)
	at := moment().Truncate(time.Microsecond)
	h, r := made.Head, made.Revision
	assert.Equal(t, []time.Time{at, at, at}, []time.Time{h.CreateTime, h.UpdateTime, r.CreateTime}, "as finely as a store keeps it")
	assert.Equal(t, at.AddDate(0, 0, 30), h.ValidUntil)
	assert.Equal(t, "2026-00001", h.Number)
	assert.Equal(t, []string{"sedan", "battery", "under", "the", "bonnet"}, h.VehicleWords)
	assert.Equal(t, []string{"2026", "00001", "1", "lamp", "boot", "light"}, h.Words)
	assert.Equal(t, []string{"somebody"}, h.Customer.Words)
	assert.Equal(t, string(r.Snapshot), h.Total+" "+h.Currency)
	assert.Equal(t, []any{7, "asked", "personal", "en", "UTC", design.RulesVersion, service.Current().Revision()},
		[]any{r.Format, string(r.Job), string(r.Personal), r.Language, r.TimeZone, r.RulesVersion, r.CatalogRevision})
	require.NoError(t, store.View(t.Context(), func(reader quoting.Reader) error {
		head, err := reader.Head(h.Number)
		assert.Equal(t, h, head)
		return err
	}))
}

func TestCreateAsksForTheDraftOnlyOnce(t *testing.T) {
	service, _ := newService(t)
	q := quoting.Request{ID: "a", Sum: []byte{1}}
	made, err := service.Create(t.Context(), q, lamp)
	require.NoError(t, err)
	again, err := service.Create(t.Context(), q, func(context.Context) (quoting.Draft, error) {
		t.Error("asked again")
		return quoting.Draft{}, nil
	})
	require.NoError(t, err)
	assert.Equal(t, made, again)
	var reused *quoting.ReusedError
	_, err = service.Create(t.Context(), quoting.Request{ID: "a", Sum: []byte{2}}, lamp)
	require.ErrorAs(t, err, &reused)
}

func TestFaultsOfADraftStoreNothing(t *testing.T) {
	service, _ := newService(t)
	spilt := errors.New("ink spilt")
	faulty := map[string]func(context.Context) (quoting.Draft, error){
		"draft": func(context.Context) (quoting.Draft, error) { return quoting.Draft{}, spilt },
		"encode": func(ctx context.Context) (quoting.Draft, error) {
			d, err := lamp(ctx)
			d.Encode = func(*quoting.Preview) ([]byte, error) { return nil, spilt }
			return d, err
		},
	}
	for name, draft := range faulty {
		_, err := service.Create(t.Context(), quoting.Request{ID: "a"}, draft)
		require.ErrorIs(t, err, spilt, name)
	}
	list, more, err := service.List(t.Context(), quoting.Query{Limit: 10})
	require.NoError(t, err)
	assert.Empty(t, list)
	assert.False(t, more)
}

// Quantities are summed by part exactly and rounded up once: three tenths are three
// hundred thousandths, though no float is a tenth.
func TestReservationsAreSummedAndRoundedUp(t *testing.T) {
	service, store := newService(t)
	_, err := service.Create(t.Context(), quoting.Request{ID: "a"}, lamp)
	require.NoError(t, err)
	parts := func(quoting.Revision) ([]quoting.Part, error) {
		return []quoting.Part{{SKU: "CABLE", Quantity: "0.1", Unit: "m"}, {SKU: "RING", Quantity: "2", Unit: "each"}, {SKU: "CABLE", Quantity: "0.2", Unit: "m"}, {SKU: "TUBE", Quantity: "0.0001", Unit: "m"}}, nil
	}
	require.NoError(t, store.Update(t.Context(), func(w quoting.Writer) error {
		if err := w.Move(quoting.Movement{SKU: "CABLE", Kind: quoting.Received, Quantity: 500}); err != nil {
			return err
		}
		if err := w.Move(quoting.Movement{SKU: "CABLE", Kind: quoting.Reserve, Quantity: 300, Number: "another"}); err != nil {
			return err
		}
		return w.Move(quoting.Movement{SKU: "RING", Kind: quoting.Counted, Quantity: 2000})
	}))
	_, reserved, err := service.Accept(t.Context(), ref(t, "1"), 1, quoting.Request{ID: "b"}, parts)
	require.NoError(t, err)
	assert.Equal(t, []quoting.Reserved{
		{SKU: "CABLE", Unit: "m", Quantity: 300, Missing: 100, Counted: true}, {SKU: "RING", Unit: "each", Quantity: 2000, Counted: true}, {SKU: "TUBE", Unit: "m", Quantity: 1},
	}, reserved)
}

func TestPartsThatCannotBeReadSetNothingAside(t *testing.T) {
	service, store := newService(t)
	_, err := service.Create(t.Context(), quoting.Request{ID: "a"}, lamp)
	require.NoError(t, err)
	for name, parts := range map[string][]quoting.Part{"negative": {{SKU: "A", Quantity: "1"}, {SKU: "B", Quantity: "-1"}}, "no number": {{SKU: "A", Quantity: "many"}}} {
		_, _, err = service.Accept(t.Context(), ref(t, "1"), 0, quoting.Request{ID: "b"}, func(quoting.Revision) ([]quoting.Part, error) { return parts, nil })
		require.ErrorContains(t, err, "is no quantity", name)
	}
	require.NoError(t, store.View(t.Context(), func(r quoting.Reader) error {
		held, err := r.Reserved("2026-00001")
		assert.Empty(t, held)
		return err
	}))
	now, _, err := service.Get(t.Context(), ref(t, "1"), 0, false)
	require.NoError(t, err)
	assert.Equal(t, quoting.Open, now.State)
}
