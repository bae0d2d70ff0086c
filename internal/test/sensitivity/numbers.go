package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"os"
	"strconv"
	"strings"
)

// number is a literal in a table of tuned numbers.
type number struct {
	name     string // of the constant, or of the variable and the way to it
	text     string // as written
	from, to int    // where it stands in the file, in bytes
	isInt    bool
}

// numbersIn lists the literals of a table, in the order in which they stand.
// Those within calls and indexes are no values of the table, nor are those of a
// number that is derived from another of the table; nor is a 0, which a fifth does
// not move.
func numbersIn(path string) ([]number, error) {
	fset := token.NewFileSet()
	f, err := parser.ParseFile(fset, path, nil, 0)
	if err != nil {
		return nil, err
	}
	var all []number
	add := func(name string, lit *ast.BasicLit) {
		n := number{name: name, text: lit.Value, from: fset.Position(lit.Pos()).Offset, to: fset.Position(lit.End()).Offset, isInt: lit.Kind == token.INT}
		if v, err := strconv.ParseFloat(lit.Value, 64); err == nil && v != 0 {
			all = append(all, n)
		}
	}
	specs, names := valuesOf(f)
	for _, v := range specs {
		for i, value := range v.Values {
			if !derived(names, value) {
				walk(v.Names[i].Name, value, add)
			}
		}
	}
	return all, nil
}

// valuesOf lists the constants and variables of a table, and their names.
func valuesOf(f *ast.File) (specs []*ast.ValueSpec, names map[string]bool) {
	names = map[string]bool{}
	for _, d := range f.Decls {
		g, ok := d.(*ast.GenDecl)
		if !ok || g.Tok != token.CONST && g.Tok != token.VAR {
			continue
		}
		for _, s := range g.Specs {
			v := s.(*ast.ValueSpec)
			specs = append(specs, v)
			for _, n := range v.Names {
				names[n.Name] = true
			}
		}
	}
	return specs, names
}

// derived reports a sum or a product in which another number of the table stands.
func derived(names map[string]bool, e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.Ident:
		return names[e.Name]
	case *ast.ParenExpr:
		return derived(names, e.X)
	case *ast.BinaryExpr:
		return derived(names, e.X) || derived(names, e.Y)
	}
	return false
}

// walk finds the literals of an expression, and names them.
func walk(name string, e ast.Expr, add func(string, *ast.BasicLit)) {
	switch e := e.(type) {
	case *ast.BasicLit:
		if e.Kind == token.INT || e.Kind == token.FLOAT {
			add(name, e)
		}
	case *ast.UnaryExpr:
		walk(name, e.X, add)
	case *ast.ParenExpr:
		walk(name, e.X, add)
	case *ast.BinaryExpr:
		walk(name, e.X, add)
		walk(name, e.Y, add)
	case *ast.CompositeLit:
		for i, x := range e.Elts {
			key := strconv.Itoa(i)
			if kv, ok := x.(*ast.KeyValueExpr); ok {
				key, x = source(kv.Key), kv.Value
			} else if c, ok := x.(*ast.CompositeLit); ok && len(c.Elts) > 0 {
				key = nameOf(c, key)
			}
			walk(name+"["+key+"]", x, add)
		}
	}
}

// nameOf is what the first element of a row says that it is, where that is no number.
func nameOf(c *ast.CompositeLit, otherwise string) string {
	first := c.Elts[0]
	if kv, ok := first.(*ast.KeyValueExpr); ok {
		first = kv.Value
	}
	if s := source(first); s != "" {
		return s
	}
	return otherwise
}

// source is a name or a literal as written; empty for anything else.
func source(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		return e.Sel.Name
	case *ast.BasicLit:
		return e.Value
	}
	return ""
}

// moved is the number a fifth away: up, or down. A whole number stays one and
// moves by 1 at least.
func (n number) moved(up bool) string {
	v, _ := strconv.ParseFloat(n.text, 64)
	to := v * 0.8
	if up {
		to = v * 1.2
	}
	if !n.isInt {
		text := strconv.FormatFloat(to, 'g', 6, 64)
		if !strings.ContainsAny(text, ".e") {
			text += ".0" // or it would be a whole number to the compiler
		}
		return text
	}
	if to = math.Round(to); to == v {
		to--
		if up {
			to += 2
		}
	}
	return strconv.FormatFloat(to, 'f', -1, 64)
}

// with writes the table to another file, with the number replaced.
func (n number) with(path, text, other string) error {
	raw, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	if string(raw[n.from:n.to]) != n.text {
		return fmt.Errorf("%s: %s is no longer %s: start again", path, n.name, n.text)
	}
	out := append(append(append([]byte{}, raw[:n.from]...), text...), raw[n.to:]...)
	return os.WriteFile(other, out, 0o600)
}
