// Package postgres keeps quotes in a PostgreSQL database, for shops where several
// servers or branches share them.
//
//	store, err := postgres.Open(ctx, "postgres://lugbook@db.example/lugbook")
//	…
//	defer store.Close()
//
// The tables are made in the first schema of the connection's search_path. An answer
// that something was stored means that PostgreSQL has committed it; how durable that
// is, its own synchronous_commit decides, which is on unless somebody turned it off.
package postgres
