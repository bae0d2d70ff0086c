package abc_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/smf"
	"undersong/internal/sheet/abc"
	"undersong/internal/sheet/song"
	"undersong/internal/test/material"
	"undersong/internal/test/outside"
)

// played are notes as "onset in quarters: key", the highest at each onset.
type played map[float64]int

func (p played) add(at float64, key int) {
	at = math.Round(at*24) / 24
	p[at] = max(p[at], key)
}

// ours is what we read.
func ours(t testing.TB, text string) played {
	s, err := abc.Read([]byte(text), "", song.Wish{})
	require.NoError(t, err, text)
	all := played{}
	for _, n := range s.Dump().Melody {
		all.add(n.Onset, n.Midi)
	}
	return all
}

// theirs is what abc2midi reads.
func theirs(t testing.TB, program, text string) played {
	dir := t.TempDir()
	in, out := filepath.Join(dir, "tune.abc"), filepath.Join(dir, "tune.mid")
	text = strings.Replace(text, "\nK:", "\n%%MIDI gchordoff\n%%MIDI chordattack 0\nK:", 1) // no accompaniment, nothing broken
	require.NoError(t, os.WriteFile(in, []byte(text), 0o600))
	said, err := exec.Command(program, in, "-o", out).CombinedOutput()
	require.NoError(t, err, "%s", said)
	src, err := os.ReadFile(out)
	require.NoError(t, err, "%s", said)
	p, err := smf.Read(bytes.NewReader(src), out)
	require.NoError(t, err)
	all := played{}
	for i, e := range p.Events {
		if e.Kind() == 0x90 && e.Data2 > 0 {
			all.add(float64(p.Ticks[i])/float64(p.TicksPerQuarter), int(e.Data1))
		}
	}
	return all
}

// Macros (9) abc2midi does not have, nor does it multiply the lengths in and behind
// a chord (4.17). The tunes are examples of the standard (sections beside them, 13 for its sample
// tunes, some of their lines left out) and lines made up for one rule each.
func TestAbc2midiReadsTheSameNotes(t *testing.T) {
	program := outside.Program(t, outside.Require, "abc2midi", "abcmidi")
	for name, text := range map[string]string{
		"accidentals 4.2, 11.3":  "K:D\n^G G _B b | =c c' C | c C^^F__A|]",
		"lengths 4.3":            "K:C\nA2A3A/A/2A//A/4A3/2 A7 | z2 x2 C4|]",
		"broken rhythm 4.4":      "K:C\na>b c<d abcd | a>>b c<<d a>>>b c2|]",
		"ties 4.11":              "K:C\nabc-|cba c4-|c4 ^f4-|f4 f4|]",
		"tuplets 4.13":           "K:C\n(3abc (2ab (4abcd | (3:2:2 G4c2 (3:2:4 G2A2Bc | (5abcde (6abcabc (9abcabcabc|]",
		"compound tuplets 4.13":  "M:6/8\nK:C\n(3abc (2ab | (4abcd (5abcde (7abcdefg|]",
		"chords 4.17":            "K:C\n[CEGc]2 [CEG]2 [d2f2][ce][df]|]",
		"bars of rest 4.5":       "M:2/4\nK:C\nZ4|CD EF|GA Bc|]",
		"modes 3.1.14":           "K:D dorian\nDEFG ABcd|[K:E phrygian]DEFG ABcd|[K:FLyd]FGAB cdef|[K:AMix]ABcd efga|[K:D =c]DEFG ABcd|]",
		"meter and unit 3.2":     "M:6/8\nK:C\nE2E EFE|E2E EFG|[M:9/8] A2G F2E D2|[L:1/16]CDEF|]",
		"transposed 4.6":         "K:C transpose=-2\nCDEF GABc|]",
		"treble-8 4.6":           "K:C clef=treble-8\nCDEF GABc|]",
		"repeats 4.8":            "K:C\n|:C8|D8::E8|F8:|G8|]",
		"without a beginning":    "K:C\nC8|D8:|E8|F8:|G8|]",
		"endings 4.9":            "K:C\n|:C8|1 D8:|2 E8|]",
		"endings 4.10":           "K:C\n|:C8|[1,3 D8:|[2 E8:|[4 F8|]",
		"parts 3.1.9":            "P:(AB)2.A3\nK:C\nP:A\n|:C8|1 D8:|2 E8||\nP:B\nF8|]",
		"Dusty Miller 13.1":      "M:3/4\nK:G\nB>cd BAG|FA Ac BA|B>cd BAG|DG GB AG:|\nBdd gfg|aA Ac BA|Bdd gfa|gG GB AG:|\nBG G/2G/2G BG|FA Ac BA|BG G/2G/2G BG|DG GB AG:|",
		"Old Sir Simon 13.1":     "M:9/8\nK:G\nD|GFG GAG G2D|GFG GAG F2D|EFE EFE EFG|A2G F2E D2:|\nD|GAG GAB d2D|GAG GAB c2D|[1 EFE EFE EFG|A2G F2E D2:|\\\nM:12/8\n[2 E2E EFE E2E EFG|\\\nM:9/8\nA2G F2E D2|]",
		"William and Nancy 13.1": "P:(AB)2(AC)2A\nM:6/8\nK:G\n[P:A] D|\"G\"G2G GBd|\"C\"e2e \"G\"dBG|\"D7\"A2d \"G\"BAG|\"C\"E2\"D7\"F \"G\"G2:|\n[P:B] d|\"G\"e2d B2d|\"C\"gfe \"G\"d2d| \"G\"e2d    B2d|\"C\"gfe    \"D7\"d2c|\n\"G\"B2B Bcd|\"C\"e2e \"G\"dBG|\"D7\"A2d \"G\"BAG|\"C\"E2\"D7\"F \"G\"G2:|\n[T:Slows][M:4/4][L:1/4][P:C]\"G\"d2|\"C\"e2 \"G\"d2|B2 d2|\"Em\"gf \"A7\"e2|\"D7\"d2 \"G\"d2|\\\n\"C\"e2 \"G\"d2|[M:3/8][L:1/8] \"G\"B2 d |[M:6/8] \"C\"gfe \"D7\"d2c|\n\"G\"B2B Bcd|\"C\"e2e \"G\"dBG|\"D7\"A2d \"G\"BAG|\"C\"E2\"D7\"F \"G\"G2:|",
		"A. A. Cameron's 13.2":   "M:4/4\nK:D\ne<A A2 B>G d>B|e<A A2 d>g (3fed|e<A A2 B>G d>B|B<G G>B d>g (3fed:|\nB<e e>f g>e a>f|B<e e>f g>e (3fed|B<e e>f g>e a>f|d<B G>B d>g (3fed:|",
		"Kitchen Girl 13.3":      "M:4/4\nK:D\n[c4a4] [B4g4]|efed c2cd|e2f2 gaba|g2e2 e2fg|\na4 g4|efed cdef|g2d2 efed|c2A2 A4:|\nK:G\nABcA BAGB|ABAG EDEG|A2AB c2d2|e3f edcB|ABcA BAGB|\nABAG EGAB|cBAc BAG2|A4 A4:|",
	} {
		text = "X:1\nT:" + name + "\nM:4/4\nL:1/8\n" + text + "\n"
		assert.Equal(t, theirs(t, program, text), ours(t, text), fmt.Sprintf("%s\n%s", name, text))
	}
}

// What abc2midi does not know is that |:: is played three times (4.8): charts are
// written for it as if it were twice.
func TestAbc2midiReadsChartsThatWeWrite(t *testing.T) {
	program := outside.Program(t, outside.Require, "abc2midi", "abcmidi")
	for name, c := range material.DemoCharts(t) {
		if !c.HasMelody() {
			continue
		}
		for _, b := range c.Bars() {
			b.Times = min(b.Times, 2)
		}
		text := string(abc.Write(c))
		all := played{}
		for _, n := range song.FromChart(c).Dump().Melody {
			all.add(n.Onset, n.Midi)
		}
		assert.Equal(t, all, theirs(t, program, text), name)
		assert.Equal(t, all, ours(t, text), name)
	}
}
