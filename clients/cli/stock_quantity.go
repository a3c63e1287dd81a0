package cli

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"example.com/lugbook/api/quantity"
)

// bareQuantity is a number that counts units of sale, pieces or packs.
var bareQuantity = regexp.MustCompile(`^(\d{1,10}(?:\.\d{1,6})?) ?([a-z]*)$`)

// countingWords are the words for what is counted, with the contract's unit: none is
// the part's own.
var countingWords = map[string]string{
	"": "", "each": "each", "pc": "each", "pcs": "each", "piece": "each", "pieces": "each", "pack": "pack", "packs": "pack",
}

// stockQuantity reads how much of a part there is: 40, 25ft, 7.5 m, 3 packs. It gives
// the number and the contract's unit of it, empty for the part's own.
func stockQuantity(text string) (float64, string, error) {
	if parts := bareQuantity.FindStringSubmatch(strings.ToLower(strings.TrimSpace(text))); parts != nil {
		if unit, ok := countingWords[parts[2]]; ok {
			number, err := strconv.ParseFloat(parts[1], 64)
			return number, unit, err
		}
	}
	metres, err := quantity.Parse(quantity.Length, text)
	var wrong *quantity.Error
	if errors.As(err, &wrong) {
		return 0, "", fmt.Errorf("%q is no quantity of stock; give a number, alone or with ft, m, packs or pieces", text)
	}
	return metres, "m", err
}
