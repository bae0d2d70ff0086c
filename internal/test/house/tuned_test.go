package house

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tuned are the rooms whose numbers were found by trying. Such a number stands in
// the room's tuned.go, with its unit and its reason beside it.
var tuned = strings.Fields("listen/capture listen/chordid listen/follow listen/transcribe listen/handsep judge/rules judge/timing judge/byear judge/firstbass judge/flow play/together judge/cause")

// units are what a tuned number may be counted in.
var units = strings.Fields("nats share factor count seconds milliseconds beats bars ticks cells events semitones points velocity variances changes octaves frames strokes")

// plain are the fractions that formulas have for what they are, and powers of ten:
// nobody tunes them.
var plain = regexp.MustCompile(`^(0\.0|0\.25|0\.5|1\.0|2\.0|60\.0|1e-?[0-9]+)$`)

func TestTunedNumbersStandInTheirTable(t *testing.T) {
	for _, room := range tuned {
		paths, err := filepath.Glob(filepath.Join("..", "..", room, "*.go"))
		require.NoError(t, err)
		for _, p := range paths {
			if strings.HasSuffix(p, "_test.go") || filepath.Base(p) == "tuned.go" {
				continue
			}
			fset := token.NewFileSet()
			f, err := parser.ParseFile(fset, p, nil, 0)
			require.NoError(t, err)
			ast.Inspect(f, func(n ast.Node) bool {
				if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.FLOAT {
					assert.Regexp(t, plain, lit.Value, "%s: %s belongs in tuned.go, with a name", fset.Position(lit.Pos()), lit.Value)
				}
				return true
			})
		}
	}
}

func TestTunedNumbersHaveUnitAndReason(t *testing.T) {
	for _, room := range tuned {
		path := filepath.Join("..", "..", room, "tuned.go")
		fset := token.NewFileSet()
		f, err := parser.ParseFile(fset, path, nil, parser.ParseComments)
		require.NoError(t, err)
		for _, d := range f.Decls {
			g, ok := d.(*ast.GenDecl)
			require.True(t, ok, "%s holds numbers alone", path)
			for _, s := range g.Specs {
				v, ok := s.(*ast.ValueSpec)
				if !ok {
					continue
				}
				said := v.Comment.Text()
				if said == "" { // of many numbers: "name: unit and the reason"
					said = strings.Replace(strings.TrimPrefix(g.Doc.Text(), v.Names[0].Name+": "), " ", ": ", 1)
				}
				unit, reason, _ := strings.Cut(said, ": ")
				unit, _, _ = strings.Cut(unit, " ") // nats a beat, share squared
				assert.True(t, slices.Contains(units, unit) && reason != "", "%s: write \"// unit: reason\" beside %s; units are %v", fset.Position(v.Pos()), v.Names[0], units)
			}
		}
	}
}

// A room with a table is listed, so that it is held to it.
func TestEveryTableIsHeld(t *testing.T) {
	paths, err := filepath.Glob(filepath.Join("..", "..", "*", "*", "tuned.go"))
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	for _, p := range paths {
		room := strings.TrimPrefix(filepath.ToSlash(filepath.Dir(p)), "../../")
		assert.Contains(t, tuned, room)
	}
	for _, room := range tuned {
		_, err := os.Stat(filepath.Join("..", "..", room, "tuned.go"))
		assert.NoError(t, err)
	}
}
