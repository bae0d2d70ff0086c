package house

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// impure are the rooms that meet the world, and what each needs it for. Every
// other room is pure, and so is all that it imports.
var impure = map[string]string{
	"text/file":   "opens the files that users name",
	"midi/port":   "live ports",
	"ui/loop":     "the live loop",
	"ui/engraver": "a WebAssembly module, whose machine code is kept in a folder, and programs that make PDF",
	"ui/term":     "a terminal",
	"ui/cli":      "files, ports, a terminal, the clock",
	"ui/spool":    "goroutines that wait for readers, and the clock that tells them late",
}

// free are the packages of Go that a pure room may import: none reads a clock, a
// file or chance, and none runs anything beside its caller.
var free = strings.Fields("archive/zip bytes cmp embed encoding/binary encoding/json encoding/xml errors html iter maps math math/bits " +
	"regexp slices sort strconv strings unicode unicode/utf16 unicode/utf8")

// partly are those of which a pure room may use only what is named here.
var partly = map[string]string{
	"fmt":  "Append Appendf Appendln Errorf Formatter Fprint Fprintf Fprintln GoStringer Sprint Sprintf Sprintln Sscan Sscanf Sscanln State Stringer",
	"io":   "EOF ErrUnexpectedEOF Reader Writer LimitReader MultiReader ReadAll ReadFull WriteString Discard",
	"time": "Duration Nanosecond Microsecond Millisecond Second Minute Hour",
}

// seeded is what the wing that plays may use of math/rand/v2: a generator with a
// seed of its own, which gives the same numbers everywhere.
const (
	chance = "math/rand/v2"
	seeded = "New NewPCG PCG Rand"
)

// allowance is what a package may use of one of Go: all of it, or what is named.
func allowance(importer, std string) (all bool, names []string) {
	if std == chance && wing(importer) == "play" {
		return false, strings.Fields(seeded)
	}
	return slices.Contains(free, std), strings.Fields(partly[std])
}

// breaches are what keeps a room from being pure, in it and in all that it
// imports, each with the way there, such as "judge/engine > midi/port: uses C".
func (h tree) breaches(root string) []string {
	var all []string
	way := map[string]string{root: room(root)}
	for queue := []string{root}; len(queue) > 0; queue = queue[1:] {
		p := h[queue[0]]
		for _, b := range p.breaches(h) {
			all = append(all, way[p.ImportPath]+": "+b)
		}
		for _, imp := range p.Imports {
			if next, ok := h[imp]; ok && !next.Standard && way[imp] == "" {
				way[imp] = way[p.ImportPath] + " > " + room(imp)
				queue = append(queue, imp)
			}
		}
	}
	slices.Sort(all)
	return all
}

// breaches are those of one package.
func (p *pack) breaches(h tree) []string {
	found := map[string]bool{}
	if len(p.CgoFiles) > 0 {
		found["uses C"] = true
	}
	if len(p.SFiles) > 0 {
		found["uses assembly"] = true
	}
	for _, imp := range p.Imports {
		if next, ok := h[imp]; ok && !next.Standard || imp == "C" {
			continue
		}
		if all, names := allowance(p.ImportPath, imp); !all && len(names) == 0 {
			found["imports "+imp] = true
		}
	}
	if strings.HasPrefix(p.ImportPath, ours) && len(p.IgnoredGoFiles) > 0 {
		found["is built otherwise elsewhere: "+strings.Join(p.IgnoredGoFiles, " ")] = true
	}
	for _, f := range p.files {
		for b := range breachesIn(p.ImportPath, f) {
			found[b] = true
		}
	}
	return slices.Sorted(maps.Keys(found))
}

// breachesIn are those in the text of one file.
func breachesIn(importer string, f *ast.File) map[string]bool {
	found, named := map[string]bool{}, map[string]string{}
	for _, imp := range f.Imports {
		full, _ := strconv.Unquote(imp.Path.Value)
		name := path.Base(full)
		if full == chance {
			name = "rand"
		}
		if imp.Name != nil {
			name = imp.Name.Name
		}
		if name == "." {
			found["imports "+full+" without its name"] = true
		}
		named[name] = full
	}
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GoStmt:
			found["starts a goroutine"] = true
		case *ast.SendStmt, *ast.SelectStmt, *ast.ChanType:
			found["uses a channel"] = true
		case *ast.UnaryExpr:
			if n.Op == token.ARROW {
				found["uses a channel"] = true
			}
		case *ast.CallExpr:
			if id, ok := n.Fun.(*ast.Ident); ok && id.Obj == nil && (id.Name == "print" || id.Name == "println") {
				found["calls "+id.Name] = true
			}
		case *ast.SelectorExpr:
			x, ok := n.X.(*ast.Ident)
			if !ok || x.Obj != nil || named[x.Name] == "" {
				break
			}
			if all, names := allowance(importer, named[x.Name]); !all && len(names) > 0 && !slices.Contains(names, n.Sel.Name) {
				found[fmt.Sprintf("uses %s.%s", x.Name, n.Sel.Name)] = true
			}
		}
		return true
	})
	return found
}

// What needs the world says so in the list above, and says so truly. A breach is
// told once, however many rooms reach it.
func TestRoomsArePure(t *testing.T) {
	h, told := thisProgram(t), map[string]bool{}
	for _, p := range h.rooms() {
		if wing(p) == "test" {
			continue
		}
		breaches := h.breaches(p)
		if why, ok := impure[room(p)]; ok {
			assert.NotEmpty(t, breaches, "%s (%s) has become pure: take it off the list", room(p), why)
			continue
		}
		for _, b := range breaches {
			way := strings.Split(b, " > ")
			if breach := way[len(way)-1]; !told[breach] {
				told[breach] = true
				t.Error(b)
			}
		}
	}
}

// The guard finds what is known to be there.
func TestPortsAndFilesAreFound(t *testing.T) {
	h := thisProgram(t)
	ports := h.breaches(rooms + "midi/port")
	assert.Contains(t, ports, "midi/port: imports sync")
	assert.Contains(t, ports, "midi/port > gitlab.com/gomidi/midi/v2/drivers/rtmididrv/imported/rtmidi: uses C")
	assert.Contains(t, h.breaches(rooms+"ui/cli"), "ui/cli > text/file: imports os")
}

func TestBreachesInACoach(t *testing.T) {
	for _, c := range []struct{ name, imports, body, want string }{
		{"nothing at all", "", "", ""},
		{"words and numbers", `"fmt"; "math"`, `var _ = fmt.Sprint(math.Pi)`, ""},
		{"a length of time", `"time"`, `const beat = 500 * time.Millisecond`, ""},
		{"the clock", `"time"`, `var now = time.Now()`, "uses time.Now"},
		{"the clock by another name", `t "time"`, `var now = t.Now()`, "uses t.Now"},
		{"the clock without a name", `. "time"`, `var now = Now()`, "imports time without its name"},
		{"what only sounds like the clock", `"time"`, `func f(time when) { time.Now() }`, ""},
		{"an alarm", `"time"`, `var a = time.AfterFunc(time.Second, f)`, "uses time.AfterFunc"},
		{"a wait", `"time"`, `func f() { time.Sleep(1) }`, "uses time.Sleep"},
		{"words on the screen", `"fmt"`, `func f() { fmt.Println() }`, "uses fmt.Println"},
		{"words on the screen, built in", ``, `func f() { println() }`, "calls println"},
		{"a method that is called print", ``, `func f(print func()) { print() }`, ""},
		{"a goroutine", ``, `func f() { go f() }`, "starts a goroutine"},
		{"a channel", ``, `var c chan int`, "uses a channel"},
		{"what comes from a channel", ``, `func f() { <-c }`, "uses a channel"},
		{"a choice of channels", ``, `func f() { select {} }`, "uses a channel"},
		{"chance with a seed, but no player", `"math/rand/v2"`, ``, "imports math/rand/v2"},
		{"a file", `"os"`, ``, "imports os"},
		{"a cable", `"net"`, ``, "imports net"},
		{"a lock", `"sync"`, ``, "imports sync"},
		{"memory", `"unsafe"`, ``, "imports unsafe"},
	} {
		assert.Equal(t, wanted("judge/coach", c.want), fake(t, "judge/coach", c.imports, c.body).breaches(rooms+"judge/coach"), c.name)
	}
}

func TestChanceIsSown(t *testing.T) {
	for body, want := range map[string]string{
		`var rng = rand.New(rand.NewPCG(1, 2))`: "",
		`var n = rand.IntN(6)`:                  "uses rand.IntN",
	} {
		assert.Equal(t, wanted("play/performer", want), fake(t, "play/performer", `"math/rand/v2"`, body).breaches(rooms+"play/performer"), body)
	}
	assert.Equal(t, []string{"play/performer: imports math/rand"}, fake(t, "play/performer", `"math/rand"`, "").breaches(rooms+"play/performer"))
}

// What a room imports is held to the same, however far away it is.
func TestBreachesFarAway(t *testing.T) {
	const engine, hands, module = rooms + "judge/engine", rooms + "listen/keyboard", "example.org/keys"
	far := func(last *pack) tree {
		last.ImportPath = module
		return tree{
			engine: {ImportPath: engine, Imports: []string{hands, "time"}},
			hands:  {ImportPath: hands, Imports: []string{module}},
			module: last,
			"time": {ImportPath: "time", Standard: true, Imports: []string{"sync", "syscall"}},
		}
	}
	for want, last := range map[string]*pack{
		"":                    {Imports: []string{"time", "strings"}},
		"imports os":          {Imports: []string{"os"}},
		"imports net/http":    {Imports: []string{"net/http"}},
		"imports math/rand":   {Imports: []string{"math/rand"}},
		"uses C":              {Imports: []string{"C"}, CgoFiles: []string{"keys.go"}},
		"uses assembly":       {SFiles: []string{"keys_amd64.s"}},
		"imports crypto/rand": {Imports: []string{"crypto/rand"}},
	} {
		assert.Equal(t, wanted("judge/engine > listen/keyboard > "+module, want), far(last).breaches(engine))
	}
	twice := far(&pack{})
	twice[hands].IgnoredGoFiles = []string{"keys_js.go"}
	assert.Equal(t, []string{"judge/engine > listen/keyboard: is built otherwise elsewhere: keys_js.go"}, twice.breaches(engine))
}

// wanted is the one breach that a room should have, or none.
func wanted(way, breach string) []string {
	if breach == "" {
		return nil
	}
	return []string{way + ": " + breach}
}

// fake is a tree of one room, with these imports and this text.
func fake(t *testing.T, name, imports, body string) tree {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), "fake.go", "package fake\nimport ("+imports+")\n"+body, 0)
	require.NoError(t, err)
	p := &pack{ImportPath: rooms + name, files: []*ast.File{f}}
	for _, imp := range f.Imports {
		full, err := strconv.Unquote(imp.Path.Value)
		require.NoError(t, err)
		p.Imports = append(p.Imports, full)
	}
	return tree{p.ImportPath: p}
}
