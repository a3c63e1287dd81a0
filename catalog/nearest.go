package catalog

// Nearest gives the part number that differs least from what was typed, if the
// difference is small enough to be a slip. Of equals the first by kind and SKU wins.
func (c *Catalog) Nearest(typed string) (string, bool) {
	var all []string
	for _, kind := range Kinds() {
		c.each(kind, func(p *Part, _ any) { all = append(all, p.SKU) })
	}
	return nearest(typed, all)
}
