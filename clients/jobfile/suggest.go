package jobfile

import "strings"

// Nearest gives the candidate that was probably meant by word, or nothing. A
// slip of one letter in three is forgiven, and so are a missing first or last
// part of the name ("class" for "amplifier_class") and other ways to join its
// words ("vehicleId" for "vehicle_id").
func Nearest(word string, candidates []string) string {
	plain := fold(word)
	if plain == "" || len(plain) > maxEcho {
		return ""
	}
	best, bestDistance := "", len(plain)/3+1
	for _, c := range candidates {
		d := editDistance(plain, fold(c))
		if isPartOf(word, c) {
			d = min(d, 1)
		}
		if d < bestDistance {
			best, bestDistance = c, d
		}
	}
	return best
}

// fold leaves of a name what people agree on: its letters and digits.
func fold(name string) string { return withoutJoints.Replace(strings.ToLower(name)) }

// withoutJoints takes off what joins the words of a name.
var withoutJoints = strings.NewReplacer("_", "", "-", "", " ", "")

// isPartOf tells that word is one or more whole words at an end of name.
func isPartOf(word, name string) bool {
	word = strings.ToLower(word)
	return strings.HasSuffix(name, "_"+word) || strings.HasPrefix(name, word+"_")
}

// editDistance counts the letters to insert, delete, replace or swap with their
// neighbour to turn a into b.
func editDistance(a, b string) int {
	x, y := []rune(a), []rune(b)
	before, last, next := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(x); i++ {
		next[0] = i
		for j := 1; j <= len(y); j++ {
			change := 1
			if x[i-1] == y[j-1] {
				change = 0
			}
			next[j] = min(last[j]+1, next[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				next[j] = min(next[j], before[j-2]+1)
			}
		}
		before, last, next = last, next, before
	}
	return last[len(y)]
}
