// Package storage opens the store of quotes that a program is told to use: a file of
// SQLite, or a database of PostgreSQL.
package storage
