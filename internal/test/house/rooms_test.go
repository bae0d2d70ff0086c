package house

import (
	"go/ast"
	"go/parser"
	"go/token"
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
	"text/source":       "",
	"text/file":         "",
	"text/wording":      "",
	"music/pitch":       "",
	"music/meter":       "",
	"music/chord":       "music/pitch",
	"music/harmony":     "music/pitch music/chord",
	"music/melody":      "text/source music/pitch music/meter",
	"sheet/chart":       "text/source music/pitch music/chord music/meter music/melody",
	"sheet/pattern":     "text/source music/pitch music/chord music/meter music/harmony",
	"sheet/score":       "text/wording music/pitch music/chord music/harmony music/meter music/melody sheet/chart sheet/pattern",
	"midi/event":        "",
	"midi/smf":          "midi/event",
	"midi/port":         "midi/event",
	"listen/keyboard":   "music/pitch midi/event",
	"listen/chordid":    "music/pitch music/chord",
	"listen/follow":     "music/pitch music/meter sheet/score",
	"listen/transcribe": "music/pitch music/chord music/meter music/harmony sheet/chart midi/event midi/smf listen/keyboard listen/chordid",
	"listen/capture":    "text/wording music/pitch music/chord music/meter sheet/pattern midi/event listen/keyboard",
	"judge/finding":     "music/pitch sheet/pattern sheet/score",
	"judge/coach":       "music/pitch music/chord music/meter sheet/pattern sheet/score listen/keyboard listen/chordid listen/follow judge/finding",
	"judge/byear":       "music/pitch music/melody sheet/chart sheet/pattern sheet/score midi/event listen/keyboard",
	"judge/firstbass":   "text/wording music/pitch music/chord music/meter sheet/score midi/event listen/keyboard",
	"judge/engine":      "music/pitch music/chord music/meter sheet/score midi/event listen/keyboard listen/chordid listen/follow judge/finding judge/coach",
	"session/sitting":   "music/pitch music/meter sheet/score listen/chordid judge/finding judge/coach judge/byear judge/firstbass",
	"play/performer":    "music/pitch music/chord music/meter sheet/pattern sheet/score midi/event",
	"play/playback":     "music/pitch music/meter sheet/pattern sheet/score midi/event play/performer",
}

// core are the rooms that must be pure: no clock, no goroutine, no files.
var core = strings.Fields("text/source text/wording music/pitch music/meter music/chord music/harmony music/melody sheet/chart sheet/pattern sheet/score midi/event " +
	"listen/keyboard listen/chordid listen/follow listen/transcribe listen/capture " +
	"judge/finding judge/coach judge/byear judge/firstbass judge/engine session/sitting play/performer play/playback")

func sources(t *testing.T, room string) []*ast.File {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join("..", "..", room, "*.go"))
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
	outer := strings.Fields("session/practice session/review session/report session/demo ui/words ui/term ui/cli test/material test/outside test/house test/reduced test/sensitivity test/e2e")
	dirs, err := filepath.Glob(filepath.Join("..", "..", "*", "*"))
	require.NoError(t, err)
	var unplaced []string
	for _, d := range dirs {
		room := strings.TrimPrefix(filepath.ToSlash(d), "../../")
		if _, ok := mayImport[room]; !ok && !contains(outer, room) {
			unplaced = append(unplaced, room)
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
