package storetest

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"example.com/lugbook/service/quoting"
)

// model is a store of quotes as plain as can be. It is a quoting.Writer; what it
// does not have, such as cut times, the tests do without.
type model struct {
	heads     map[string]quoting.Head
	revisions map[string]quoting.Revision
	events    []quoting.Event
	documents map[string]quoting.Document
	deeds     map[string]quoting.Done
	movements []quoting.Movement
	catalogs  []quoting.CatalogRevision
	inForce   string
	tokens    []quoting.Token // by name
	last      int64
}

func newModel() *model {
	return &model{heads: map[string]quoting.Head{}, revisions: map[string]quoting.Revision{}, documents: map[string]quoting.Document{}, deeds: map[string]quoting.Done{}}
}

// clone gives a copy that changes by itself.
func (m *model) clone() *model {
	c := *m
	c.heads, c.revisions, c.documents, c.deeds = maps.Clone(m.heads), maps.Clone(m.revisions), maps.Clone(m.documents), maps.Clone(m.deeds)
	c.events, c.movements, c.catalogs = slices.Clone(m.events), slices.Clone(m.movements), slices.Clone(m.catalogs)
	c.tokens = slices.Clone(m.tokens)
	return &c
}

// whole tells that everything belongs to something, which a store asks at the end of
// a transaction.
func (m *model) whole() bool {
	for _, r := range m.revisions {
		if _, ok := m.heads[r.Number]; !ok {
			return false
		}
	}
	for _, e := range m.events {
		if _, ok := m.heads[e.Number]; !ok {
			return false
		}
	}
	for _, d := range m.documents {
		if _, ok := m.revisions[key(d.Number, d.Revision)]; !ok {
			return false
		}
	}
	return true
}

func key(parts ...any) string { return fmt.Sprintf("%q", parts) }

// got gives what a map holds.
func got[V any](m map[string]V, key string) (V, error) {
	v, ok := m[key]
	if !ok {
		return v, quoting.ErrNotFound
	}
	return v, nil
}

// put adds to a map what it does not hold.
func put[V any](m map[string]V, key string, v V) error {
	if _, ok := m[key]; ok {
		return quoting.ErrExists
	}
	m[key] = v
	return nil
}

func (m *model) Head(number string) (quoting.Head, error) { return got(m.heads, number) }

func (m *model) Numbered(running int64) (string, error) {
	for _, h := range m.heads {
		if h.Running == running {
			return h.Number, nil
		}
	}
	return "", quoting.ErrNotFound
}

func (m *model) Heads(f quoting.Filter) ([]quoting.Head, error) {
	var found []quoting.Head
	for _, h := range m.heads {
		if matches(h, f) {
			found = append(found, h)
		}
	}
	slices.SortFunc(found, func(a, b quoting.Head) int { return cmp.Compare(b.Running, a.Running) })
	return found[:min(f.Limit, len(found))], nil
}

func matches(h quoting.Head, f quoting.Filter) bool {
	return (f.BeforeRunning == 0 || h.Running < f.BeforeRunning) &&
		within(h.CreateTime, f.From, f.Before) &&
		(len(f.States) == 0 || slices.ContainsFunc(f.States, func(s quoting.StateAt) bool {
			return h.State == s.State && within(h.ValidUntil, s.ValidFrom, s.ValidBefore)
		})) &&
		begun(f.Customer, h.Customer.Words) && begun(f.Vehicle, h.VehicleWords) &&
		begun(f.Text, slices.Concat(h.Customer.Words, h.VehicleWords, h.Words))
}

func within(t, from, before time.Time) bool {
	return (from.IsZero() || !t.Before(from)) && (before.IsZero() || t.Before(before))
}

// begun tells that each of some beginnings begins a word.
func begun(beginnings, words []string) bool {
	for _, b := range beginnings {
		if !slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(w, b) }) {
			return false
		}
	}
	return true
}

func (m *model) Revision(number string, revision int) (quoting.Revision, error) {
	return got(m.revisions, key(number, revision))
}

func (m *model) Events(number string) ([]quoting.Event, error) {
	var found []quoting.Event
	for _, e := range m.events {
		if e.Number == number {
			found = append(found, e)
		}
	}
	return found, nil
}

func (m *model) Document(number string, revision int, kind string) (quoting.Document, error) {
	return got(m.documents, key(number, revision, kind))
}

func (m *model) Deed(caller, requestID string) (quoting.Done, error) {
	return got(m.deeds, key(caller, requestID))
}

func (m *model) Stock(sku string) (quoting.Stock, error) {
	var s quoting.Stock
	for _, e := range m.movements {
		if e.SKU != sku {
			continue
		}
		switch e.Kind {
		case quoting.Counted:
			s.Counted, s.OnHand = true, e.Quantity
		case quoting.Received:
			s.Counted, s.OnHand = true, s.OnHand+e.Quantity
		case quoting.Reserve:
			s.Reserved += e.Quantity
		case quoting.Release:
			s.Reserved -= e.Quantity
		}
	}
	return s, nil
}

func (m *model) Stocks(skus []string) ([]quoting.Balance, error) {
	moved := map[string]bool{}
	for _, e := range m.movements {
		moved[e.SKU] = skus == nil || slices.Contains(skus, e.SKU)
	}
	var all []quoting.Balance
	for _, sku := range slices.Sorted(maps.Keys(moved)) {
		if !moved[sku] {
			continue
		}
		s, err := m.Stock(sku)
		if err != nil {
			return nil, err
		}
		all = append(all, quoting.Balance{SKU: sku, Stock: s})
	}
	return all, nil
}

func (m *model) Reserved(number string) ([]quoting.Movement, error) {
	sums := map[string]quoting.Thousandths{}
	for _, e := range m.movements {
		switch {
		case number == "" || e.Number != number:
		case e.Kind == quoting.Reserve:
			sums[e.SKU] += e.Quantity
		case e.Kind == quoting.Release:
			sums[e.SKU] -= e.Quantity
		}
	}
	var found []quoting.Movement
	for _, sku := range slices.Sorted(maps.Keys(sums)) {
		if sums[sku] > 0 {
			found = append(found, quoting.Movement{SKU: sku, Kind: quoting.Reserve, Quantity: sums[sku], Number: number})
		}
	}
	return found, nil
}

func (m *model) Catalog(revision string) (quoting.CatalogRevision, error) {
	for _, c := range m.catalogs {
		if c.Revision == revision {
			return c, nil
		}
	}
	return quoting.CatalogRevision{}, quoting.ErrNotFound
}

func (m *model) Catalogs() ([]quoting.CatalogRevision, error) {
	var found []quoting.CatalogRevision
	for _, c := range slices.Backward(m.catalogs) {
		c.Files = nil
		found = append(found, c)
	}
	return found, nil
}

func (m *model) CatalogInForce() (string, error) {
	if m.inForce == "" {
		return "", quoting.ErrNotFound
	}
	return m.inForce, nil
}

func (m *model) NextRunning() (int64, error) {
	m.last++
	return m.last, nil
}

func (m *model) AddQuote(h quoting.Head) error {
	if _, err := m.Numbered(h.Running); err == nil {
		return quoting.ErrExists
	}
	return put(m.heads, h.Number, h)
}

func (m *model) SetQuote(h quoting.Head) error {
	old, err := m.Head(h.Number)
	if err != nil {
		return err
	}
	if old.Version != h.Version-1 {
		return quoting.ErrStale
	}
	m.heads[h.Number] = h
	return nil
}

func (m *model) AddRevision(r quoting.Revision) error {
	return put(m.revisions, key(r.Number, r.Revision), r)
}

func (m *model) AddEvent(e quoting.Event) error {
	m.events = append(m.events, e)
	return nil
}

func (m *model) AddDocument(d quoting.Document) error {
	return put(m.documents, key(d.Number, d.Revision, d.Kind), d)
}

func (m *model) AddDeed(d quoting.Done) error { return put(m.deeds, key(d.Caller, d.RequestID), d) }

func (m *model) Forget(number string, at time.Time) error {
	h, err := m.Head(number)
	if err != nil {
		return err
	}
	h.Customer, h.EraseTime = quoting.Contact{}, at
	m.heads[number] = h
	for k, r := range m.revisions {
		if r.Number == number {
			r.Personal = nil
			m.revisions[k] = r
		}
	}
	maps.DeleteFunc(m.documents, func(_ string, d quoting.Document) bool { return d.Number == number })
	for i := range m.events {
		if m.events[i].Number == number {
			m.events[i].Reason = ""
		}
	}
	return nil
}

func (m *model) Move(e quoting.Movement) error {
	m.movements = append(m.movements, e)
	return nil
}

func (m *model) AddCatalog(c quoting.CatalogRevision) error {
	if _, err := m.Catalog(c.Revision); err == nil {
		return quoting.ErrExists
	}
	m.catalogs = append(m.catalogs, c)
	return nil
}

func (m *model) PutCatalogInForce(revision string) error {
	if _, err := m.Catalog(revision); err != nil {
		return err
	}
	m.inForce = revision
	return nil
}
