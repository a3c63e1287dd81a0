package rpc

import (
	pb "example.com/lugbook/api/lugbook/v1"

	"github.com/bojanz/currency"
	"google.golang.org/protobuf/proto"
)

// lineKey is what a line stands for, whatever it comes to.
type lineKey struct {
	section                            pb.LineSection
	circuit, sku, operation, described string
}

// keyOf gives what a line stands for; its words count only where several lines are
// alike without them.
func keyOf(l *pb.Line, described bool) lineKey {
	k := lineKey{section: l.GetSection(), circuit: l.GetCircuitId(), sku: l.GetSku(), operation: l.GetOperation()}
	if described {
		k.described = l.GetDescription()
	}
	return k
}

// changes tells what became of each line that is not as it was: in the order of the
// new lines, then those that were dropped in the order of the old ones. Lines that
// stand for the same thing are paired in their order.
func changes(before, after []*pb.Line) []*pb.LineChange {
	repeats := repeated(before, after)
	key := func(l *pb.Line) lineKey { return keyOf(l, repeats[keyOf(l, false)]) }
	waiting := map[lineKey][]*pb.Line{}
	for _, l := range before {
		waiting[key(l)] = append(waiting[key(l)], l)
	}
	var out []*pb.LineChange
	paired := map[*pb.Line]bool{}
	for _, l := range after {
		old := waiting[key(l)]
		if len(old) == 0 {
			out = append(out, &pb.LineChange{Kind: pb.LineChangeKind_LINE_CHANGE_KIND_ADDED, After: l, Difference: difference(nil, l.GetAmount())})
			continue
		}
		waiting[key(l)], paired[old[0]] = old[1:], true
		if !sameLine(old[0], l) {
			out = append(out, &pb.LineChange{Kind: pb.LineChangeKind_LINE_CHANGE_KIND_CHANGED, Before: old[0], After: l, Difference: difference(old[0].GetAmount(), l.GetAmount())})
		}
	}
	for _, l := range before {
		if !paired[l] {
			out = append(out, &pb.LineChange{Kind: pb.LineChangeKind_LINE_CHANGE_KIND_DROPPED, Before: l, Difference: difference(l.GetAmount(), nil)})
		}
	}
	return out
}

// repeated tells which keys stand for more than one line of a quote.
func repeated(quotes ...[]*pb.Line) map[lineKey]bool {
	repeats := map[lineKey]bool{}
	for _, lines := range quotes {
		seen := map[lineKey]bool{}
		for _, l := range lines {
			k := keyOf(l, false)
			repeats[k] = repeats[k] || seen[k]
			seen[k] = true
		}
	}
	return repeats
}

// sameLine tells that quantity, price and amount are as they were.
func sameLine(a, b *pb.Line) bool {
	return a.GetQuantity() == b.GetQuantity() && a.GetUnit() == b.GetUnit() && proto.Equal(a.GetUnitPrice(), b.GetUnitPrice()) && proto.Equal(a.GetAmount(), b.GetAmount())
}

// difference gives after less before; an amount that is absent counts as nothing. It
// is absent where the two are not in one currency.
func difference(before, after *pb.Money) *pb.Money {
	switch {
	case before == nil && after == nil:
		return nil
	case before == nil:
		return after
	case after == nil:
		after = &pb.Money{CurrencyCode: before.GetCurrencyCode(), Amount: "0"}
	}
	from, err := currency.NewAmount(before.GetAmount(), before.GetCurrencyCode())
	if err != nil {
		return nil
	}
	to, err := currency.NewAmount(after.GetAmount(), after.GetCurrencyCode())
	if err != nil {
		return nil
	}
	d, err := to.Sub(from)
	if err != nil {
		return nil
	}
	return money(d)
}
