package catalog

import (
	"cmp"
	"slices"
)

// bySKU sorts the parts of one kind by SKU, in their place: parts are large, so their
// SKUs are sorted and each part is moved once.
func bySKU[T any, P interface {
	*T
	entry
}](parts []T) []T {
	type keyed struct {
		sku string
		at  int
	}
	keys, sorted := make([]keyed, len(parts)), true
	for i := range parts {
		keys[i] = keyed{P(&parts[i]).common().SKU, i}
		sorted = sorted && (i == 0 || keys[i-1].sku <= keys[i].sku)
	}
	if !sorted {
		slices.SortFunc(keys, func(a, b keyed) int { return cmp.Or(compare(a.sku, b.sku), a.at-b.at) })
		for i := range keys {
			// Follow the ring of parts that take each other's places; a key that points at
			// its own place is done.
			if keys[i].at == i {
				continue
			}
			first, at := parts[i], i
			for keys[at].at != i {
				from := keys[at].at
				parts[at], keys[at].at = parts[from], at
				at = from
			}
			parts[at], keys[at].at = first, at
		}
	}
	if cap(parts) > len(parts)+len(parts)/8 {
		return slices.Clone(parts)
	}
	return parts
}

// ranked is a part by what it is sorted by.
type ranked[P any] struct {
	measure float64
	nano    int64 // unit price
	at      int   // by SKU
	part    P
}

// inOrder gives pointers to those parts that pass, by a measure, then by unit price,
// then by SKU. The parts stand by SKU.
func inOrder[T any, P interface {
	*T
	entry
}](parts []T, pass func(P) bool, measure func(P) float64) []P {
	keys := make([]ranked[P], 0, len(parts))
	for i := range parts {
		if p := P(&parts[i]); pass(p) {
			keys = append(keys, ranked[P]{measure(p), p.common().UnitNano, i, p})
		}
	}
	slices.SortFunc(keys, func(a, b ranked[P]) int {
		switch {
		case a.measure != b.measure:
			return cmp.Compare(a.measure, b.measure)
		case a.nano != b.nano:
			return cmp.Compare(a.nano, b.nano)
		}
		return a.at - b.at
	})
	sorted := make([]P, len(keys))
	for i := range keys {
		sorted[i] = keys[i].part
	}
	return sorted
}

// group gives the parts of one kind under their keys, each group in the order of a
// measure, then of unit price, then of SKU.
func group[K comparable, T any, P interface {
	*T
	entry
}](parts []T, key func(P) K, measure func(P) float64) map[K][]P {
	groups := map[K][]P{}
	for _, p := range inOrder(parts, every[P], measure) {
		groups[key(p)] = append(groups[key(p)], p)
	}
	return groups
}

// every passes all.
func every[P any](P) bool { return true }
