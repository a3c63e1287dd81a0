package postgres_test

import (
	"context"
	"strings"
	"testing"

	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/store/internal/relational"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// planner is a session that counts as the database does, and tells how PostgreSQL would go
// about everything else.
type planner struct {
	ctx  context.Context //nolint:containedctx // as in the session it stands for
	tx   pgx.Tx
	plan strings.Builder
}

func (*planner) Exec(string, ...any) (int64, error) { return 0, quoting.ErrReadOnly }

func (p *planner) Query(each func(relational.Scan) error, statement string, arguments ...any) error {
	if !strings.HasPrefix(statement, "SELECT count(*)") {
		statement = `EXPLAIN ` + statement
	}
	rows, err := p.tx.Query(p.ctx, statement, arguments...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if !strings.HasPrefix(statement, "EXPLAIN ") {
			err = each(rows.Scan)
		} else {
			var line string
			err = rows.Scan(&line)
			p.plan.WriteString(line + "\n")
		}
		if err != nil {
			return err
		}
	}
	return rows.Err()
}

// Lists of many quotes read by the indexes made for them.
func TestPlans(t *testing.T) {
	t.Parallel()
	s := open(t, schema(t))
	for _, statement := range []string{
		`INSERT INTO quotes (running, number, revision, state, version, vehicle_id, vehicle_label, vehicle_words, total, currency, create_time, update_time, valid_until, words)
			SELECT n, 'n' || n, 1, CASE WHEN n % 100 = 0 THEN 'accepted' ELSE 'open' END, 1, '', '', '[]', '1', 'EUR',
				timestamptz '2026-01-01 00:00Z' + n * interval '1 minute', now(), timestamptz '2026-01-31 00:00Z' + n * interval '1 minute', '[]'
			FROM generate_series(1, 30000) n`,
		`INSERT INTO words (running, word, class) SELECT n, 'n' || n, 3 FROM generate_series(1, 30000) n`,
		`INSERT INTO words (running, word, class) SELECT n, 'van', 2 FROM generate_series(1, 30000) n`,
		`ANALYZE quotes, words`, //nolint:misspell // SQL spells it so
	} {
		_, err := s.Pool().Exec(t.Context(), statement)
		require.NoError(t, err)
	}
	for _, tt := range []struct {
		name   string
		filter quoting.Filter
		want   []string
	}{
		{"first page", quoting.Filter{}, []string{"Index Scan Backward using quotes_pkey"}},
		{"next page", quoting.Filter{BeforeRunning: 20000}, []string{"Index Scan Backward using quotes_pkey"}},
		{"a state", quoting.Filter{States: []quoting.StateAt{{State: quoting.Accepted}}}, []string{"Backward using quotes_by_state"}},
		{"rare word", quoting.Filter{Text: []string{"n2999"}}, []string{"words_by_word", "quotes_pkey"}},
		{"common word", quoting.Filter{Text: []string{"van"}}, []string{"Index Scan Backward using quotes_pkey", "using words_pkey"}},
	} {
		tx, err := s.Pool().Begin(t.Context())
		require.NoError(t, err)
		p := &planner{ctx: t.Context(), tx: tx}
		tt.filter.Limit = 51
		_, err = relational.NewTransaction(p).Heads(tt.filter)
		require.NoError(t, err)
		require.NoError(t, tx.Rollback(t.Context()))
		for _, part := range tt.want {
			assert.Contains(t, p.plan.String(), part, tt.name)
		}
		assert.NotContains(t, p.plan.String(), "Seq Scan on quotes", tt.name)
		assert.NotContains(t, p.plan.String(), "Seq Scan on words", tt.name)
	}
}
