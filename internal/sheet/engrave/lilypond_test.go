package engrave_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/smf"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/engrave"
)

// A second reader: LilyPond takes what is written for it without a word, and its MIDI
// has the notes of MusicXML.
func TestLilyPondPlaysTheSameNotes(t *testing.T) {
	if testing.Short() {
		t.Skip("LilyPond takes seconds")
	}
	if _, err := exec.LookPath("lilypond"); err != nil {
		t.Skip("no LilyPond here (Debian: lilypond)")
	}
	for _, name := range []string{"clementine", "lanterns-on-the-weir"} {
		s, _ := withParts(t, name)
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, "a.ly"), []byte(engrave.LilyPond(s, engrave.Options{})), 0o600))
		c := exec.Command("lilypond", "-s", "a.ly")
		c.Dir = dir
		said, err := c.CombinedOutput()
		require.NoError(t, err, string(said))
		assert.Empty(t, string(said), name)
		midi, err := os.ReadFile(filepath.Join(dir, "a.midi"))
		require.NoError(t, err)
		p, err := smf.Read(bytes.NewReader(midi), name)
		require.NoError(t, err)
		var got, want []string
		for i, e := range p.Events {
			if e.IsNoteOn() {
				got = append(got, fmt.Sprintf("%7.3f %d", float64(p.Ticks[i])/float64(p.Division.TicksPerQuarter), e.Data1))
			}
		}
		notes, _ := read(t, engrave.MusicXML(s, engrave.Options{}))
		for _, n := range notes {
			want = append(want, fmt.Sprintf("%7.3f %d", float64(n.at)/float64(meter.Quarter), n.key))
		}
		slices.Sort(got)
		slices.Sort(want)
		assert.Equal(t, slices.Compact(want), slices.Compact(got), name)
	}
}
