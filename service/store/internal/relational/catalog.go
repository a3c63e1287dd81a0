package relational

import (
	"fmt"

	"example.com/lugbook/service/quoting"
)

// Catalog gives a stored revision of the catalog.
func (t *Transaction) Catalog(revision string) (quoting.CatalogRevision, error) {
	var c quoting.CatalogRevision
	found, err := t.one([]any{&c.Revision, instant{&c.CreateTime}, &c.Caller, &c.Note, content{&c.Files}},
		`SELECT k.revision, k.create_time, k.caller, k.note, k.files FROM catalogs k WHERE k.revision = $1`, revision)
	if err == nil && !found {
		err = quoting.ErrNotFound
	}
	if err != nil {
		return quoting.CatalogRevision{}, fmt.Errorf("read catalog revision %q: %w", revision, err)
	}
	return c, nil
}

// Catalogs lists the stored revisions without their files, the last stored first.
func (t *Transaction) Catalogs() ([]quoting.CatalogRevision, error) {
	var revisions []quoting.CatalogRevision
	err := t.query(func(scan Scan) error {
		var c quoting.CatalogRevision
		if err := scan(&c.Revision, instant{&c.CreateTime}, &c.Caller, &c.Note); err != nil {
			return err
		}
		revisions = append(revisions, c)
		return nil
	}, `SELECT k.revision, k.create_time, k.caller, k.note FROM catalogs k ORDER BY k.id DESC`)
	if err != nil {
		return nil, fmt.Errorf("list catalog revisions: %w", err)
	}
	return revisions, nil
}

// CatalogInForce gives the revision last put in force.
func (t *Transaction) CatalogInForce() (string, error) {
	var revision string
	found, err := t.one([]any{&revision}, `SELECT f.revision FROM catalog_in_force f WHERE f.one = 1`)
	if err == nil && !found {
		err = quoting.ErrNotFound
	}
	if err != nil {
		return "", fmt.Errorf("read the catalog revision in force: %w", err)
	}
	return revision, nil
}

// AddCatalog stores a revision of the catalog.
func (t *Transaction) AddCatalog(c quoting.CatalogRevision) error {
	err := t.add(quoting.ErrExists, `INSERT INTO catalogs (revision, create_time, caller, note, files)
		VALUES ($1, $2, $3, $4, $5) ON CONFLICT DO NOTHING`, c.Revision, c.CreateTime, c.Caller, c.Note, c.Files)
	if err != nil {
		return fmt.Errorf("add catalog revision %q: %w", c.Revision, err)
	}
	return nil
}

// PutCatalogInForce names the revision to work by from now on.
func (t *Transaction) PutCatalogInForce(revision string) error {
	err := t.add(quoting.ErrNotFound, `INSERT INTO catalog_in_force (one, revision)
		SELECT 1, k.revision FROM catalogs k WHERE k.revision = $1
		ON CONFLICT (one) DO UPDATE SET revision = excluded.revision`, revision)
	if err != nil {
		return fmt.Errorf("put catalog revision %q in force: %w", revision, err)
	}
	return nil
}
