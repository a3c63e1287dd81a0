package quantity

// Dimensions gives every dimension to the tests.
func Dimensions() []Dimension { return dimensions[:] }

// Spellings gives the accepted names of a dimension's units, by printed name.
func Spellings(d Dimension) map[string][]string {
	names := map[string][]string{}
	for _, u := range unitsOf(d) {
		names[u.print] = append([]string{u.print}, u.spelling...)
	}
	return names
}
