package rooms

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mayImport names, for each room, the rooms that it may import. Data flows one
// way: what is listed later builds on what is listed earlier.
var mayImport = map[string]string{
	"event":     "",
	"source":    "",
	"pitch":     "",
	"wording":   "",
	"meter":     "",
	"chord":     "pitch",
	"harmony":   "pitch chord",
	"melody":    "source pitch meter",
	"chart":     "source pitch chord meter melody",
	"pattern":   "source pitch chord meter harmony",
	"score":     "wording pitch chord harmony meter melody chart pattern",
	"hands":     "event pitch",
	"byear":     "event pitch melody score hands",
	"capture":   "wording event pitch chord meter pattern hands",
	"recognize": "pitch chord",
	"follow":    "pitch meter score",
	"coach":     "wording pitch chord meter pattern score hands recognize follow",
	"engine":    "event pitch chord meter recognize hands score follow coach",
	"firstbass": "wording event pitch chord meter score hands",
	"midiio":    "event source",
	"simulate":  "event pitch chord meter pattern score",
	"perform":   "event pitch meter pattern score simulate",
	"track":     "event pitch chord meter chart recognize hands harmony midiio",
}

// core are the rooms that must be pure: no clock, no goroutine, no files.
var core = strings.Fields("event pitch wording meter chord harmony melody score hands recognize follow coach engine firstbass byear capture simulate track perform")

// reading are rooms that read the files they are given, and are pure otherwise.
var reading = strings.Fields("source chart pattern")

func sources(t *testing.T, room string) []*ast.File {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join("..", room, "*.go"))
	require.NoError(t, err)
	var files []*ast.File
	for _, p := range paths {
		if strings.HasSuffix(p, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), p, nil, 0)
		require.NoError(t, err)
		files = append(files, f)
	}
	require.NotEmpty(t, files, room)
	return files
}

func TestImportsGoOneWay(t *testing.T) {
	for room, allowed := range mayImport {
		for _, f := range sources(t, room) {
			for _, imp := range f.Imports {
				path, err := strconv.Unquote(imp.Path.Value)
				require.NoError(t, err)
				if other, ok := strings.CutPrefix(path, "undersong/internal/"); ok {
					assert.Contains(t, strings.Fields(allowed), other, "%s imports %s", room, other)
				}
			}
		}
	}
}

func TestCoreIsPure(t *testing.T) {
	for _, room := range core {
		assertPure(t, room, "os", "io", "net", "sync", "os/exec", "math/rand", "context")
	}
	for _, room := range reading {
		assertPure(t, room, "net", "sync", "os/exec", "math/rand", "context")
	}
}

func assertPure(t *testing.T, room string, banned ...string) {
	t.Helper()
	for _, f := range sources(t, room) {
		for _, imp := range f.Imports {
			path, _ := strconv.Unquote(imp.Path.Value)
			assert.NotContains(t, banned, path, room)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.GoStmt, *ast.SendStmt, *ast.SelectStmt, *ast.ChanType:
				t.Errorf("%s starts a goroutine or uses a channel", room)
			case *ast.SelectorExpr:
				if x, ok := n.X.(*ast.Ident); ok && x.Name == "time" {
					assert.NotContains(t, []string{"Now", "Since", "Sleep", "After", "Tick", "NewTimer", "NewTicker"}, n.Sel.Name, room)
				}
			}
			return true
		})
	}
}

// Every package stands in one list, so that a new one is placed on purpose.
func TestEveryRoomIsPlaced(t *testing.T) {
	outer := strings.Fields("rooms sample cli practice report review screen demo e2e")
	dirs, err := os.ReadDir("..")
	require.NoError(t, err)
	var unplaced []string
	for _, d := range dirs {
		if _, ok := mayImport[d.Name()]; d.IsDir() && !ok && !contains(outer, d.Name()) {
			unplaced = append(unplaced, d.Name())
		}
	}
	sort.Strings(unplaced)
	assert.Empty(t, unplaced, "add these to mayImport or to the outer rooms")
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}
