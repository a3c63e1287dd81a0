package wording_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// sourceFile is one Go file of the domain, tests aside.
type sourceFile struct {
	pkg  string // its folder's name
	path string
	tree *ast.File
}

// source is the Go of the domain: where codes and figures are made.
type source struct {
	files  []sourceFile
	consts map[string]map[string]string // package → name → value, strings only
	types  map[string]map[string]string // package → constant → its stated type
}

// readSource parses what makes codes: every package under service except this
// one, and the catalog, whose enumerations need words.
func readSource(t *testing.T) *source {
	t.Helper()
	s := &source{consts: map[string]map[string]string{}, types: map[string]map[string]string{}}
	fset := token.NewFileSet()
	for _, root := range []string{"..", "../../catalog"} {
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() && d.Name() == "wording" {
				return skipOr(err)
			}
			if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return nil
			}
			text, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			tree, err := parser.ParseFile(fset, path, text, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			s.files = append(s.files, sourceFile{filepath.Base(filepath.Dir(path)), path, tree})
			return nil
		})
		require.NoError(t, err)
	}
	for _, f := range s.files {
		s.constants(f)
	}
	return s
}

func skipOr(err error) error {
	if err != nil {
		return err
	}
	return filepath.SkipDir
}

func (s *source) constants(f sourceFile) {
	if s.consts[f.pkg] == nil {
		s.consts[f.pkg], s.types[f.pkg] = map[string]string{}, map[string]string{}
	}
	for _, decl := range f.tree.Decls {
		gen, ok := decl.(*ast.GenDecl)
		if !ok || gen.Tok != token.CONST {
			continue
		}
		for _, spec := range gen.Specs {
			v := spec.(*ast.ValueSpec)
			for i, name := range v.Names {
				if i >= len(v.Values) {
					continue
				}
				value, ok := literal(v.Values[i])
				if !ok {
					continue
				}
				s.consts[f.pkg][name.Name] = value
				if kind, ok := v.Type.(*ast.Ident); ok {
					s.types[f.pkg][name.Name] = kind.Name
				}
			}
		}
	}
}

func literal(e ast.Expr) (string, bool) {
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return "", false
	}
	text, err := strconv.Unquote(lit.Value)
	return text, err == nil
}

// unknownRest ends a code of which only the beginning stands in the source.
const unknownRest = "*"

// texts gives what a string expression may be: a literal, a constant, a local
// variable's literals, or a literal beginning with the rest unknown. It is empty
// where nothing can be said, as for a parameter.
func (s *source) texts(pkg string, body ast.Node, e ast.Expr) []string {
	switch e := e.(type) {
	case *ast.BasicLit:
		if text, ok := literal(e); ok {
			return []string{text}
		}
	case *ast.Ident:
		if text, ok := s.consts[pkg][e.Name]; ok {
			return []string{text}
		}
		var all []string
		for _, value := range assigned(body, e.Name) {
			if text, ok := literal(value); ok {
				all = append(all, text)
			}
		}
		return all
	case *ast.BinaryExpr:
		var all []string
		for _, left := range s.texts(pkg, body, e.X) {
			right := s.texts(pkg, body, e.Y)
			if len(right) == 0 {
				right = []string{unknownRest}
			}
			for _, r := range right {
				all = append(all, left+r)
			}
		}
		return all
	}
	return nil
}

// assigned gives every expression that a body assigns to a variable.
func assigned(body ast.Node, name string) []ast.Expr {
	var all []ast.Expr
	ast.Inspect(body, func(n ast.Node) bool {
		a, ok := n.(*ast.AssignStmt)
		if !ok || len(a.Lhs) != len(a.Rhs) {
			return true
		}
		for i, left := range a.Lhs {
			if id, ok := left.(*ast.Ident); ok && id.Name == name {
				all = append(all, a.Rhs[i])
			}
		}
		return true
	})
	return all
}

// nameOf gives the last name of what is called or built: Because of both
// Because(…) and electrical.Because(…).
func nameOf(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		return e.Sel.Name
	case *ast.StarExpr:
		return nameOf(e.X)
	}
	return ""
}

// list gives the texts of a package's list.
func (s *source) list(pkg, name string) []string {
	var all []string
	for _, f := range s.files {
		ast.Inspect(f.tree, func(n ast.Node) bool {
			v, ok := n.(*ast.ValueSpec)
			if !ok || f.pkg != pkg || v.Names[0].Name != name || len(v.Values) == 0 {
				return true
			}
			ast.Inspect(v.Values[0], func(n ast.Node) bool {
				if e, ok := n.(ast.Expr); ok {
					if text, ok := literal(e); ok {
						all = append(all, text)
					}
				}
				return true
			})
			return false
		})
	}
	return all
}
