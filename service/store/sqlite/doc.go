// Package sqlite keeps quotes in one SQLite file. It is what Lugbook uses where
// nothing else is asked for: a shop needs no database server.
//
//	store, err := sqlite.Open(ctx, "/var/lib/lugbook/lugbook.db")
//	…
//	defer store.Close()
//
// The driver is modernc.org/sqlite, SQLite itself translated to Go, so that programs
// need no C library. Any number of callers, and of programs on the same machine, may
// read while one writes; writers wait for each other. An answer that something was
// stored means that it is on the disk.
package sqlite
