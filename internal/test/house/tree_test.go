package house

import (
	"encoding/json"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// pack is one package of the program, of a third party or of Go, as go list
// knows it, without its tests.
type pack struct {
	ImportPath string
	Dir        string
	Standard   bool
	GoFiles    []string
	CgoFiles   []string
	SFiles     []string // in assembly
	Imports    []string

	IgnoredGoFiles []string // built elsewhere, or with a tag

	files []*ast.File // of a package of ours
}

// tree is the program by import path, with all that it imports.
type tree map[string]*pack

const (
	ours  = "undersong/"
	rooms = ours + "internal/"
)

// room is a package of ours by its wing and name, and any other as it is called.
func room(path string) string { return strings.TrimPrefix(path, rooms) }

// wing is the folder that a room stands in.
func wing(path string) string {
	w, _, _ := strings.Cut(room(path), "/")
	return w
}

// rooms are the import paths of all packages under internal, sorted.
func (h tree) rooms() []string {
	var all []string
	for _, path := range slices.Sorted(maps.Keys(h)) {
		if strings.HasPrefix(path, rooms) {
			all = append(all, path)
		}
	}
	return all
}

// program is the tree of this program, as it is built with live MIDI.
var program = sync.OnceValues(func() (tree, error) {
	list := exec.Command("go", "list", "-deps",
		"-json=ImportPath,Dir,Standard,GoFiles,CgoFiles,SFiles,Imports,IgnoredGoFiles", ours+"...")
	list.Env = append(os.Environ(), "CGO_ENABLED=1")
	out, err := list.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := list.Start(); err != nil {
		return nil, err
	}
	h := tree{}
	for packs := json.NewDecoder(out); ; {
		p := &pack{}
		if err := packs.Decode(p); errors.Is(err, io.EOF) {
			return h, list.Wait()
		} else if err != nil {
			return nil, err
		}
		h[p.ImportPath] = p
		if err := p.parse(); err != nil {
			return nil, err
		}
	}
})

// parse reads the source of a package of ours.
func (p *pack) parse() error {
	if !strings.HasPrefix(p.ImportPath, ours) {
		return nil
	}
	for _, name := range slices.Concat(p.GoFiles, p.CgoFiles) {
		f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(p.Dir, name), nil, 0)
		if err != nil {
			return err
		}
		p.files = append(p.files, f)
	}
	return nil
}

func thisProgram(t *testing.T) tree {
	t.Helper()
	h, err := program()
	require.NoError(t, err)
	require.NotEmpty(t, h.rooms())
	return h
}
