package main

import (
	"bufio"
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"undersong/internal/test/reduced"
)

// row is one row of an accuracy table.
type row struct {
	name      string
	right, of float64
}

// share is what was right of what was measured; all where nothing was.
func (r row) share() float64 {
	if r.of == 0 {
		return 1
	}
	return r.right / r.of
}

// bench measures rooms, each time with one number moved.
type bench struct {
	root   string // of the module
	folder string // for the moved tables
	by     int    // how many times less is measured; 0: as the room says
	seeds  int    // 0: as the test says
}

// newBench finds the module that it is called in.
func newBench(root string) (*bench, error) {
	folder, err := os.MkdirTemp("", "sensitivity")
	return &bench{root: root, folder: folder}, err
}

func (b *bench) close() { os.RemoveAll(b.folder) }

func (b *bench) tuned(r room) string { return filepath.Join(b.root, "internal", r.name, "tuned.go") }

// overlay has the build read a table with a number moved; no number gives none.
func (b *bench) overlay(r room, n *number, text string) ([]string, error) {
	if n == nil {
		return nil, nil
	}
	other, list := filepath.Join(b.folder, "tuned.go"), filepath.Join(b.folder, "overlay.json")
	if err := n.with(b.tuned(r), text, other); err != nil {
		return nil, err
	}
	raw, err := json.Marshal(map[string]map[string]string{"Replace": {b.tuned(r): other}})
	if err != nil {
		return nil, err
	}
	return []string{"-overlay", list}, os.WriteFile(list, raw, 0o600)
}

// errBuild is a moved number that the program cannot be built with.
var errBuild = errors.New("does not build")

// rows runs the room's table, with a number moved or as it is.
func (b *bench) rows(r room, n *number, text string) ([]row, error) {
	over, err := b.overlay(r, n, text)
	if err != nil {
		return nil, err
	}
	by := r.by
	if b.by > 0 {
		by = b.by
	}
	args := append([]string{"test", "-v", "-count=1", "-timeout=20m", "-run", r.run}, over...)
	args = append(args, "./internal/"+r.table)
	if b.seeds > 0 {
		args = append(args, "-args", "-seeds", strconv.Itoa(b.seeds))
	}
	out, err := b.run(append(os.Environ(), reduced.Variable+"="+strconv.Itoa(by)), args)
	rows, bad := parseRows(out)
	if bad != nil {
		return nil, bad
	}
	if len(rows) > 0 {
		return rows, nil // the test's own least figures are no matter here
	}
	if bytes.Contains(out, []byte("[build failed]")) {
		return nil, errBuild
	}
	return nil, fmt.Errorf("no rows from %s: %w\n%s", r.table, err, out)
}

// run calls go.
func (b *bench) run(env, args []string) ([]byte, error) {
	cmd := exec.Command("go", args...)
	cmd.Dir, cmd.Env = b.root, env
	return cmd.CombinedOutput()
}

func parseRows(out []byte) ([]row, error) {
	var rows []row
	lines := bufio.NewScanner(bytes.NewReader(out))
	for lines.Scan() {
		text, ok := strings.CutPrefix(lines.Text(), reduced.Mark)
		if !ok {
			continue
		}
		f := strings.Split(text, "\t")
		if len(f) != 3 {
			return nil, fmt.Errorf("%q is no row: write name, right and of", text)
		}
		right, err1 := strconv.ParseFloat(f[1], 64)
		of, err2 := strconv.ParseFloat(f[2], 64)
		if err := errors.Join(err1, err2); err != nil {
			return nil, fmt.Errorf("%q is no row: %w", text, err)
		}
		rows = append(rows, row{f[0], right, of})
	}
	slices.SortFunc(rows, func(a, b row) int { return cmp.Compare(a.name, b.name) }) // a test may tell them in any order
	for i := 1; i < len(rows); i++ {
		if rows[i].name == rows[i-1].name {
			return nil, fmt.Errorf("two rows are called %q: one would be compared with the other", rows[i].name)
		}
	}
	return rows, lines.Err()
}

// failed is a test that says that it has failed; one within another is enough.
var failed = regexp.MustCompile(`(?m)^--- FAIL: (\S+)`)

// heldBy names the first of the room's own short tests that fails with a number
// moved; empty where none does.
func (b *bench) heldBy(r room, n number, text string) (string, error) {
	over, err := b.overlay(r, &n, text)
	if err != nil {
		return "", err
	}
	args := append([]string{"test", "-short", "-count=1", "-failfast", "-timeout=5m"}, over...)
	out, err := b.run(os.Environ(), append(args, "./internal/"+r.name))
	if err == nil {
		return "", nil
	}
	if m := failed.FindSubmatch(out); m != nil {
		return string(m[1]), nil
	}
	return "", fmt.Errorf("tests of %s: %w\n%s", r.name, err, out)
}

// nameOfRows tells tables apart.
func nameOfRows(rows []row) string {
	h := sha256.New()
	for _, r := range rows {
		fmt.Fprintf(h, "%s\t%g\t%g\n", r.name, r.right, r.of)
	}
	return hex.EncodeToString(h.Sum(nil))[:12]
}
