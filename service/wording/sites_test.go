package wording_test

import (
	"go/ast"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// site is one place in the source that makes a code, with the figures it gives.
type site struct {
	code    string
	path    string
	figures []electrical.Figure
	open    bool // figures are given that the source does not show here
}

// maker is a function that makes a code out of one of its arguments.
type maker struct {
	pkg, function string
	within        string // only in this function, "" anywhere
	argument      int
	skip          int // arguments after the code that are no figures
	prefix        string
	adds          []electrical.Figure // figures it adds by itself
}

var named = func(key string) electrical.Figure { return electrical.Name(key, "a name") }

// makers is every function that takes a code. The domain's packages each have
// their own short ways.
var makers = []maker{
	{function: "Because", skip: 1},
	{pkg: "electrical", function: "placement", argument: 1, adds: []electrical.Figure{electrical.Num("distance_m", 0.45, electrical.UnitM)}},
	{pkg: "termination", function: "unfit", prefix: "unmet."},
	{pkg: "termination", function: "add", within: "steps", prefix: "step."},
	{pkg: "coverage", function: "gap", argument: 1},
	{pkg: "coverage", function: "about", argument: 2},
	{pkg: "design", function: "add", within: "assumptions", prefix: "assumed.", adds: []electrical.Figure{named("devices")}},
	{pkg: "design", function: "because", prefix: "fact."},
	{pkg: "design", function: "always", prefix: "fact."},
	{pkg: "design", function: "onFuel", argument: 1, prefix: "fact."},
	{pkg: "design", function: "zoneFact", adds: []electrical.Figure{named("zone")}},
	{pkg: "design", function: "add", argument: 1, prefix: "violation."},
	{pkg: "quoting", function: "violation", argument: 1, prefix: "violation."},
	{pkg: "rpc", function: "fault", argument: 1, prefix: "violation."},
	{pkg: "rpc", function: "Say"},
	{pkg: "document", function: "Say"},
}

// built is a struct with a code in it: by field name, or the first where the
// fields are not named.
var built = map[string]struct{ field, prefix string }{
	"Advice":      {"Code", "advice."},
	"Conflict":    {"Code", "conflict."},
	"Violation":   {"Code", "violation."},
	"Step":        {"Code", "step."},
	"Unmet":       {"Constraint", "unmet."},
	"Unfit":       {"Constraint", "unmet."},
	"Note":        {"Code", "note."},
	"cautionRule": {"code", "note."},
	"Line":        {"WhyCode", ""},
}

// sites gives every place that makes a code.
func (s *source) sites() []site {
	var all []site
	for _, f := range s.files {
		for _, decl := range f.tree.Decls {
			name := ""
			if fn, ok := decl.(*ast.FuncDecl); ok {
				name = fn.Name.Name
			}
			w := &walker{source: s, file: f, body: decl, function: name}
			ast.Inspect(decl, w.visit)
			all = append(all, w.found...)
		}
	}
	return all
}

type walker struct {
	source   *source
	file     sourceFile
	body     ast.Node
	function string
	found    []site
}

func (w *walker) visit(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.CallExpr:
		w.call(n)
	case *ast.CompositeLit:
		w.composite(n, nameOf(n.Type))
	case *ast.AssignStmt:
		w.assign(n)
	}
	return true
}

func (w *walker) add(prefix string, code ast.Expr, figures []electrical.Figure, open bool) {
	for _, text := range w.source.texts(w.file.pkg, w.body, code) {
		w.found = append(w.found, site{prefix + text, w.file.path, figures, open})
	}
}

func (w *walker) call(c *ast.CallExpr) {
	for _, m := range makers {
		if m.function != nameOf(c.Fun) || m.pkg != "" && m.pkg != w.file.pkg || m.within != "" && m.within != w.function || m.argument >= len(c.Args) {
			continue
		}
		figures, open := w.figures(c.Args[min(m.argument+1+m.skip, len(c.Args)):])
		w.add(m.prefix, c.Args[m.argument], append(figures, m.adds...), open || c.Ellipsis.IsValid())
		return // the first that fits: design's add means two things
	}
}

func (w *walker) composite(c *ast.CompositeLit, kind string) {
	if list, ok := c.Type.(*ast.ArrayType); ok {
		for _, e := range c.Elts {
			if inner, ok := e.(*ast.CompositeLit); ok && inner.Type == nil {
				w.composite(inner, nameOf(list.Elt))
			}
		}
		return
	}
	b, ok := built[kind]
	if !ok || len(c.Elts) == 0 {
		return
	}
	code, rest := c.Elts[0], c.Elts[1:]
	if _, keyed := code.(*ast.KeyValueExpr); keyed {
		code, rest = nil, nil
		for _, e := range c.Elts {
			kv := e.(*ast.KeyValueExpr)
			switch nameOf(kv.Key) {
			case b.field:
				code = kv.Value
			case "Figures":
				rest = append(rest, kv.Value)
			}
		}
	}
	if code == nil {
		return
	}
	figures, open := w.figures(rest)
	w.add(b.prefix, code, figures, open || kind == "Note" || kind == "cautionRule")
}

// assign sees a code that is put into a reason afterwards.
func (w *walker) assign(a *ast.AssignStmt) {
	for i, left := range a.Lhs {
		if sel, ok := left.(*ast.SelectorExpr); ok && sel.Sel.Name == "Rule" && i < len(a.Rhs) {
			w.add("", a.Rhs[i], nil, true)
		}
	}
}

// figures gives the figures among expressions: written there, in a list, or in a
// variable that holds one; open where there may be more.
func (w *walker) figures(list []ast.Expr) (figures []electrical.Figure, open bool) {
	for _, e := range list {
		if id, ok := e.(*ast.Ident); ok {
			for _, value := range assigned(w.body, id.Name) {
				e = value
			}
		}
		switch e := e.(type) {
		case *ast.CallExpr:
			f, ok := w.figure(e)
			if ok {
				figures = append(figures, f)
			}
			open = open || !ok
		case *ast.CompositeLit:
			more, unclear := w.figures(e.Elts)
			figures, open = append(figures, more...), open || unclear
		default:
			open = true
		}
	}
	return figures, open
}

// figure gives a figure as the source builds it, with a value that could be.
func (w *walker) figure(c *ast.CallExpr) (electrical.Figure, bool) {
	if len(c.Args) == 0 {
		return electrical.Figure{}, false
	}
	key, ok := literal(c.Args[0])
	if !ok {
		return electrical.Figure{}, false
	}
	switch nameOf(c.Fun) {
	case "Num":
		unit, ok := w.source.consts["electrical"][nameOf(c.Args[2])]
		if !ok {
			unit = string(electrical.UnitFactor) // a parameter
		}
		return electrical.Num(key, 12.5, electrical.Unit(unit)), true
	case "Name":
		return named(key), true
	case "SizeFigure":
		return electrical.SizeFigure(key, quantity.AWG(8)), true
	case "Word":
		return electrical.Word(key, wordOf[key]), true
	}
	return electrical.Figure{}, false
}

// wordOf is one code of each enumeration that a figure carries.
var wordOf = map[string]string{
	"amplifier_class": "class_d", "category": string(electrical.Boat), "chemistry": string(electrical.AGM), "environment": string(electrical.Cabin),
	"family": string(electrical.ANL), "form": "ring", "material": string(electrical.Copper), "point": "fuse_holder", "quote_deed": "accepted", "quote_state": "expired", "task": "crimp_end", "use": "loom",
}
