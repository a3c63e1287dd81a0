package catalog

import "strings"

// unknownWord says that a word is none of the known ones, and which of them was
// probably meant.
func unknownWord[T ~string](what, word string, known []T) string {
	problem := "unknown " + what + " " + quote(word)
	if meant, ok := nearest(word, known); ok {
		problem += "; did you mean " + meant + "?"
	}
	return problem
}

// nearest gives the known word that differs least from what was typed, if the
// difference is small enough to be a slip: one change in three letters, capitals
// apart.
func nearest[T ~string](typed string, known []T) (string, bool) {
	if len(typed) > maxEcho { // no word of ours is near that long
		return "", false
	}
	typed = foldWord(typed)
	best, least := "", len(typed)/3+1
	for _, k := range known {
		if d := editDistance(typed, foldWord(string(k))); d < least {
			best, least = string(k), d
		}
	}
	return best, best != ""
}

// foldWord makes alike what people mix up without noticing.
func foldWord(word string) string {
	return strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(word))
}

// editDistance counts the letters to insert, delete, replace or swap with their
// neighbour that turn a into b (optimal string alignment).
func editDistance(a, b string) int {
	s, t := []rune(a), []rune(b)
	before, last, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(s); i++ {
		row[0] = i
		for j := 1; j <= len(t); j++ {
			change := last[j-1]
			if s[i-1] != t[j-1] {
				change++
			}
			row[j] = min(change, last[j]+1, row[j-1]+1)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(t)]
}
