package relational

import (
	"fmt"
	"time"

	"example.com/lugbook/service/quoting"
)

// Revision gives one revision of a quote.
func (t *Transaction) Revision(number string, revision int) (quoting.Revision, error) {
	var r quoting.Revision
	found, err := t.one([]any{&r.Number, &r.Revision, instant{&r.CreateTime}, &r.Format, &r.RulesVersion, &r.CatalogRevision,
		&r.Language, &r.TimeZone, content{&r.Job}, content{&r.Snapshot}, content{&r.Personal}},
		`SELECT r.number, r.revision, r.create_time, r.format, r.rules_version, r.catalog_revision,
			r.language, r.time_zone, r.job, r.snapshot, p.personal
		FROM revisions r LEFT JOIN personal p ON p.number = r.number AND p.revision = r.revision
		WHERE r.number = $1 AND r.revision = $2`, number, revision)
	if err == nil && !found {
		err = quoting.ErrNotFound
	}
	if err != nil {
		return quoting.Revision{}, fmt.Errorf("read revision %d of quote %q: %w", revision, number, err)
	}
	return r, nil
}

// AddRevision stores a revision.
func (t *Transaction) AddRevision(r quoting.Revision) error {
	err := t.add(quoting.ErrExists, `INSERT INTO revisions (number, revision, create_time, format, rules_version, catalog_revision,
			language, time_zone, job, snapshot)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10) ON CONFLICT DO NOTHING`,
		r.Number, r.Revision, r.CreateTime, r.Format, r.RulesVersion, r.CatalogRevision, r.Language, r.TimeZone, r.Job, r.Snapshot)
	if err == nil && len(r.Personal) > 0 {
		_, err = t.exec(`INSERT INTO personal (number, revision, personal) VALUES ($1, $2, $3)`, r.Number, r.Revision, r.Personal)
	}
	if err != nil {
		return fmt.Errorf("add revision %d of quote %q: %w", r.Revision, r.Number, err)
	}
	return nil
}

// Document gives a document that was issued.
func (t *Transaction) Document(number string, revision int, kind string) (quoting.Document, error) {
	var d quoting.Document
	found, err := t.one([]any{&d.Number, &d.Revision, &d.Kind, &d.MediaType, instant{&d.CreateTime}, content{&d.Bytes}},
		`SELECT d.number, d.revision, d.kind, d.media_type, d.create_time, d.bytes
		FROM documents d WHERE d.number = $1 AND d.revision = $2 AND d.kind = $3`, number, revision, kind)
	if err == nil && !found {
		err = quoting.ErrNotFound
	}
	if err != nil {
		return quoting.Document{}, fmt.Errorf("read document %q of revision %d of quote %q: %w", kind, revision, number, err)
	}
	return d, nil
}

// AddDocument stores a document.
func (t *Transaction) AddDocument(d quoting.Document) error {
	err := t.add(quoting.ErrExists, `INSERT INTO documents (number, revision, kind, media_type, create_time, bytes)
		VALUES ($1, $2, $3, $4, $5, $6) ON CONFLICT DO NOTHING`,
		d.Number, d.Revision, d.Kind, d.MediaType, d.CreateTime, d.Bytes)
	if err != nil {
		return fmt.Errorf("add document %q of revision %d of quote %q: %w", d.Kind, d.Revision, d.Number, err)
	}
	return nil
}

// Forget removes personal data from a quote.
func (t *Transaction) Forget(number string, at time.Time) error {
	if err := t.forget(number, at); err != nil {
		return fmt.Errorf("forget the customer of quote %q: %w", number, err)
	}
	t.forgot = true
	return nil
}

func (t *Transaction) forget(number string, at time.Time) error {
	var running int64
	found, err := t.one([]any{&running}, `SELECT q.running FROM quotes q WHERE q.number = $1`, number)
	if err != nil {
		return err
	}
	if !found {
		return quoting.ErrNotFound
	}
	for _, step := range []struct {
		statement string
		arguments []any
	}{
		{`UPDATE quotes SET erase_time = $2 WHERE running = $1`, []any{running, at}},
		{`DELETE FROM customers WHERE running = $1`, []any{running}},
		{`DELETE FROM words WHERE running = $1 AND class = $2`, []any{running, ofCustomer}},
		{`DELETE FROM personal WHERE number = $1`, []any{number}},
		{`DELETE FROM documents WHERE number = $1`, []any{number}},
		{`UPDATE events SET reason = '' WHERE number = $1 AND reason <> ''`, []any{number}},
	} {
		if _, err := t.exec(step.statement, step.arguments...); err != nil {
			return err
		}
	}
	return nil
}
