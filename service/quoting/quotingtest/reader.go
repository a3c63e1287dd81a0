package quotingtest

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/lugbook/service/quoting"
)

type reader struct{ *state }

func found[K comparable, V any](all map[K]V, key K) (V, error) {
	v, ok := all[key]
	if !ok {
		return v, quoting.ErrNotFound
	}
	return v, nil
}

func (r reader) Head(number string) (quoting.Head, error) { return found(r.heads, number) }

func (r reader) Numbered(running int64) (string, error) { return found(r.numbers, running) }

func (r reader) Heads(f quoting.Filter) ([]quoting.Head, error) {
	if f.Limit < 1 {
		return nil, fmt.Errorf("a page of %d quotes", f.Limit)
	}
	var list []quoting.Head
	for _, h := range r.heads {
		if matches(h, f) {
			list = append(list, h)
		}
	}
	slices.SortFunc(list, func(a, b quoting.Head) int { return cmp.Compare(b.Running, a.Running) })
	return list[:min(len(list), f.Limit)], nil
}

func matches(h quoting.Head, f quoting.Filter) bool {
	all := slices.Concat(h.Words, h.Customer.Words, h.VehicleWords)
	return (f.BeforeRunning == 0 || h.Running < f.BeforeRunning) &&
		(f.From.IsZero() || !h.CreateTime.Before(f.From)) && (f.Before.IsZero() || h.CreateTime.Before(f.Before)) &&
		(len(f.States) == 0 || slices.ContainsFunc(f.States, func(s quoting.StateAt) bool { return stands(h, s) })) &&
		begun(f.Customer, h.Customer.Words) && begun(f.Vehicle, h.VehicleWords) && begun(f.Text, all)
}

func stands(h quoting.Head, s quoting.StateAt) bool {
	return h.State == s.State && (s.ValidFrom.IsZero() || !h.ValidUntil.Before(s.ValidFrom)) && (s.ValidBefore.IsZero() || h.ValidUntil.Before(s.ValidBefore))
}

// begun tells that every word sought begins one of those there are.
func begun(sought, words []string) bool {
	for _, s := range sought {
		if !slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(w, s) }) {
			return false
		}
	}
	return true
}

func (r reader) Revision(number string, revision int) (quoting.Revision, error) {
	return found(r.revisions, revisionKey{number, revision})
}

func (r reader) Events(number string) ([]quoting.Event, error) {
	return slices.Clone(r.events[number]), nil
}

func (r reader) Document(number string, revision int, kind string) (quoting.Document, error) {
	return found(r.documents, documentKey{revisionKey{number, revision}, kind})
}

func (r reader) Deed(caller, requestID string) (quoting.Done, error) {
	return found(r.deeds, deedKey{caller, requestID})
}

func (r reader) Stock(sku string) (quoting.Stock, error) {
	var s quoting.Stock
	for _, m := range r.moves {
		if m.SKU != sku {
			continue
		}
		switch m.Kind {
		case quoting.Counted:
			s.Counted, s.OnHand = true, m.Quantity
		case quoting.Received:
			s.Counted, s.OnHand = true, s.OnHand+m.Quantity
		case quoting.Reserve:
			s.Reserved += m.Quantity
		case quoting.Release:
			s.Reserved -= m.Quantity
		}
	}
	return s, nil
}

func (r reader) Stocks(skus []string) ([]quoting.Balance, error) {
	var list []quoting.Balance
	for _, m := range r.moves {
		known := slices.ContainsFunc(list, func(b quoting.Balance) bool { return b.SKU == m.SKU })
		if known || skus != nil && !slices.Contains(skus, m.SKU) {
			continue
		}
		s, err := r.Stock(m.SKU)
		if err != nil {
			return nil, err
		}
		list = append(list, quoting.Balance{SKU: m.SKU, Stock: s})
	}
	slices.SortFunc(list, func(a, b quoting.Balance) int { return strings.Compare(a.SKU, b.SKU) })
	return list, nil
}

func (r reader) Reserved(number string) ([]quoting.Movement, error) {
	sums := map[string]quoting.Thousandths{}
	for _, m := range r.moves {
		switch {
		case m.Number != number || number == "":
		case m.Kind == quoting.Reserve:
			sums[m.SKU] += m.Quantity
		case m.Kind == quoting.Release:
			sums[m.SKU] -= m.Quantity
		}
	}
	var list []quoting.Movement
	for sku, quantity := range sums {
		if quantity > 0 {
			list = append(list, quoting.Movement{SKU: sku, Kind: quoting.Reserve, Quantity: quantity, Number: number})
		}
	}
	slices.SortFunc(list, func(a, b quoting.Movement) int { return strings.Compare(a.SKU, b.SKU) })
	return list, nil
}

func (r reader) Catalog(revision string) (quoting.CatalogRevision, error) {
	return found(r.catalogs, revision)
}

func (r reader) Catalogs() ([]quoting.CatalogRevision, error) {
	var list []quoting.CatalogRevision
	for _, revision := range slices.Backward(r.added) {
		c := r.catalogs[revision]
		c.Files = nil
		list = append(list, c)
	}
	return list, nil
}

func (r reader) CatalogInForce() (string, error) {
	if r.inForce == "" {
		return "", quoting.ErrNotFound
	}
	return r.inForce, nil
}
