package score

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/material"
)

func tune(t testing.TB, m, bars string) *chart.Chart {
	t.Helper()
	c := material.Chart(t, "title: Test\nkey: C\nmeter: "+m+"\n\n"+bars+"\n")
	return c
}

func build(t testing.TB, m, bars, name string, o Options) *Score {
	t.Helper()
	p := material.Shipped(t, name)
	s, err := Build(tune(t, m, bars), p, o)
	require.NoError(t, err)
	return s
}

func own(t testing.TB, m, grid string, rows ...string) *pattern.Pattern {
	t.Helper()
	p := material.Pattern(t, "name: own\nmeter: "+m+"\ngrid: "+grid+"\n"+strings.Join(rows, "\n")+"\n")
	return p
}

// spell lists the wants of a hand as "bar.beat keys", spelled by their chord.
func spell(s *Score, h pattern.Hand) string {
	var all []string
	for i := range s.Wants {
		w := &s.Wants[i]
		if w.Hand != h {
			continue
		}
		var keys []string
		for _, k := range w.Keys() {
			keys = append(keys, k.Spell(w.Chord.Spell(k.Class(), s.Key)).String())
		}
		all = append(all, fmt.Sprintf("%d.%g %s", s.Bars[w.Bar].Number, w.Beat, strings.Join(keys, "+")))
	}
	return strings.Join(all, ", ")
}

func TestPatternsOfTheHandbooks(t *testing.T) {
	// Music Theory for the 21st-Century Classroom 14.3 (low-high-middle-high) and 14.5
	// (offbeats); Joplin, Maple Leaf Rag, and printed waltzes (music21 corpus).
	for _, c := range []struct{ meter, bars, pattern, left, right string }{
		{"4/4", "| C |", "low-high-middle-high", "1.1 C3, 1.1.5 G3, 1.2 E3, 1.2.5 G3, 1.3 C3, 1.3.5 G3, 1.4 E3, 1.4.5 G3", ""},
		{"3/4", "| C |", "waltz", "1.1 C3", "1.2 C4+E4+G4, 1.3 C4+E4+G4"},
		{"4/4", "| C |", "two-beat", "1.1 C3, 1.3 G2", "1.2 C4+E4+G4, 1.4 C4+E4+G4"},
		{"4/4", "| C |", "long-bass-offbeats", "1.1 C3", "1.1.5 C4+E4+G4, 1.2.5 C4+E4+G4, 1.3.5 C4+E4+G4, 1.4.5 C4+E4+G4"},
		{"4/4", "| C | F |", "walking-quarters", "1.1 C3, 1.2 E3, 1.3 G3, 1.4 E2, 2.1 F2, 2.2 A2, 2.3 C3, 2.4 B2", "1.1 C4+E4+G4, 2.1 C4+F4+A4"},
		{"2/4", "| Db |", "two-beat-short", "1.1 Db3, 1.2 Ab2", "1.1.5 Db4+F4+Ab4, 1.2.5 Db4+F4+Ab4"},
	} {
		s := build(t, c.meter, c.bars, c.pattern, Options{})
		assert.Equal(t, c.left, spell(s, pattern.Left), c.pattern)
		assert.Equal(t, c.right, spell(s, pattern.Right), c.pattern)
	}
}

func TestBackbeatAccentsTwoAndFour(t *testing.T) {
	// Open Music Theory v2, "Drumbeats": the backbeat is an accent on 2 and 4.
	s := build(t, "4/4", "| C |", "backbeat", Options{})
	for _, w := range s.Wants {
		assert.Equal(t, w.Beat == 2 || w.Beat == 4, w.Accent)
	}
}

func TestChordsThatChangeInsideABar(t *testing.T) {
	for name, c := range map[string]struct{ meter, bars, pattern, left, right string }{
		"half bar, the pattern begins again": {"4/4", "| C G |", "two-beat", "1.1 C3, 1.3 G2", "1.2 C4+E4+G4, 1.4 B3+D4+G4"},
		"whole bar block struck again":       {"4/4", "| C G |", "block-whole", "1.1 C3, 1.3 G2", "1.1 C4+E4+G4, 1.3 B3+D4+G4"},
		"held bass struck again":             {"4/4", "| C . . G |", "driving-quarters", "1.1 C3, 1.4 G2", "1.1 C4+E4+G4, 1.2 C4+E4+G4, 1.3 C4+E4+G4, 1.4 B3+D4+G4"},
		"third beat of a waltz goes on":      {"3/4", "| C . G |", "waltz", "1.1 C3", "1.2 C4+E4+G4, 1.3 B3+D4+G4"},
		"approach before the change":         {"4/4", "| C F |", "walking-quarters", "1.1 C3, 1.2 E2, 1.3 F2, 1.4 B2", "1.1 C4+E4+G4, 1.3 C4+F4+A4"},
		"no chord is silence":                {"4/4", "| C | N.C. | C |", "block-whole", "1.1 C3, 3.1 C3", "1.1 C4+E4+G4, 3.1 C4+E4+G4"},
		"a new chord brings its root":        {"3/4", "| C | G |", "waltz-root-fifth", "1.1 C3, 2.1 G2", "1.2 C4+E4+G4, 1.3 C4+E4+G4, 2.2 B3+D4+G4, 2.3 B3+D4+G4"},
		"the same chord swings to the fifth": {"3/4", "| C | C |", "waltz-root-fifth", "1.1 C3, 2.1 G2", "1.2 C4+E4+G4, 1.3 C4+E4+G4, 2.2 C4+E4+G4, 2.3 C4+E4+G4"},
		"a slash chord gives its bass":       {"4/4", "| C/E |", "block-whole", "1.1 E2", "1.1 C4+E4+G4"},
		"a figure climbs from a slash bass":  {"4/4", "| F/A |", "broken-up", "1.1 A3, 1.2 C4, 1.3 F4, 1.4 A4", ""},
		"a foreign bass is kept":             {"4/4", "| C/F# |", "block-whole", "1.1 F#2", "1.1 C4+E4+G4"},
	} {
		s := build(t, c.meter, c.bars, c.pattern, Options{})
		assert.Equal(t, c.left, spell(s, pattern.Left), name)
		assert.Equal(t, c.right, spell(s, pattern.Right), name)
	}
}

func TestInversionsAsAsked(t *testing.T) {
	c := tune(t, "4/4", "| C | F | G7 |")
	for cell, want := range map[string]string{
		"ch0":  "1.1 C4+E4+G4, 2.1 F4+A4+C5, 3.1 G3+B3+D4+F4",
		"ch1":  "1.1 E4+G4+C5, 2.1 A3+C4+F4, 3.1 B3+D4+F4+G4",
		"ch2":  "1.1 G3+C4+E4, 2.1 C4+F4+A4, 3.1 D4+F4+G4+B4",
		"chn":  "1.1 C4+E4+G4, 2.1 C4+F4+A4, 3.1 B3+D4+F4+G4",
		"ch-1": "1.1 E4+G4, 2.1 C4+A4, 3.1 B3+D4+F4",
	} {
		s, err := Build(c, own(t, "any", "bars", "right: "+cell), Options{})
		require.NoError(t, err)
		assert.Equal(t, want, spell(s, pattern.Right), cell)
	}
}

func TestDurationsAndSwing(t *testing.T) {
	s, err := Build(tune(t, "4/4", "| C | C |"), own(t, "4/4", "eighths", "feel: swung 2:1", "left: 1 5 - . 1 - - -"), Options{})
	require.NoError(t, err)
	var got []string
	for _, w := range s.Wants[:3] {
		got = append(got, fmt.Sprintf("%d+%d", w.At, w.Dur))
	}
	assert.Equal(t, []string{"0+640", "640+960", "1920+1920"}, got)
}

func TestUpbeatAndSpan(t *testing.T) {
	src := "title: T\nkey: F\nmeter: 3/4\nupbeat: 1\n\nC7 | F | Bb | C7 | F |\n"
	c := material.Chart(t, src)
	p := material.Shipped(t, "waltz")
	s, err := Build(c, p, Options{})
	require.NoError(t, err)
	assert.Equal(t, meter.Quarter, s.Wants[0].At, "bar 1 comes after the upbeat")
	assert.Equal(t, 1, s.Bars[s.Wants[0].Bar].Number)

	s, err = Build(c, p, Options{Span: Span{2, 3}})
	require.NoError(t, err)
	assert.Len(t, s.Bars, 2)
	assert.Zero(t, s.Wants[0].At)
	assert.Equal(t, "Bb", s.Wants[0].Chord.String())

	for _, span := range []Span{{0, 2}, {3, 2}, {2, 9}, {9, 9}} {
		_, err = Build(c, p, Options{Span: span})
		var se *SpanError
		assert.ErrorAs(t, err, &se, "%v", span)
	}
}

func TestMeterThatDoesNotFit(t *testing.T) {
	p := material.Shipped(t, "waltz")
	_, err := Build(tune(t, "4/4", "| C |"), p, Options{})
	assert.ErrorContains(t, err, `pattern "waltz" is in 3/4 and cannot be played in 4/4`)
}

func TestOffTheKeyboard(t *testing.T) {
	_, err := Build(tune(t, "4/4", "| C |"), own(t, "4/4", "quarters", "left: 1,,, . . ."), Options{})
	assert.ErrorContains(t, err, "leaves the keyboard in bar 1, beat 1")
}

// Every shipped pattern in every key keeps each hand where it can play: on the
// keyboard, the left below the right at one stroke, and no hand too wide.
func TestEveryPatternInEveryKeyIsPlayable(t *testing.T) {
	for _, p := range material.Catalogue(t).Of(pattern.Accompaniment) {
		for _, m := range meter.Known() {
			if !p.Fits(m) {
				continue
			}
			c := tune(t, m.String(), "| C | Am | F/A | G7 | Bdim | Csus4 | Dm7 | C |")
			material.Sing(c)
			for f := -7; f <= 7; f++ {
				key := pitch.Key{Tonic: pitch.NoteAtFifths(f)}
				s, err := Build(c, p, Options{Key: &key})
				require.NoError(t, err, "%s in %s", p.Name, key)
				assertPlayable(t, s)
			}
		}
	}
}

// A hand opens over an octave only where the pattern says so, by a degree over
// the octave, octave marks or an open shape; then to a tenth at most, which is
// a fourth over the octave where the chord has that for its third.
const (
	octave      = 12
	widestReach = 17
)

// farApart reports a pattern that says so in a hand.
func farApart(p *pattern.Pattern, h pattern.Hand) bool {
	for _, c := range p.Rows[h] {
		for _, tone := range c.Tones {
			if tone.Degree > 8 || tone.Octave != 0 {
				return true
			}
		}
		if c.Shape != pattern.Close {
			return true
		}
	}
	return false
}

func assertPlayable(t *testing.T, s *Score) {
	t.Helper()
	last := meter.Ticks(-1)
	for i := range s.Wants {
		w := &s.Wants[i]
		keys := w.Keys()
		require.NotEmpty(t, keys)
		where := fmt.Sprintf("%s in %s, bar %d beat %g: %v", s.Pattern.Name, s.Key, s.Bars[w.Bar].Number, w.Beat, keys)
		assert.GreaterOrEqual(t, w.At, last, where)
		last = w.At
		require.Positive(t, int(w.Dur), where)
		span := int(keys[len(keys)-1] - keys[0])
		assert.LessOrEqual(t, span, widestReach, where)
		assert.True(t, span <= octave || farApart(s.Pattern, w.Hand), where)
		if w.Hand == pattern.Left {
			assert.GreaterOrEqual(t, int(keys[0]), 32, where)
			assert.LessOrEqual(t, int(keys[len(keys)-1]), 76, where)
		} else {
			lowest, highest := 53, 90
			if w.Role == Melody {
				lowest, highest = 50, 93 // the tune goes where it goes
			}
			assert.GreaterOrEqual(t, int(keys[0]), lowest, where)
			assert.LessOrEqual(t, int(keys[len(keys)-1]), highest, where)
		}
		for j, tone := range w.Tones {
			assert.True(t, tone.Accept.Has(tone.Key.Class()), where)
			if j > 0 {
				assert.Greater(t, tone.Key, keys[j-1], where)
			}
		}
		if i > 0 && s.Wants[i-1].At == w.At {
			below := s.Wants[i-1].Keys()
			assert.Less(t, below[len(below)-1], keys[0], where)
		}
	}
}

func TestHarmoniesFillTheScore(t *testing.T) {
	s := build(t, "4/4", "| C | C G | Am |", "block-whole", Options{})
	require.Len(t, s.Harmonies, 3)
	at := meter.Ticks(0)
	for i, h := range s.Harmonies {
		assert.Equal(t, at, h.At)
		assert.Equal(t, i, s.HarmonyAt(h.At))
		assert.Equal(t, i, s.HarmonyAt(h.End-1))
		at = h.End
	}
	assert.Equal(t, s.Length, at)
	assert.Equal(t, 2, s.HarmonyAt(s.Length+5))
	assert.Equal(t, 2, s.BarAt(s.Length+5))
	assert.Equal(t, 0, s.BarAt(-5))
}
