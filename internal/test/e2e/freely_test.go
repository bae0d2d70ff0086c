package e2e

import (
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// one is a key that is down for most of some beats.
func one(at, beats float64, key byte) []timed {
	return []timed{{at, fmt.Sprintf("90%02x46", key)}, {at + 0.85*beats, fmt.Sprintf("80%02x40", key)}}
}

func quarters(keys ...byte) (all []timed) {
	for i, k := range keys {
		all = append(all, one(float64(i), 1, k)...)
	}
	return all
}

// ordered sorts by time.
func ordered(all []timed) []timed {
	sort.SliceStable(all, func(i, j int) bool { return all[i].beat < all[j].beat })
	return all
}

// withChart is the stage with another chart.
func (s stage) withChart(t *testing.T, text string) stage {
	s.chart = filepath.Join(t.TempDir(), "own.chart")
	require.NoError(t, os.WriteFile(s.chart, []byte(text), 0o600))
	return s
}

// The beginning of Frère Jacques, written from memory.
const jacques = `title: Frère Jacques
key: C
meter: 4/4
| C | C | C | C |
m: | C2 D2 E2 !breath!C2 | C2 D2 E2 !breath!C2 | E2 F2 !breath!G4 | E2 F2 !breath!G4 |
`

func TestATuneIsFoundByEar(t *testing.T) {
	s := setUp(t).withChart(t, jacques)
	// From G; in the second phrase two keys are too high before B comes.
	notes := quarters(67, 69, 71, 67, 67, 69, 74, 72, 71, 67, 67, 69, 71, 67, 71, 72, 74, 71, 72, 74)
	r := s.perform(t, performance{Notes: notes, Free: 0.2, End: 1, Command: []string{s.binary, "tune", s.chart, "--json", "--in", "grand:out"}})
	assert.Equal(t, []string{
		"start ", "notice listening to grand:out",
		"finding phrase 1 is right", "finding a little lower", "finding phrase 2 is found; now straight through",
		"finding phrase 2 is right", "finding phrase 3 is right", "finding That is the whole tune. Now from beginning to end.",
		"finding phrase 4 is right, 2 times in a row", "summary ",
	}, r.said(t))
}

// said is what each line of JSON is, and its text.
func (r result) said(t *testing.T) (all []string) {
	t.Helper()
	for _, l := range r.parsed(t) {
		all = append(all, l.Type+" "+l.Text)
	}
	return all
}

func TestBassesUnderATuneAreJudged(t *testing.T) {
	s := setUp(t).withChart(t, "title: Own\nkey: C\nmeter: 4/4\n| C | G7 | C | C |\nm: | C2 E2 G2 E2 | D2 F2 D2 B,2 | E2 G2 E2 C2 | C8 |\n")
	notes := quarters(72, 76, 79, 76, 74, 77, 74, 71, 76, 79, 76, 72, 72)
	for i, bass := range []byte{48, 43, 43, 36} { // in bar 3 it stays on G
		notes = append(notes, one(float64(4*i), 4, bass)...)
	}
	// It ends by itself, some seconds after the tune.
	r := s.perform(t, performance{Notes: ordered(notes), Free: 0.2, Command: []string{s.binary, "bass", s.chart, "--json", "--in", "grand:out"}})
	lines := r.parsed(t)
	wrong, right := findings(lines)
	assert.Equal(t, []string{"bar 3 beat 1  misfit"}, wrong)
	assert.Equal(t, 3, right)
	for _, l := range lines {
		if l.Kind == "misfit" {
			assert.Equal(t, []string{"C", "G", "up to C"}, []string{l.Wanted, l.Heard, l.Fix})
		}
	}
	assert.Equal(t, "summary", lines[len(lines)-1].Type)
}

func TestAnAccompanimentIsCaptured(t *testing.T) {
	s := setUp(t)
	file := filepath.Join(t.TempDir(), "mine.pattern")
	var notes []timed
	for bar := range 3 {
		at := float64(3 * bar)
		notes = append(notes, one(at, 1, 48)...)
		for _, k := range []byte{60, 64, 67} {
			notes = append(append(notes, one(at+1, 1, k)...), one(at+2, 1, k)...)
		}
	}
	r := s.perform(t, performance{Notes: ordered(notes), Free: 0.2, Command: []string{
		s.binary, "patterns", "capture", "--chord", "C", "mine", "--to", file, "--force", "--plain", "--in", "grand:out", "--out", "grand-in"}})
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	for _, want := range []string{"name: mine\n", "meter: 3/4\n", "right: . ch ch\n", "left:  1 .  .\n"} {
		assert.Contains(t, string(text), want)
	}
	// Then it is played in G, on the keyboard that it came from.
	played := r.heard(t, 0)
	assert.Empty(t, down(played))
	var first []byte
	for _, m := range played {
		if m.strikes() && len(first) < 4 {
			first = append(first, m.key%12)
		}
	}
	require.Len(t, first, 4)
	assert.Equal(t, byte(7), first[0], "the bass G")
	assert.ElementsMatch(t, []byte{7, 11, 2}, first[1:], "and its chord")
}
