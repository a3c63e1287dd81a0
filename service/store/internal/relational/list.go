package relational

import (
	"fmt"
	"strings"

	"example.com/lugbook/service/quoting"
)

// A page of quotes is made in one of two ways. Where something that is asked for is
// rare, its quotes are looked up, held against the rest and sorted: all of them have
// to be read. Where all is common, quotes are walked from the newest on until the page
// is full: most of them match. How common a thing is, is counted on its index, but no
// further than these bounds (own choices), so that a page costs much the same however
// many quotes there are.
const (
	// rare is up to how many quotes are looked up rather than walked past.
	rare = 4096
	// few is the same for open quotes by their validity. Those still valid are
	// among the newest, where a walk meets them soon; it is slow only where there
	// are hardly any, and then runs through all that expired.
	few = 256
)

// Heads lists quotes by descending running number.
func (t *Transaction) Heads(f quoting.Filter) ([]quoting.Head, error) {
	heads, err := t.heads(f)
	if err != nil {
		return nil, fmt.Errorf("list quotes: %w", err)
	}
	return heads, nil
}

func (t *Transaction) heads(f quoting.Filter) ([]quoting.Head, error) {
	if f.Limit < 1 {
		return nil, fmt.Errorf("a limit of %d quotes is below 1", f.Limit)
	}
	q := &question{filter: f}
	rarest, found, err := t.rarest(f)
	if err != nil {
		return nil, err
	}
	var statement string
	switch {
	case found:
		statement = q.lookUp(rarest)
	case len(f.States) == 0:
		statement = q.walk()
	default:
		if statement, err = t.walkStates(q); err != nil {
			return nil, err
		}
	}
	var heads []quoting.Head
	err = t.query(func(scan Scan) error {
		h, err := scanHead(scan)
		heads = append(heads, h)
		return err
	}, statement, q.arguments...)
	return heads, err
}

// walkStates words the question state by state, each by its own index.
func (t *Transaction) walkStates(q *question) (string, error) {
	branches := make([]string, len(q.filter.States))
	for i, s := range q.filter.States {
		hardly := false
		if !s.ValidFrom.IsZero() || !s.ValidBefore.IsZero() {
			n, err := t.count(valid(s), few)
			if err != nil {
				return "", err
			}
			hardly = n <= few
		}
		branches[i] = q.state(s, hardly)
	}
	return q.anyOf(branches), nil
}

// rarest gives the one of the things asked for that the fewest quotes have, where
// those are few enough to be looked up.
func (t *Transaction) rarest(f quoting.Filter) (clause, bool, error) {
	least, found := rare+1, false
	var best clause
	for _, c := range clauses(f) {
		n, err := t.count(c, rare)
		if err != nil {
			return clause{}, false, err
		}
		if n < least {
			least, best, found = n, c, true
		}
	}
	return best, found, nil
}

// count gives how many quotes a clause finds, at most one more than the limit.
func (t *Transaction) count(c clause, limit int) (int, error) {
	q := &question{}
	inner := q.running(c)
	n := 0
	_, err := t.one([]any{&n}, `SELECT count(*) FROM (`+inner+` LIMIT `+q.argument(limit+1)+`) AS counted`, q.arguments...)
	return n, err
}

// clause is one thing asked for that an index answers by itself.
type clause struct {
	table string
	// terms are conditions on the columns of the table; %s stands for the argument.
	terms     []string
	arguments []any
}

// clauses gives the words and the days that are asked for.
func clauses(f quoting.Filter) []clause {
	var all []clause
	for _, asked := range wordsOf(f) {
		all = append(all, asked.clause())
	}
	if !f.From.IsZero() || !f.Before.IsZero() {
		c := clause{table: "quotes"}
		if !f.From.IsZero() {
			c.add(`i.create_time >= %s`, f.From)
		}
		if !f.Before.IsZero() {
			c.add(`i.create_time < %s`, f.Before)
		}
		all = append(all, c)
	}
	return all
}

// valid is the clause of a state and its limits of validity.
func valid(s quoting.StateAt) clause {
	c := clause{table: "quotes"}
	c.add(`i.state = %s`, string(s.State))
	if !s.ValidFrom.IsZero() {
		c.add(`i.valid_until >= %s`, s.ValidFrom)
	}
	if !s.ValidBefore.IsZero() {
		c.add(`i.valid_until < %s`, s.ValidBefore)
	}
	return c
}

func (c *clause) add(term string, argument any) {
	c.terms = append(c.terms, term)
	c.arguments = append(c.arguments, argument)
}

// asked is a beginning of a word and where it may stand.
type asked struct {
	word    string
	classes string // a list of classes in SQL
}

func wordsOf(f quoting.Filter) []asked {
	var all []asked
	for _, in := range []struct {
		words   []string
		classes string
	}{{f.Customer, "1"}, {f.Vehicle, "2"}, {f.Text, "1, 2, 3"}} {
		for _, w := range in.words {
			all = append(all, asked{word: compared(w), classes: in.classes})
		}
	}
	return all
}

// clause finds a word by the index of words.
func (a asked) clause() clause { return a.after(`i.class IN (` + a.classes + `)`) }

// probe finds a word among those of one quote: IS TRUE keeps databases from the index
// of words.
func (a asked) probe() clause { return a.after(`(i.class IN (` + a.classes + `)) IS TRUE`) }

// after adds to a term that the word begins with what is asked for.
func (a asked) after(term string) clause {
	c := clause{table: "words", terms: []string{term}}
	c.add(`i.word >= %s`, a.word)
	if after, ok := successor(a.word); ok {
		c.add(`i.word < %s`, after)
	}
	return c
}

// question is a statement being put together, with its arguments. Its text comes from
// constants alone; whatever was asked for is an argument.
type question struct {
	filter    quoting.Filter
	arguments []any
}

// argument takes an argument and gives its name.
func (q *question) argument(a any) string {
	q.arguments = append(q.arguments, a)
	return fmt.Sprintf("$%d", len(q.arguments))
}

// running selects the running numbers that a clause finds, in no order.
func (q *question) running(c clause) string {
	var s strings.Builder
	s.WriteString(`SELECT i.running FROM ` + c.table + ` i WHERE `)
	next := 0
	for i, term := range c.terms {
		if i > 0 {
			s.WriteString(` AND `)
		}
		if strings.Contains(term, "%s") {
			term = fmt.Sprintf(term, q.argument(c.arguments[next]))
			next++
		}
		s.WriteString(term)
	}
	return s.String()
}

// lookUp asks for the quotes of a rare thing. CROSS JOIN keeps SQLite from walking
// the quotes instead.
func (q *question) lookUp(c clause) string {
	//nolint:misspell // SQL spells it so
	s := `WITH found (running) AS MATERIALIZED (SELECT DISTINCT f.running FROM (` + q.running(c) + `) AS f)
		SELECT ` + headColumns + ` FROM found CROSS JOIN quotes q LEFT JOIN customers c ON c.running = q.running
		WHERE q.running = found.running` + q.rest()
	if len(q.filter.States) > 0 {
		states := make([]string, len(q.filter.States))
		for i, s := range q.filter.States {
			states[i] = `(q.state = ` + q.argument(string(s.State)) + q.validity(s) + `)`
		}
		s += ` AND (` + strings.Join(states, ` OR `) + `)`
	}
	return s + q.newestFirst()
}

// walk asks for the newest quotes in any state.
func (q *question) walk() string {
	return `SELECT ` + headColumns + ` FROM quotes q LEFT JOIN customers c ON c.running = q.running
		WHERE TRUE` + q.rest() + q.newestFirst()
}

// state selects the running numbers of the newest quotes in a state. Where hardly any
// are within its limits of validity, these are looked up.
func (q *question) state(s quoting.StateAt, hardly bool) string {
	if hardly {
		return `SELECT q.running FROM quotes q WHERE q.running IN (` + q.running(valid(s)) + `)` + q.rest() + q.newestFirst()
	}
	return `SELECT q.running FROM quotes q WHERE q.state = ` + q.argument(string(s.State)) + q.validity(s) + q.rest() + q.newestFirst()
}

// anyOf asks for the newest quotes of all branches, each of which selects as many
// running numbers as the page may hold.
func (q *question) anyOf(branches []string) string {
	for i, b := range branches {
		branches[i] = fmt.Sprintf(`SELECT b%d.running FROM (%s) AS b%d`, i, b, i)
	}
	return `SELECT ` + headColumns + ` FROM quotes q LEFT JOIN customers c ON c.running = q.running
		WHERE q.running IN (` + strings.Join(branches, ` UNION `) + `)` + q.newestFirst()
}

// validity is the condition that the limits of a state make. IS TRUE keeps databases
// from taking an index for it, which would cost them the order.
func (q *question) validity(s quoting.StateAt) string {
	condition := ""
	if !s.ValidFrom.IsZero() {
		condition += ` AND (q.valid_until >= ` + q.argument(s.ValidFrom) + `) IS TRUE`
	}
	if !s.ValidBefore.IsZero() {
		condition += ` AND (q.valid_until < ` + q.argument(s.ValidBefore) + `) IS TRUE`
	}
	return condition
}

// rest is every other condition than those on the state.
func (q *question) rest() string {
	condition := ""
	if q.filter.BeforeRunning > 0 {
		condition += ` AND q.running < ` + q.argument(q.filter.BeforeRunning)
	}
	if !q.filter.From.IsZero() {
		condition += ` AND (q.create_time >= ` + q.argument(q.filter.From) + `) IS TRUE`
	}
	if !q.filter.Before.IsZero() {
		condition += ` AND (q.create_time < ` + q.argument(q.filter.Before) + `) IS TRUE`
	}
	for _, a := range wordsOf(q.filter) {
		condition += ` AND EXISTS (` + q.running(a.probe()) + ` AND i.running = q.running)`
	}
	return condition
}

func (q *question) newestFirst() string {
	return ` ORDER BY q.running DESC LIMIT ` + q.argument(q.filter.Limit)
}
