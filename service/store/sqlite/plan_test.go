package sqlite_test

import (
	"database/sql"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/store/internal/relational"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// planner is a session that answers how many there are of something with a number of the
// test's, and tells how SQLite would go about everything else.
type planner struct {
	t      *testing.T
	db     *sql.DB
	counts int
	plan   []string
}

func (*planner) Exec(string, ...any) (int64, error) { return 0, quoting.ErrReadOnly }

func (p *planner) Query(each func(relational.Scan) error, statement string, arguments ...any) error {
	if strings.HasPrefix(statement, "SELECT count(*)") {
		return each(func(columns ...any) error {
			n, ok := columns[0].(*int)
			require.True(p.t, ok)
			*n = p.counts
			return nil
		})
	}
	for i, a := range arguments {
		if at, ok := a.(time.Time); ok {
			arguments[i] = at.UnixMicro()
		}
	}
	rows, err := p.db.QueryContext(p.t.Context(), `EXPLAIN QUERY PLAN `+statement, arguments...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var id, parent, unused int
		var detail string
		if err := rows.Scan(&id, &parent, &unused, &detail); err != nil {
			return err
		}
		p.plan = append(p.plan, detail)
	}
	return rows.Err()
}

// What is asked for decides the index; no list reads all quotes, and where most match
// none sorts more than a page.
func TestPlans(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "lugbook.db")
	open(t, path)
	db := plain(t, path)
	const rare, common = 1, 5000
	open1 := []quoting.StateAt{{State: quoting.Open}}
	for _, tt := range []struct {
		name   string
		counts int
		filter quoting.Filter
		want   []string // parts of the plan, in their order
		sorted bool
	}{
		{"first page", common, quoting.Filter{}, []string{"SCAN q", "SEARCH c USING INTEGER PRIMARY KEY"}, false},
		{"next page", common, quoting.Filter{BeforeRunning: 9}, []string{"SEARCH q USING INTEGER PRIMARY KEY (rowid<?)"}, false},
		{"a state", common, quoting.Filter{States: open1}, []string{"SEARCH q USING COVERING INDEX quotes_by_state (state=?)"}, false},
		{"a state, next page", common, quoting.Filter{States: open1, BeforeRunning: 9}, []string{"SEARCH q USING COVERING INDEX quotes_by_state (state=? AND running<?)"}, false},
		{"many valid", common, quoting.Filter{States: []quoting.StateAt{{State: quoting.Open, ValidFrom: noon}}}, []string{"SEARCH q USING INDEX quotes_by_state (state=?)"}, false},
		{"few valid", rare, quoting.Filter{States: []quoting.StateAt{{State: quoting.Open, ValidFrom: noon}}}, []string{"SEARCH i USING COVERING INDEX quotes_by_validity (state=? AND valid_until>?)"}, false},
		{"common word", common, quoting.Filter{Text: []string{"van"}}, []string{"SCAN q", "SEARCH i EXISTS USING PRIMARY KEY (running=? AND word>? AND word<?)"}, false},
		{"common word in a state", common, quoting.Filter{Text: []string{"van"}, States: open1}, []string{"SEARCH q USING COVERING INDEX quotes_by_state (state=?)", "SEARCH i EXISTS USING PRIMARY KEY (running=? AND word>? AND word<?)"}, false},
		{"rare word", rare, quoting.Filter{Text: []string{"winch"}}, []string{"SEARCH i USING COVERING INDEX words_by_word (class=? AND word>? AND word<?)", "SCAN found", "SEARCH q USING INTEGER PRIMARY KEY (rowid=?)"}, true},
		{"rare word in a state", rare, quoting.Filter{Customer: []string{"ada"}, States: open1}, []string{"SEARCH i USING COVERING INDEX words_by_word (class=? AND word>? AND word<?)", "SEARCH q USING INTEGER PRIMARY KEY (rowid=?)"}, true},
		{"a few days", rare, quoting.Filter{From: noon, Before: noon.AddDate(0, 0, 1)}, []string{"SEARCH i USING COVERING INDEX quotes_by_create_time (create_time>? AND create_time<?)", "SEARCH q USING INTEGER PRIMARY KEY (rowid=?)"}, true},
		{"many days", common, quoting.Filter{From: noon}, []string{"SCAN q"}, false},
	} {
		p := &planner{t: t, db: db, counts: tt.counts}
		tt.filter.Limit = 51
		_, err := relational.NewTransaction(p).Heads(tt.filter)
		require.NoError(t, err, tt.name)
		plan := strings.Join(p.plan, "\n")
		rest := plan
		for _, part := range tt.want {
			_, after, ok := strings.Cut(rest, part)
			assert.True(t, ok, "%s: no %q in\n%s", tt.name, part, plan)
			rest = after
		}
		inner, _, _ := strings.Cut(plan, "LIST SUBQUERY") // the page itself may be sorted
		if len(tt.filter.States) == 0 || tt.sorted {
			inner = plan
		}
		assert.Equal(t, tt.sorted, strings.Contains(inner, "TEMP B-TREE FOR ORDER BY"), "%s sorts\n%s", tt.name, plan)
	}
}
