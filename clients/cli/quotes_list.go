package cli

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"example.com/lugbook/clients/jobfile"
	"github.com/spf13/cobra"
	"google.golang.org/protobuf/types/known/timestamppb"
)

const (
	// listedAtOnce is how many quotes a list shows unless told otherwise: the
	// service's own usual number.
	listedAtOnce = 50
	// longestPage is the longest page that the service gives.
	longestPage = 1000
	// broad is the width from which a list has a column for everything.
	broad = 100
)

// listFlags is what "lugbook quotes list" was given.
type listFlags struct {
	states                  statesFlag
	customer, vehicle, text string
	since, until            dayFlag
	limit                   int32
	all                     bool
	token                   string
}

// listCommand makes "lugbook quotes list".
func listCommand(s *session) *cobra.Command {
	f := &listFlags{}
	cmd := &cobra.Command{
		Use:   "list [WORD …]",
		Short: "Find quotes, the newest first",
		Long: "List shows the quotes that match all words and flags, the newest first. A word matches where a\n" +
			"word of the quote begins with it: lin finds Lindqvist, and linked lights.",
		Example: "  lugbook quotes list --customer lindqvist\n" +
			"  lugbook quotes list --state open --since 2026-11-01\n" +
			"  lugbook quotes list van fridge --all",
		ValidArgsFunction: cobra.NoFileCompletions,
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			if f.all && cmd.Flags().Changed("limit") {
				return misuse("give one of them", "--limit and --all contradict each other")
			}
			f.text = strings.Join(append(args, strings.Fields(f.text)...), " ")
			return list(cmd.Context(), s, f)
		}),
	}
	flags := cmd.Flags()
	flags.Var(&f.states, "state", "where they stand, one or several: "+strings.Join(storedStates(), ", "))
	flags.StringVar(&f.customer, "customer", "", "words of the customer's name, telephone, e-mail or reference")
	flags.StringVar(&f.vehicle, "vehicle", "", "words of the vehicle's id or label")
	flags.StringVar(&f.text, "text", "", "words of anything: number, customer, vehicle, equipment")
	flags.Var(&f.since, "since", "first day of making, such as 2026-11-01")
	flags.Var(&f.until, "until", "last day of making, such as 2026-11-30")
	flags.Int32Var(&f.limit, "limit", listedAtOnce, "how many at most")
	flags.BoolVar(&f.all, "all", false, "all that match, however many")
	flags.StringVar(&f.token, "page-token", "", "where to go on, as the last page said")
	completeWords(cmd, "state", storedStates()...)
	completeVehicles(s, cmd, "vehicle")
	return cmd
}

// list shows the quotes that match.
func list(ctx context.Context, s *session, f *listFlags) error {
	if f.limit < 1 && !f.all {
		return misuse(`leave it out for 50, or give --all`, "--limit: %d is not above 0", f.limit)
	}
	_, done, err := s.connect(ctx) // one connection for all pages
	if err != nil {
		return err
	}
	defer done()
	reply, err := f.pages(ctx, s)
	if err != nil {
		return err
	}
	if err := s.show(reply, func(p *page.Page) { listPage(p, reply.GetQuotes(), s.cli.Width, s.cli.Location) }); err != nil {
		return err
	}
	if len(reply.GetQuotes()) == 0 {
		s.note("no quotes found")
	}
	if token := reply.GetNextPageToken(); token != "" {
		s.note("hint: there are more; --all lists them, a WORD fewer, --page-token %s the next", token)
	}
	return nil
}

// pages asks for as many pages as it takes and makes one reply of them.
func (f *listFlags) pages(ctx context.Context, s *session) (*lugbookv1.ListQuotesResponse, error) {
	request := f.request(s.cli.Location)
	whole := &lugbookv1.ListQuotesResponse{}
	for {
		request.PageSize = longestPage
		if !f.all {
			request.PageSize = min(f.limit-int32(len(whole.GetQuotes())), longestPage)
		}
		reply, err := stored(ctx, s, lugbookv1.QuoteServiceClient.ListQuotes, request, placeInFlags(quotesFlagOf))
		if err != nil {
			return nil, err
		}
		whole.Quotes = append(whole.Quotes, reply.GetQuotes()...)
		whole.NextPageToken = reply.GetNextPageToken()
		full := !f.all && len(whole.GetQuotes()) >= int(f.limit)
		if full || whole.GetNextPageToken() == "" || len(reply.GetQuotes()) == 0 {
			return whole, nil
		}
		request.PageToken = whole.GetNextPageToken()
	}
}

// request makes the request that the flags mean, but for its page size.
func (f *listFlags) request(zone *time.Location) *lugbookv1.ListQuotesRequest {
	r := &lugbookv1.ListQuotesRequest{States: f.states, Customer: f.customer, Vehicle: f.vehicle, Text: f.text, PageToken: f.token}
	if !f.since.day.IsZero() {
		r.CreatedFrom = timestamppb.New(f.since.start(zone, 0))
	}
	if !f.until.day.IsZero() {
		r.CreatedBefore = timestamppb.New(f.until.start(zone, 1))
	}
	return r
}

// listPage lays out a list of quotes. A narrow one has customer and vehicle in one
// column and leaves out until when the price holds.
func listPage(p *page.Page, quotes []*lugbookv1.QuoteSummary, width int, zone *time.Location) {
	if len(quotes) == 0 {
		return
	}
	currency, total := oneCurrency(quotes), moneyText
	if currency != "" { // the title says it for all
		total = (*lugbookv1.Money).GetAmount
	}
	sum := page.Column{Title: "total" + labelled(" %", currency), Right: true}
	number, state, made := page.Column{Title: "number"}, page.Column{Title: "state"}, page.Column{Title: "made", Right: true}
	t := page.Table{Columns: []page.Column{number, state, {Title: "for", Wraps: true}, sum, made}}
	if width >= broad {
		t.Columns = []page.Column{
			number, {Title: "rev", Right: true}, state, {Title: "customer", Wraps: true}, {Title: "vehicle", Wraps: true}, sum, made, {Title: "valid until", Right: true},
		}
	}
	for _, q := range quotes {
		row := []string{q.GetNumber(), word(q.GetState()), listedBy("; ", q.GetCustomerName(), q.GetVehicleLabel()), total(q.GetTotal()), dateText(q.GetCreateTime(), zone)}
		if width >= broad {
			row = []string{
				q.GetNumber(), fmt.Sprint(q.GetRevision()), word(q.GetState()), q.GetCustomerName(), q.GetVehicleLabel(),
				total(q.GetTotal()), dateText(q.GetCreateTime(), zone), dateText(q.GetValidUntil(), zone),
			}
		}
		t.Rows = append(t.Rows, row)
	}
	p.Table(t)
}

// oneCurrency gives the currency of all quotes, empty where they have several.
func oneCurrency(quotes []*lugbookv1.QuoteSummary) string {
	currency := quotes[0].GetTotal().GetCurrencyCode()
	for _, q := range quotes {
		if q.GetTotal().GetCurrencyCode() != currency {
			return ""
		}
	}
	return currency
}

// statesFlag takes states of quotes, divided by commas or given several times.
type statesFlag []lugbookv1.QuoteState

// Set adds the states; pflag calls it.
func (f *statesFlag) Set(text string) error {
	for word := range strings.SplitSeq(text, ",") {
		number, err := jobfile.ParseWord(lugbookv1.QuoteState(0).Descriptor(), word)
		if state := lugbookv1.QuoteState(number); err == nil && state != lugbookv1.QuoteState_QUOTE_STATE_DRAFT {
			*f = append(*f, state)
			continue
		}
		return &jobfile.WordError{Text: word, Suggest: jobfile.Nearest(word, storedStates()), Allowed: storedStates()}
	}
	return nil
}

// String gives the default for the help text: none.
func (f *statesFlag) String() string { return "" }

// Type names the value in the help text.
func (f *statesFlag) Type() string { return "word" }

// storedStates gives the states that a stored quote can have.
func storedStates() []string {
	draft := jobfile.Word(lugbookv1.QuoteState(0).Descriptor(), lugbookv1.QuoteState_QUOTE_STATE_DRAFT.Number())
	return slices.DeleteFunc(jobfile.Words(lugbookv1.QuoteState(0).Descriptor()), func(word string) bool { return word == draft })
}

// dayFlag takes a day.
type dayFlag struct{ day time.Time }

// Set reads the day; pflag calls it.
func (f *dayFlag) Set(text string) error {
	day, err := time.Parse(time.DateOnly, strings.TrimSpace(text))
	if err != nil {
		return fmt.Errorf("%q is not a day; write year-month-day, such as 2026-11-24", text)
	}
	f.day = day
	return nil
}

// String gives the default for the help text: none.
func (f *dayFlag) String() string { return "" }

// Type names the value in the help text.
func (f *dayFlag) Type() string { return "day" }

// start gives the beginning of the day, or of a later one, in a time zone.
func (f *dayFlag) start(zone *time.Location, later int) time.Time {
	return time.Date(f.day.Year(), f.day.Month(), f.day.Day()+later, 0, 0, 0, 0, zone)
}
