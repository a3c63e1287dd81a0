package postgres

import "github.com/jackc/pgx/v5/pgxpool"

// Pool gives the connections, for tests that do what a store would not.
func (s *Store) Pool() *pgxpool.Pool { return s.pool }
