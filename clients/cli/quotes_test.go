package cli_test

import (
	"testing"
	"time"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/types/known/durationpb"
)

func TestQuotesRequests(t *testing.T) {
	t.Parallel()
	const job = `{"vehicle_id": "camper-van", "system": {"devices": [{"id": "fridge", "kind": "DEVICE_KIND_REFRIGERATOR", "zone": "galley", "input_power_w": 60}]}`
	for _, c := range []struct {
		name, line string
		want       proto.Message
		json       string
	}{
		{"create from a file", "quotes create - --request-id r1 --staff desk --cost --units us --lang es", &lugbookv1.CreateQuoteRequest{},
			`{"source": {"job": ` + job + `}}, "request_id": "r1", "staff": "desk", "include_cost": true, "unit_system": "UNIT_SYSTEM_US", "language": "es"}`},
		{"create from a file for another customer", "quotes create - --request-id r1 --customer-name 'A. Example' --customer-phone 555 --customer-email a@example.com --customer-address here --customer-reference ref",
			&lugbookv1.CreateQuoteRequest{}, `{"source": {"job": ` + job + `, "customer": {"name": "A. Example", "phone": "555", "email": "a@example.com", "address": "here", "reference": "ref"}}}, "request_id": "r1"}`},
		{"create from flags", "quotes create --vehicle camper-van --equipment EQ-1@galley,battery=house --equipment light:6W@roof,quantity=6,engine-off,label=Lights --equipment light:5A@roof,switched,length=2m " +
			"--layout trunk --growth 20% --discount 5 --discount-reason friend --tax-exempt --note one --note two --customer-name A --yes --request-id r1",
			&lugbookv1.CreateQuoteRequest{}, `{"request_id": "r1", "source": {"job": {"vehicle_id": "camper-van", "customer": {"name": "A"}, "notes": ["one", "two"],
			"terms": {"discount_percent": 5, "discount_reason": "friend", "tax_exempt": true}, "system": {"layout": "LAYOUT_CHOICE_TRUNK", "growth_percent": 20, "devices": [
			{"id": "eq-1", "equipment_sku": "EQ-1", "zone": "galley", "fed_from": "house"},
			{"id": "light", "kind": "DEVICE_KIND_LIGHT", "input_power_w": 6, "zone": "roof", "quantity": 6, "used_engine_off": true, "label": "Lights"},
			{"id": "light-2", "kind": "DEVICE_KIND_LIGHT", "current_a": 5, "zone": "roof", "switched": true, "measured_length_m": 2}]}}}}`},
		{"create like another", "quotes create --like 17 --request-id r1", &lugbookv1.CreateQuoteRequest{}, `{"source": {"number": "17"}, "request_id": "r1"}`},
		{"list", "quotes list", &lugbookv1.ListQuotesRequest{}, `{"page_size": 50}`},
		{"list by words", "quotes list van --text 'fridge' 17", &lugbookv1.ListQuotesRequest{}, `{"text": "van 17 fridge", "page_size": 50}`},
		{"list with everything", "quotes list --state open,expired --state accepted --customer lind --vehicle van --text 'fridge 17' --since 2026-11-01 --until 2026-11-30 --limit 2 --page-token 1",
			&lugbookv1.ListQuotesRequest{}, `{"states": ["QUOTE_STATE_OPEN", "QUOTE_STATE_EXPIRED", "QUOTE_STATE_ACCEPTED"], "customer": "lind", "vehicle": "van", "text": "fridge 17",
			"created_from": "2026-11-01T00:00:00Z", "created_before": "2026-12-01T00:00:00Z", "page_size": 2, "page_token": "1"}`},
		{"show", "quotes show 17 --revision 1 --history --cost", &lugbookv1.GetQuoteRequest{}, `{"number": "17", "revision": 1, "include_history": true, "include_cost": true}`},
		{"revise", "quotes revise 17 --reason why --etag e1 --staff desk --request-id r1 --cost", &lugbookv1.ReviseQuoteRequest{},
			`{"number": "17", "reason": "why", "etag": "e1", "staff": "desk", "request_id": "r1", "include_cost": true}`},
		{"revise with another job", "quotes revise 2026-00017 - --request-id r1 --units metric", &lugbookv1.ReviseQuoteRequest{},
			`{"number": "2026-00017", "request_id": "r1", "unit_system": "UNIT_SYSTEM_METRIC", "etag": "e2", "job": ` + job + `, "customer": {"name": "walk-in"}}}`},
		{"revise for another customer", "quotes revise 17 - --request-id r1 --customer-name B", &lugbookv1.ReviseQuoteRequest{},
			`{"number": "17", "request_id": "r1", "job": ` + job + `, "customer": {"name": "B"}}}`},
		{"revise with a telephone number of the same customer", "quotes revise 17 - --request-id r1 --customer-phone 555", &lugbookv1.ReviseQuoteRequest{},
			`{"number": "17", "request_id": "r1", "etag": "e2", "job": ` + job + `, "customer": {"name": "walk-in", "phone": "555"}}}`},
		{"revise with another job and an etag", "quotes revise 17 - --request-id r1 --etag e1", &lugbookv1.ReviseQuoteRequest{},
			`{"number": "17", "request_id": "r1", "etag": "e1", "job": ` + job + `, "customer": {"name": "walk-in"}}}`},
		{"accept", "quotes accept 17 --revision 2 --reason phone --etag e1 --staff desk --request-id r1", &lugbookv1.AcceptQuoteRequest{},
			`{"number": "17", "revision": 2, "reason": "phone", "etag": "e1", "staff": "desk", "request_id": "r1"}`},
		{"decline", "quotes decline 17 --reason dear --etag e1 --staff desk --request-id r1", &lugbookv1.DeclineQuoteRequest{},
			`{"number": "17", "reason": "dear", "etag": "e1", "staff": "desk", "request_id": "r1"}`},
		{"withdraw", "quotes withdraw 17 --reason wrong --etag e1 --staff desk --request-id r1", &lugbookv1.WithdrawQuoteRequest{},
			`{"number": "17", "reason": "wrong", "etag": "e1", "staff": "desk", "request_id": "r1"}`},
		{"requote", "quotes requote 17 --cost", &lugbookv1.RequoteQuoteRequest{}, `{"number": "17", "include_cost": true}`},
		{"erase", "quotes erase 17 18 --yes --staff owner --request-id r1", &lugbookv1.EraseCustomerRequest{}, `{"numbers": ["17", "18"], "staff": "owner", "request_id": "r1"}`},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			var shop fakeShop
			got := shop.run(t, tinyJob, words(c.line)...)
			require.Equal(t, cli.Done, got.code, got.errors)
			require.NoError(t, protojson.Unmarshal([]byte(c.json), c.want))
			assert.True(t, proto.Equal(c.want, shop.got), "want %v\n got %v", c.want, shop.got)
		})
	}
}

func TestStaffOfEnvironment(t *testing.T) {
	t.Setenv("LUGBOOK_STAFF", "front desk")
	var shop fakeShop
	require.Equal(t, cli.Done, shop.run(t, "", "quotes", "accept", "17").code)
	assert.Equal(t, "front desk", shop.got.(*lugbookv1.AcceptQuoteRequest).GetStaff())
	require.Equal(t, cli.Done, shop.run(t, "", "quotes", "accept", "17", "--staff", "owner").code)
	assert.Equal(t, "owner", shop.got.(*lugbookv1.AcceptQuoteRequest).GetStaff(), "a flag wins")
}

// Every change gets an id that the contract takes, and another with every run.
func TestRequestIDs(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for _, line := range []string{
		"quotes create -", "quotes create -", "quotes revise 17", "quotes accept 17", "quotes decline 17", "quotes withdraw 17", "quotes erase 17 --yes",
	} {
		var shop fakeShop
		got := shop.run(t, tinyJob, words(line)...)
		require.Equal(t, cli.Done, got.code, got.errors)
		id := shop.got.(interface{ GetRequestId() string }).GetRequestId()
		assert.Regexp(t, `^[A-Za-z0-9_-]{1,64}$`, id)
		assert.False(t, seen[id], "%s: the id was used before", line)
		seen[id] = true
	}
}

func TestQuotesMisuse(t *testing.T) {
	t.Parallel()
	hint := func(command string) string {
		return "hint: \"lugbook quotes " + command + " --help\" shows examples, \"lugbook quotes list\" the numbers\n"
	}
	flags := func(command string) string {
		return "hint: \"lugbook quotes " + command + " --help\" explains the flags\n"
	}
	const notAsked = "hint: name a job file, or give them; \"lugbook quotes create --help\" shows examples\n"
	for _, c := range []struct{ name, line, want string }{
		{"no verb", "quotes", "lugbook: not given: what to do with quotes\nhint: \"lugbook quotes list\" shows them, \"lugbook quotes create\" makes one\n"},
		{"verb misspelt", "quotes acept 17", "lugbook: there is no command \"lugbook quotes acept\"\nhint: did you mean \"lugbook quotes accept\"?\n"},
		{"show nothing", "quotes show", "lugbook: not given: the number of the quote\n" + hint("show")},
		{"show two", "quotes show 1 2", "lugbook: one quote at a time: \"2\" is too much\n" + hint("show")},
		{"revise nothing", "quotes revise", "lugbook: not given: the number of the quote\n" + hint("revise")},
		{"revise with two files", "quotes revise 1 a b", "lugbook: one quote at a time: \"a\" is too much\n" + hint("revise")},
		{"revise for another customer alone", "quotes revise 17 --customer-name B", "lugbook: the customer is part of the job, and no job file is named\nhint: name the job file too\n"},
		{"accept nothing", "quotes accept", "lugbook: not given: the number of the quote\n" + hint("accept")},
		{"decline nothing", "quotes decline", "lugbook: not given: the number of the quote\n" + hint("decline")},
		{"withdraw nothing", "quotes withdraw", "lugbook: not given: the number of the quote\n" + hint("withdraw")},
		{"requote nothing", "quotes requote", "lugbook: not given: the number of the quote\n" + hint("requote")},
		{"erase nothing", "quotes erase --yes", "lugbook: not given: the number of the quote\n" + hint("erase")},
		{"erase unasked", "quotes erase 17", "lugbook: nothing can be asked here, and not given: --yes\nhint: it cannot be undone; add --yes if you are sure\n"},
		{"revision that is none", "quotes show 17 --revision two", "lugbook: --revision: \"two\" is not a whole number from -2147483648 to 2147483647\n" + flags("show")},
		{"state that is none", "quotes list --state opne", "lugbook: --state: unknown word \"opne\" (did you mean \"open\"?); allowed: open, accepted, declined, withdrawn, expired\n" + flags("list")},
		{"state that is never stored", "quotes list --state draft", "lugbook: --state: unknown word \"draft\"; allowed: open, accepted, declined, withdrawn, expired\n" + flags("list")},
		{"day that is none", "quotes list --since yesterday", "lugbook: --since: \"yesterday\" is not a day; write year-month-day, such as 2026-11-24\n" + flags("list")},
		{"limit that is none", "quotes list --limit 0", "lugbook: --limit: 0 is not above 0\nhint: leave it out for 50, or give --all\n"},
		{"number without a verb", "quotes 17", "lugbook: not given: what to do with quote 17\nhint: did you mean \"lugbook quotes show 17\"?\n"},
		{"create of two", "quotes create a b", "lugbook: one job file at a time: \"b\" is too much\nhint: \"lugbook quotes create --help\" shows examples\n"},
		{"create of nothing", "quotes create", "lugbook: nothing can be asked here, and not given: --vehicle, --equipment, --yes\n" + notAsked},
		{"create without leave", "quotes create --vehicle v --equipment E@z", "lugbook: nothing can be asked here, and not given: --yes\n" + notAsked},
		{"create from a file and flags", "quotes create - --equipment E@z", "lugbook: --equipment does not go with a job file, which says it\nhint: the customer's flags may stand beside a file\n"},
		{"create like another from a file", "quotes create - --like 17", "lugbook: - does not go with --like, which says it\nhint: \"lugbook quotes revise\" changes a quote\n"},
		{"create like another for somebody", "quotes create --like 17 --customer-name A", "lugbook: the customer does not go with --like, which says it\nhint: \"lugbook quotes revise\" changes a quote\n"},
		{"create like another with flags", "quotes create --like 17 --layout auto", "lugbook: --layout does not go with --like, which says it\nhint: \"lugbook quotes revise\" changes a quote\n"},
		{"create like another, kept as a job", "quotes create --like 17 --save-job new.yaml", "lugbook: --save-job does not go with --like: the job stays with the server\nhint: a job file is kept of a job that was given\n"},
		{"all and some", "quotes list --all --limit 3", "lugbook: --limit and --all contradict each other\nhint: give one of them\n"},
		{"equipment nowhere", "quotes create --equipment EQ-1", "lugbook: --equipment: \"EQ-1\" does not say what is mounted where; write " +
			"PART@ZONE or KIND:POWER@ZONE or KIND:CURRENT@ZONE, then any of ,quantity=2 ,battery=ID ,label=TEXT ,length=5.5m ,engine-off ,switched\n" + flags("create")},
		{"job over another", "quotes create - --save-job quotes_test.go", "lugbook: --save-job: there is a file quotes_test.go already\nhint: name a new one\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			var shop fakeShop
			assert.Equal(t, result{cli.Misused, "", c.want}, shop.run(t, tinyJob, words(c.line)...))
			assert.Nil(t, shop.got, "the service was asked")
		})
	}
}

func TestQuotesRefusals(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, line string
		err        error
		code       cli.ExitCode
		want       string
	}{
		{"no such quote", "quotes show 99",
			refusal(t, codes.NotFound, "there is no quote 99", because(lugbookv1.ErrorReason_ERROR_REASON_UNKNOWN_QUOTE, map[string]string{"number": "99"})),
			cli.Failed, "lugbook: there is no quote 99\nhint: \"lugbook quotes list\" finds the quotes, \"lugbook quotes show NUMBER\" the latest revision of one\n"},
		{"number that is none", "quotes show x",
			refusal(t, codes.InvalidArgument, "the request has a fault", because(lugbookv1.ErrorReason_ERROR_REASON_INVALID_FIELD, nil), bad("number", "x is not a number of a quote")),
			cli.Misused, "lugbook: the request has a fault\nNUMBER: x is not a number of a quote\nhint: \"lugbook quotes show --help\" explains what may be given\n"},
		{"state that does not allow it", "quotes accept 17",
			refusal(t, codes.FailedPrecondition, "quote 2026-00017 is expired", because(lugbookv1.ErrorReason_ERROR_REASON_QUOTE_STATE, map[string]string{"number": "2026-00017"}),
				&errdetails.PreconditionFailure{Violations: []*errdetails.PreconditionFailure_Violation{{Type: "QUOTE_STATE", Subject: "2026-00017", Description: "revise it, and it is open again"}}}),
			cli.Failed, "lugbook: quote 2026-00017 is expired\n2026-00017: revise it, and it is open again\nhint: \"lugbook quotes show 2026-00017\" shows it as it is now\n"},
		{"etag of yesterday", "quotes decline 17 --etag e1",
			refusal(t, codes.Aborted, "quote 2026-00017 was changed meanwhile", because(lugbookv1.ErrorReason_ERROR_REASON_QUOTE_CHANGED, nil)),
			cli.Failed, "lugbook: quote 2026-00017 was changed meanwhile\nhint: \"lugbook quotes show NUMBER\" shows it as it is now\n"},
		{"request id of another request", "quotes withdraw 17 --request-id r1",
			refusal(t, codes.InvalidArgument, "the request id was used before", because(lugbookv1.ErrorReason_ERROR_REASON_REQUEST_ID_REUSED, nil), bad("request_id", "take a new one")),
			cli.Misused, "lugbook: the request id was used before\n--request-id: take a new one\nhint: leave --request-id out, and a new one is made\n"},
		{"filter that is too long", "quotes list --customer a --since 2026-11-01",
			refusal(t, codes.InvalidArgument, "2 fields", bad("customer", "too long", "created_from", "too early")),
			cli.Misused, "lugbook: 2 fields\n--customer: too long\n--since: too early\nhint: \"lugbook quotes list --help\" explains what may be given\n"},
		{"file and flags", "quotes create - --customer-name A --staff x",
			refusal(t, codes.InvalidArgument, "4 faults", bad("source.job.customer.name", "too long", "source.job.customer.phone", "odd", "staff", "too long", "source.job.system.devices[0].input_power_w", "too much")),
			cli.Misused, "lugbook: 4 faults\n--customer-name: too long\nstdin:1:1: customer.phone: odd\n--staff: too long\nstdin:7:20: system.devices[0].input_power_w: too much\n" +
				"hint: \"lugbook quotes create --help\" explains what may be given\n"},
		{"flags alone", "quotes create --vehicle v --equipment A@z --equipment B@y --yes",
			refusal(t, codes.InvalidArgument, "4 faults", bad("source.job.vehicle_id", "none such", "source.job.system.devices[1].zone", "none such", "source.job.terms.discount_percent", "too much", "source.job.new", "odd")),
			cli.Misused, "lugbook: 4 faults\n--vehicle: none such\n--equipment B@y: none such\n--discount: too much\nsource.job.new: odd\nhint: \"lugbook quotes create --help\" explains what may be given\n"},
		{"like one that is not there", "quotes create --like x",
			refusal(t, codes.InvalidArgument, "a fault", bad("source.number", "no number")),
			cli.Misused, "lugbook: a fault\n--like: no number\nhint: \"lugbook quotes create --help\" explains what may be given\n"},
		{"customer of a revision", "quotes revise 17 - --customer-name B --customer-phone 1",
			refusal(t, codes.InvalidArgument, "2 faults", bad("job.customer.phone", "odd", "job.vehicle_id", "none such")),
			cli.Misused, "lugbook: 2 faults\n--customer-phone: odd\nstdin:1:13: vehicle_id: none such\nhint: \"lugbook quotes revise --help\" explains what may be given\n"},
		{"numbers to erase", "quotes erase 17 x --yes",
			refusal(t, codes.InvalidArgument, "a fault", bad("numbers[1]", "no number", "numbers", "too many")),
			cli.Misused, "lugbook: a fault\nx: no number\nNUMBER: too many\nhint: \"lugbook quotes erase --help\" explains what may be given\n"},
		{"job that cannot be met", "quotes revise 17 -",
			refusal(t, codes.FailedPrecondition, "the job cannot be met", because(lugbookv1.ErrorReason_ERROR_REASON_JOB_UNMET, nil), &lugbookv1.Unmet{Constraint: "no_fuse", Nearest: []string{"Take 24 V."}}),
			cli.Failed, "lugbook: the job cannot be met\nno_fuse\nnearest: Take 24 V.\nhint: change what binds, or take one of the nearest, and ask again\n"},
		{"cost that is not theirs to see", "quotes requote 17 --cost", refusal(t, codes.PermissionDenied, "cost is for the owner"),
			cli.Failed, "lugbook: cost is for the owner\nhint: leave --cost out, or ask as the owner\n"},
		{"revision that is not the latest", "quotes accept 17 --revision 1",
			refusal(t, codes.FailedPrecondition, "revision 1 is not the latest", because(lugbookv1.ErrorReason_ERROR_REASON_NOT_LATEST_REVISION, map[string]string{"number": "2026-00017"})),
			cli.Failed, "lugbook: revision 1 is not the latest\nhint: \"lugbook quotes show 2026-00017\" shows it as it is now\n"},
		{"store that is full", "quotes create -", refusal(t, codes.ResourceExhausted, "no room left", because(lugbookv1.ErrorReason_ERROR_REASON_STORE_FULL, nil)),
			cli.Failed, "lugbook: no room left\nhint: nothing was lost; make room where the quotes are kept, and try again\n"},
		{"store that is read-only", "quotes create -", refusal(t, codes.FailedPrecondition, "it may only be read", because(lugbookv1.ErrorReason_ERROR_REASON_STORE_READ_ONLY, nil)),
			cli.Failed, "lugbook: it may only be read\nhint: ask whoever looks after the server, or the file, for leave to write\n"},
		{"store of a later version", "quotes list", refusal(t, codes.FailedPrecondition, "it is newer", because(lugbookv1.ErrorReason_ERROR_REASON_STORE_NEWER, nil)),
			cli.Failed, "lugbook: it is newer\nhint: use a Lugbook of the version that wrote the quotes, or a later one\n"},
		{"store that is none", "quotes create -", refusal(t, codes.FailedPrecondition, "it cannot be opened", because(lugbookv1.ErrorReason_ERROR_REASON_STORE_UNUSABLE, nil)),
			cli.Failed, "lugbook: it cannot be opened\nhint: nothing was stored; mend the place where the quotes are kept, or name another\n"},
		{"no store", "quotes list", refusal(t, codes.FailedPrecondition, "no quotes are kept here", because(lugbookv1.ErrorReason_ERROR_REASON_NO_STORE, nil)),
			cli.Failed, "lugbook: no quotes are kept here\nhint: --address or LUGBOOK_ADDRESS names a server that keeps quotes\n"},
		{"nobody in time", "quotes accept 17 --request-id r1", refusal(t, codes.DeadlineExceeded, "late"),
			cli.Failed, "lugbook: the server took too long\nhint: try the same again with --request-id r1; it is done once, even if this try was done after all\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, result{c.code, "", c.want}, (&fakeShop{err: c.err}).run(t, tinyJob, words(c.line)...))
		})
	}
}

// away is the error of a store that cannot be reached just now.
func away(t *testing.T) error {
	t.Helper()
	return refusal(t, codes.Unavailable, "the quotes cannot be reached", because(lugbookv1.ErrorReason_ERROR_REASON_STORE_UNAVAILABLE, nil),
		&errdetails.RetryInfo{RetryDelay: durationpb.New(time.Microsecond)})
}

func TestStoreThatComesBack(t *testing.T) {
	t.Parallel()
	shop := &fakeShop{err: away(t), fails: 2}
	got := shop.run(t, tinyJob, "quotes", "create", "-")
	require.Equal(t, cli.Done, got.code, got.errors)
	require.Len(t, shop.calls, 3)
	for _, call := range shop.calls {
		assert.True(t, proto.Equal(shop.calls[0], call), "the same request, with the same id")
	}
}

func TestStoreThatStaysAway(t *testing.T) {
	t.Parallel()
	shop := &fakeShop{err: away(t)}
	got := shop.run(t, tinyJob, "quotes", "create", "-", "--request-id", "r1")
	assert.Equal(t, result{cli.Failed, "", "lugbook: the quotes cannot be reached\nhint: try the same again with --request-id r1; it is done once, even if this try was done after all\n"}, got)
	assert.Len(t, shop.calls, 4)

	shop = &fakeShop{err: away(t)}
	got = shop.run(t, "", "quotes", "list")
	assert.Equal(t, result{cli.Failed, "", "lugbook: the quotes cannot be reached\nhint: nothing was changed; try again\n"}, got)
	assert.Len(t, shop.calls, 4)
}

// A server that is not there is told as such.
func TestNoServer(t *testing.T) {
	t.Parallel()
	got := new(fakeShop).run(t, "", "quotes", "list", "--address", "unix:/no/such/socket")
	assert.Equal(t, result{cli.Failed, "", "lugbook: the server does not answer\nhint: start the server, or leave --address and LUGBOOK_ADDRESS out to ask in this process\n"}, got)
}

// What is refused for good is not tried again.
func TestRefusalIsFinal(t *testing.T) {
	t.Parallel()
	shop := &fakeShop{err: refusal(t, codes.FailedPrecondition, "no")}
	require.Equal(t, cli.Failed, shop.run(t, "", "quotes", "accept", "17").code)
	assert.Len(t, shop.calls, 1)
}
