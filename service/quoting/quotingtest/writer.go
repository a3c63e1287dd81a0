package quotingtest

import (
	"slices"
	"time"

	"example.com/lugbook/service/quoting"
)

type writer struct{ reader }

func added[K comparable, V any](all map[K]V, key K, value V) error {
	if _, ok := all[key]; ok {
		return quoting.ErrExists
	}
	all[key] = value
	return nil
}

func (w writer) NextRunning() (int64, error) {
	w.running++
	return w.running, nil
}

func (w writer) AddQuote(h quoting.Head) error {
	if err := added(w.numbers, h.Running, h.Number); err != nil {
		return err
	}
	return added(w.heads, h.Number, h)
}

func (w writer) SetQuote(h quoting.Head) error {
	was, err := w.Head(h.Number)
	if err != nil {
		return err
	}
	if was.Version+1 != h.Version {
		return quoting.ErrStale
	}
	w.heads[h.Number] = h
	return nil
}

func (w writer) AddRevision(r quoting.Revision) error {
	return added(w.revisions, revisionKey{r.Number, r.Revision}, r)
}

func (w writer) AddEvent(e quoting.Event) error {
	w.events[e.Number] = append(slices.Clone(w.events[e.Number]), e)
	return nil
}

func (w writer) AddDocument(d quoting.Document) error {
	return added(w.documents, documentKey{revisionKey{d.Number, d.Revision}, d.Kind}, d)
}

func (w writer) AddDeed(d quoting.Done) error {
	return added(w.deeds, deedKey{d.Caller, d.RequestID}, d)
}

func (w writer) Forget(number string, at time.Time) error {
	head, err := w.Head(number)
	if err != nil {
		return err
	}
	head.Customer, head.EraseTime = quoting.Contact{}, at
	w.heads[number] = head
	for key, r := range w.revisions {
		if key.number == number {
			r.Personal = nil
			w.revisions[key] = r
		}
	}
	for key := range w.documents {
		if key.number == number {
			delete(w.documents, key)
		}
	}
	events := slices.Clone(w.events[number])
	for i := range events {
		events[i].Reason = ""
	}
	w.events[number] = events
	return nil
}

func (w writer) Move(m quoting.Movement) error {
	w.moves = append(w.moves, m)
	return nil
}

func (w writer) AddCatalog(c quoting.CatalogRevision) error {
	if err := added(w.catalogs, c.Revision, c); err != nil {
		return err
	}
	w.added = append(w.added, c.Revision)
	return nil
}

func (w writer) PutCatalogInForce(revision string) error {
	if _, err := w.Catalog(revision); err != nil {
		return err
	}
	w.inForce = revision
	return nil
}
