package engraver

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/engrave"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

// shared is one engraver for all tests, whose machine code is kept between runs.
var shared = sync.OnceValues(func() (*Engraver, error) {
	base, err := os.UserCacheDir()
	if err != nil {
		return nil, err
	}
	return Open(context.Background(), Options{Cache: filepath.Join(base, "undersong", "engraver")})
})

// working is an engraver, but not for short tests.
func working(t *testing.T) *Engraver {
	t.Helper()
	if testing.Short() {
		t.Skip("making the machine code takes a quarter of a minute")
	}
	e, err := shared()
	require.NoError(t, err)
	return e
}

func xmlOf(t *testing.T, chart, pattern string) ([]byte, *score.Score) {
	t.Helper()
	s, err := score.Build(material.Chart(t, chart), material.Shipped(t, pattern), score.Options{})
	require.NoError(t, err)
	return engrave.MusicXML(s, engrave.Options{Names: true}), s
}

const waltz = "title: Tune & Bass\nby: N. N.\nkey: Eb\nmeter: 3/4\ntempo: 104\n[Verse]\n| Eb | Ab | Bb7 | Eb |\nm: E2G2B2 | A4c2 | B6 | E6 |\nw: | one two three | four five | six | sev- |\n"

func TestPagesAreDrawnTheSameEveryTime(t *testing.T) {
	e := working(t)
	src, _ := xmlOf(t, waltz, "waltz")
	ctx := context.Background()
	first, err := e.Pages(ctx, src, A4)
	require.NoError(t, err)
	require.Len(t, first, 1)
	again, err := e.Pages(ctx, src, A4)
	require.NoError(t, err)
	assert.Equal(t, first, again)
	for _, want := range []string{`width="210mm"`, ">Tune &amp; Bass<", ">N. N.<", `font-weight="bold" font-size=`, `id="t0"`, `id="w0-0"`, `id="m3"`, "<ellipse", ">one<"} {
		assert.Contains(t, first[0], want)
	}
	assert.NotContains(t, first[0], `<tspan font-family="Leipzig"`+` font-size="640px">`+"\uECA5", "the note of the tempo is drawn")
	letter, err := e.Pages(ctx, src, Letter)
	require.NoError(t, err)
	assert.Contains(t, letter[0], `width="215.9mm"`)
}

func TestWhereNoChordIsPlayedThePageSaysSo(t *testing.T) {
	src, _ := xmlOf(t, "key: C\nmeter: 4/4\n| N.C. | F |\n", "block-whole")
	pages, err := working(t).Pages(context.Background(), src, A4)
	require.NoError(t, err)
	assert.Contains(t, pages[0], ">N.C.<")
	assert.NotContains(t, pages[0], ">C<")
}

func TestManyBarsGoOnOverPages(t *testing.T) {
	e := working(t)
	src, _ := xmlOf(t, "title: Long\nkey: C\nmeter: 4/4\n"+strings.Repeat("| C | F | G7 | C |\n", 30), "boogie-climb")
	pages, err := e.Pages(context.Background(), src, A4)
	require.NoError(t, err)
	require.Greater(t, len(pages), 1)
	assert.NotContains(t, pages[1], ">Long<", "the title stands on the first page alone")
}

// A second reader: verovio's own map of times has the notes of the score.
func TestVerovioReadsTheNotesThatAreWritten(t *testing.T) {
	e := working(t)
	for _, pattern := range []string{"waltz", "waltz-lingering", "tune-waltz"} {
		src, s := xmlOf(t, waltz, pattern)
		text, err := e.Timemap(context.Background(), src)
		require.NoError(t, err)
		var times []struct {
			Quarters float64  `json:"qstamp"`
			On       []string `json:"on"`
		}
		require.NoError(t, json.Unmarshal([]byte(text), &times))
		got := map[string]float64{}
		for _, m := range times {
			for _, id := range m.On {
				got[id] = m.Quarters
			}
		}
		n := 0
		for i, w := range s.Wants {
			for k := range w.Tones {
				id := fmt.Sprintf("w%d-%d", i, k)
				at, ok := got[id]
				assert.True(t, ok, "%s: %s is not read", pattern, id)
				assert.Less(t, math.Abs(at-float64(w.At)/960), 0.001, "%s: %s", pattern, id)
				n++
			}
		}
		assert.Positive(t, n)
	}
}

func TestWhatIsNoMusicIsRefused(t *testing.T) {
	e := working(t)
	_, err := e.Pages(context.Background(), []byte("no music"), A4)
	assert.ErrorContains(t, err, "the engraver does not read this")
}

func TestAnotherModuleMayDraw(t *testing.T) {
	_, err := Open(context.Background(), Options{Module: []byte("\x00asm\x01\x00\x00\x00")})
	assert.ErrorContains(t, err, `the module has no function "w": it is not verovio `+Version)
	_, err = Open(context.Background(), Options{Module: []byte("none")})
	assert.ErrorContains(t, err, "the engraver is no WebAssembly module")
	if testing.Short() {
		return
	}
	plain, err := unpacked(nil)
	require.NoError(t, err)
	again, err := unpacked(plain)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(plain, again), "packed or not")
}

// fake is a program in a folder of its own, which alone is looked through.
func fake(t *testing.T, name, script string) {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte("#!/bin/sh\n"+script), 0o700))
	t.Setenv("PATH", dir)
}

func TestPDFByWhatIsThere(t *testing.T) {
	sh, err := exec.LookPath("sh")
	if err != nil || sh == "" {
		t.Skip("no shell here")
	}
	ctx := context.Background()
	fake(t, "chromium", `for a; do case $a in --print-to-pdf=*) echo "/CreationDate (D:20261127184021+00'00')" > "${a#--print-to-pdf=}";; esac; done`)
	pdf, err := PDF(ctx, []byte("<p>"), nil)
	require.NoError(t, err)
	assert.Equal(t, "/CreationDate (D:20000101000000+00'00')\n", string(pdf))
	fake(t, converter, `[ "$1 $2 $3" = "-f pdf -o" ] || exit 1; echo pages $(($# - 4)) > "$4"`)
	pdf, err = PDF(ctx, []byte("<p>"), []string{"a", "b"})
	require.NoError(t, err)
	assert.Equal(t, "pages 2\n", string(pdf))
	_, err = PDF(ctx, []byte("<p>"), nil)
	assert.ErrorIs(t, err, ErrNoPDF, "it makes nothing of HTML")
	fake(t, "chromium", `echo "no screen here"; exit 3`)
	_, err = PDF(ctx, []byte("<p>"), nil)
	assert.ErrorContains(t, err, "chromium: exit status 3: no screen here")
	fake(t, "chromium", "exit 0")
	_, err = PDF(ctx, []byte("<p>"), nil)
	assert.ErrorContains(t, err, "chromium made no PDF")
}

func TestTheLicencesAreThere(t *testing.T) {
	for name, begins := range map[string]string{"LGPL-3.txt": "GNU LESSER GENERAL PUBLIC LICENSE", "GPL-3.txt": "GNU GENERAL PUBLIC LICENSE", "OFL-1.1.txt": "SIL OPEN FONT LICENSE"} {
		text, err := os.ReadFile(filepath.Join("licence", name))
		require.NoError(t, err)
		assert.Contains(t, string(text), begins)
	}
	notice, err := os.ReadFile("NOTICE.md")
	require.NoError(t, err)
	assert.True(t, slices.ContainsFunc(strings.Fields(string(notice)), func(w string) bool { return strings.HasPrefix(w, Version) }))
}
