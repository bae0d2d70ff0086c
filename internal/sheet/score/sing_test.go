package score

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
)

// lengths of the words in sung: q is a quarter.
var lengths = map[string]meter.Ticks{"w": meter.Whole, "d": meter.Half + meter.Quarter, "h": meter.Half, "q": meter.Quarter, "e": meter.Eighth}

// sung is a chart with a tune of words such as E4q, a bar to each string; a word
// that ends in ! ends a phrase, and R is a rest.
func sung(t testing.TB, m, chords string, bars ...string) *chart.Chart {
	t.Helper()
	c := tune(t, m, chords)
	for i, bar := range bars {
		at := meter.Ticks(0)
		for _, word := range strings.Fields(bar) {
			word, ends := strings.CutSuffix(word, "!")
			name, l := word[:len(word)-1], lengths[word[len(word)-1:]]
			require.NotZero(t, l, word)
			if name != "R" {
				p, err := pitch.ParsePitch(name)
				require.NoError(t, err)
				b := c.Bars()[i]
				b.Melody = append(b.Melody, melody.Note{At: at, Dur: l, Pitch: p, Ends: ends})
			}
			at += l
		}
	}
	return c
}

func sing(t testing.TB, c *chart.Chart, grid string, rows ...string) *Score {
	t.Helper()
	s, err := Build(c, own(t, c.Meter.String(), grid, rows...), Options{})
	require.NoError(t, err)
	return s
}

func TestTheTuneInARow(t *testing.T) {
	for name, c := range map[string]struct {
		chords, tune, grid string
		row                string
		want               string
	}{
		"as written":                         {"| C |", "E4h G4q A4q", "halves", "tu tu", "1.1 E4 1.3 G4 1.4 A4"},
		"a hold goes on with it":             {"| C |", "E4h G4q A4q", "quarters", "tu - - -", "1.1 E4 1.3 G4 1.4 A4"},
		"a rest is silent":                   {"| C |", "E4q D4q G4q A4q", "quarters", "tu . tu .", "1.1 E4 1.3 G4"},
		"an octave up":                       {"| C |", "E4w", "halves", "tu' tu", "1.1 E5"},
		"over the chord":                     {"| C |", "E4h G4q A4q", "halves", "tu+ch tu+ch", "1.1 G3+C4+E4 1.3 C4+E4+G4 1.4 A4"},
		"over the chord at each chord":       {"| C F |", "E4h F4q A4q", "quarters", "tu+ch - - -", "1.1 G3+C4+E4 1.3 A3+C4+F4 1.4 A4"},
		"a foreign note takes its place":     {"| C |", "D5h F5h", "halves", "tu+ch tu+ch", "1.1 E4+G4+D5 1.3 G4+C5+F5"},
		"a seventh without its fifth":        {"| G7 |", "D5h G5h", "halves", "tu+ch tu+ch", "1.1 F4+B4+D5 1.3 B4+D5+G5"},
		"the seventh itself":                 {"| G7 |", "F5h B4h", "halves", "tu+ch tu+ch", "1.1 G4+B4+F5 1.3 F4+G4+B4"},
		"one note under it":                  {"| C |", "E5h A4h", "halves", "tu+* tu+*", "1.1 C5+E5 1.3 E4+A4"},
		"in thirds":                          {"| C |", "E4q F4q G4h", "quarters", "tu+3 - - -", "1.1 C4+E4 1.2 D4+F4 1.3 E4+G4"},
		"in sixths":                          {"| C |", "E4q F4q G4h", "quarters", "tu+6 - - -", "1.1 G3+E4 1.2 A3+F4 1.3 B3+G4"},
		"in octaves":                         {"| C |", "E5q F5q G5h", "quarters", "tu+8 - - -", "1.1 E4+E5 1.2 F4+F5 1.3 G4+G5"},
		"no chord, the tune alone":           {"| N.C. |", "E4w", "halves", "tu+ch tu+ch", "1.1 E4"},
		"early, but not before the start":    {"| C |", "E4q F4q G4q A4q", "eighths", "tu< - tu< - tu< - tu< -", "1.1 E4 1.1.5 F4 1.2.5 G4 1.3.5 A4"},
		"early only where there is room":     {"| C |", "E4q F4e G4e A4h", "eighths", "tu - tu< - tu< - tu< -", "1.1 E4 1.1.5 F4 1.2.5 G4 1.3 A4"},
		"early into the bar before":          {"| C | F |", "E4w|A4w", "eighths", "tu< - - - - - - -", "1.1 E4 1.4.5 A4"},
		"blue third and seventh, not fifth":  {"| C |", "E4q G4q B4q A4q", "quarters", "tub tub tub tub", "1.1 Eb4 1.2 G4 1.3 Bb4 1.4 A4"},
		"a blue note slides into the other":  {"| C |", "E4q G4q B4q A4q", "quarters", "~tub ~tub ~tub ~tub", "1.1 Eb4+E4 1.2 Gb4+G4 1.3 Bb4+B4 1.4 A4"},
		"chords where the pattern says so":   {"| C |", "E4q F4q G4h", "quarters", "tu tu ch ch", "1.1 E4 1.2 F4 1.3 C4+E4+G4 1.4 C4+E4+G4"},
		"a cell that holds over the barline": {"| C | C |", "E4w|G4w", "halves", "- tu+ch", "2.1 C4+E4+G4"},
	} {
		s := sing(t, sung(t, "4/4", c.chords, strings.Split(c.tune, "|")...), c.grid, "right: "+c.row)
		got := strings.NewReplacer(", ", " ", "D#", "Eb", "F#", "Gb", "A#", "Bb").Replace(spell(s, pattern.Right))
		assert.Equal(t, c.want, got, name)
		for i := range s.Wants {
			w := &s.Wants[i]
			assert.Positive(t, int(w.Dur), name)
			if w.Role == Melody {
				assert.Equal(t, w.Keys()[len(w.Tones)-1], w.Tune.Num(), "%s: the tune on top", name)
			}
		}
	}
}

func TestTheTuneAboveTheLeftHand(t *testing.T) {
	c := sung(t, "4/4", "| G7 |", "F4h B3h")
	s := sing(t, c, "halves", "right: tu+ch tu+ch", "left: 1 1")
	assert.Equal(t, "1.1 B3+D4+F4, 1.3 D3+F3+B3", spell(s, pattern.Right), "the left hand has the root")
	s = sing(t, c, "halves", "right: tu+ch tu+ch", "left: 1 1'")
	assert.Equal(t, "1.1 B3+D4+F4, 1.3 B3", spell(s, pattern.Right), "what lies in the left hand's way is left out")
	s = sing(t, c, "halves", "right-low: C4", "right: tu tu", "left: 1 1")
	assert.Equal(t, "1.1 F5, 1.3 B4", spell(s, pattern.Right), "the whole tune goes up into the hand's register")
}

func TestTheTuneSwings(t *testing.T) {
	s := sing(t, sung(t, "4/4", "| C |", "E4e F4e G4h A4q"), "eighths", "feel: swung 2:1", "right: tu - - - - - - -")
	assert.Equal(t, meter.Quarter*2/3, s.Wants[1].At)
	assert.Equal(t, meter.Quarter/3, s.Wants[1].Dur)
	assert.Equal(t, meter.Quarter, s.Wants[2].At)
}

func TestTheTunesPhrasesAndUpbeat(t *testing.T) {
	c := sung(t, "4/4\nupbeat: 1", "C | C | F |", "G4q", "E4q D4q! C4h", "A4h! F4h")
	s := sing(t, c, "halves", "right: tu+ch tu", "left: 1 1")
	assert.Equal(t, "0.4 G4, 1.1 G3+C4+E4, 1.2 D4, 1.3 C4, 2.1 C4+F4+A4, 2.3 F4", spell(s, pattern.Right))
	var anchors []string
	for i := range s.Wants {
		if w := &s.Wants[i]; w.Role == Melody && w.Anchor {
			anchors = append(anchors, w.Tune.String())
		}
	}
	assert.Equal(t, []string{"G4", "C4", "F4"}, anchors, "a phrase may be played in another octave")
}

func TestATuneIsNeeded(t *testing.T) {
	p := own(t, "4/4", "halves", "right: tu tu", "left: 1 1")
	_, err := Build(tune(t, "4/4", "| C |"), p, Options{})
	assert.EqualError(t, err, `pattern "own" plays the tune, and this chart has none: write it on lines that begin with m:, or choose a pattern that leaves the tune to the singer`)
	_, err = Build(sung(t, "4/4", "| C | F |", "E4w", ""), p, Options{Span: Span{2, 2}})
	assert.EqualError(t, err, `pattern "own" plays the tune, and there is none in bars 2-2: take others, or choose a pattern that leaves the tune to the singer`)
	_, err = Build(sung(t, "4/4", "| C |", "E4w"), own(t, "4/4", "halves", "right-low: C7", "right: tu''' tu"), Options{})
	assert.ErrorContains(t, err, "leaves the keyboard in bar 1, beat 1")
}
