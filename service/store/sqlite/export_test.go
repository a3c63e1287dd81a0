package sqlite

import (
	"context"
	"strconv"
)

// LimitPages sets how many pages the file may have, as a disk does that is full.
func (s *Store) LimitPages(ctx context.Context, pages int) error {
	var set int
	return s.writer.QueryRowContext(ctx, "PRAGMA max_page_count = "+strconv.Itoa(pages)).Scan(&set)
}

// Ask asks the database something by a connection for reading or for writing.
func (s *Store) Ask(ctx context.Context, writer bool, query string) (string, error) {
	db := s.readers
	if writer {
		db = s.writer
	}
	var answer string
	err := db.QueryRowContext(ctx, query).Scan(&answer)
	return answer, err
}
