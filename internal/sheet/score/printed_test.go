package score

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/material"
)

// stroke is the keys of one stroke, low to high.
type stroke = []pitch.Num

// strokes are those of a hand in the bar with a number.
func strokes(s *Score, h pattern.Hand, bar int) []stroke {
	var all []stroke
	for i := range s.Wants {
		if w := &s.Wants[i]; w.Hand == h && s.Bars[w.Bar].Number == bar {
			all = append(all, w.Keys())
		}
	}
	return all
}

func up(all []stroke, by pitch.Num) []stroke {
	var moved []stroke
	for _, s := range all {
		var m stroke
		for _, k := range s {
			m = append(m, k+by)
		}
		moved = append(moved, m)
	}
	return moved
}

func TestLeftHandsOfTheBooks(t *testing.T) {
	for _, c := range []struct {
		source, pattern, meter, bars string
		octaves                      int // where the book plays, against the pattern's register
		want                         []stroke
	}{
		{"Mozart, Sonata K. 545, I, bar 1 (music21 corpus)", "low-high-middle-high", "4/4", "| C |", 1,
			[]stroke{{60}, {67}, {64}, {67}, {60}, {67}, {64}, {67}}},
		{"the same, bar 3", "low-high-middle-high", "4/4", "| F/C C |", 1,
			[]stroke{{60}, {69}, {65}, {69}, {60}, {67}, {64}, {67}}},
		{"the same, bar 4", "low-high-middle-high", "4/4", "| G/B C |", 1,
			[]stroke{{71}, {79}, {74}, {79}, {60}, {67}, {64}, {67}}}, // its B lies an octave lower in print
		{"encyclopedia on stride piano: a note on 1 and 3, the chord on 2 and 4", "stride", "4/4", "| C |", 0,
			[]stroke{{36}, {52, 55, 60}, {43}, {52, 55, 60}}},
		{"the same: a tenth on 1", "stride-tenths", "4/4", "| C |", 0,
			[]stroke{{36, 52}, {52, 55, 60}, {43, 55}, {52, 55, 60}}},
		{"1 3 5 6 b7 6 5 3, as taught to bass guitarists", "boogie-climb", "4/4", "| C |", 0,
			[]stroke{{36}, {40}, {43}, {45}, {46}, {45}, {43}, {40}}},
		{"habanera; pitches an example", "habanera", "2/4", "| C |", 0, []stroke{{48}, {55}, {60}, {55}}},
		{"waltz: the root, then the chord as a block", "waltz-one-hand", "3/4", "| C |", 0, []stroke{{36}, {52, 55, 60}, {52, 55, 60}}},
		{"open position (Open Music Theory): root, fifth, third above", "arpeggio-open-tenth", "4/4", "| C |", 0,
			[]stroke{{36}, {43}, {52}, {43}, {36}, {43}, {52}, {43}}},
	} {
		s := build(t, c.meter, c.bars, c.pattern, Options{})
		assert.Equal(t, c.want, up(strokes(s, pattern.Left, 1), pitch.Num(12*c.octaves)), c.source)
	}
}

func classes(s stroke) chord.Set {
	var set chord.Set
	for _, k := range s {
		set = set.With(k.Class())
	}
	return set
}

func TestMapleLeafRag(t *testing.T) {
	// Joplin, Maple Leaf Rag (1899), file bar 53 (music21 corpus): Db, left hand in
	// eighths. The chords may lie in any inversion.
	printed := []stroke{{37, 49}, {56, 61, 65}, {44, 56}, {56, 61, 65}}
	ours := strokes(build(t, "2/4", "| Db |", "ragtime-octaves", Options{}), pattern.Left, 1)
	require.Len(t, ours, len(printed))
	for i, p := range printed {
		if len(p) == 2 {
			assert.Equal(t, p, ours[i], "the bass in octaves")
			continue
		}
		assert.Equal(t, classes(p), classes(ours[i]))
		assert.Greater(t, ours[i][0], printed[0][1], "the chord lies above the octave")
	}
}

func TestMazurka(t *testing.T) {
	// Chopin, Mazurka op. 6 no. 2, bars 9 and 10 (music21 corpus): the bass on 1,
	// the chord on 2 and 3.
	s := build(t, "3/4", "| G#7/B# | C#m |", "waltz-one-hand", Options{})
	for bar, printed := range map[int][]stroke{
		1: {{48}, {56, 63, 66}, {56, 63, 66}},
		2: {{49}, {56, 61, 64}, {56, 61, 64}},
	} {
		ours := strokes(s, pattern.Left, bar)
		require.Len(t, ours, 3)
		assert.Equal(t, printed[0][0].Class(), ours[0][0].Class(), "bar %d", bar)
		for i := 1; i < 3; i++ {
			assert.Zero(t, classes(printed[i])&^classes(ours[i]), "bar %d: the printed chord leaves a note out, no other", bar)
			assert.Greater(t, ours[i][0], ours[0][0])
		}
	}
}

func TestSuspensionsResolve(t *testing.T) {
	// Music Theory for the 21st-Century Classroom 10.9: 4-3 and 9-8, over C the
	// steps F to E and D to C.
	for name, voice := range map[string][2]pitch.Num{"suspended-fourth": {65, 64}, "suspended-ninth": {74, 72}} {
		s := build(t, "4/4", "| C |", name, Options{})
		r := strokes(s, pattern.Right, 1)
		require.Len(t, r, 2, name)
		assert.Contains(t, r[0], voice[0], name)
		assert.NotContains(t, r[0], voice[1], name)
		assert.Contains(t, r[1], voice[1], name)
		assert.NotContains(t, r[1], voice[0], name)
	}
}

func TestBoogieThroughTheTwelveBars(t *testing.T) {
	// Open Music Theory, "The blues progression": I I I I, IV IV I I, V IV I I.
	roots := []pitch.Class{0, 0, 0, 0, 5, 5, 0, 0, 7, 5, 0, 0}
	for _, name := range []string{"boogie-climb", "boogie-octaves", "boogie-rocking", "shuffle", "rock-eighths"} {
		s := build(t, "4/4", "| C7 | C7 | C7 | C7 |\n| F7 | F7 | C7 | C7 |\n| G7 | F7 | C7 | C7 |", name, Options{})
		for i, root := range roots {
			bar := strokes(s, pattern.Left, i+1)
			assert.Equal(t, root, bar[0][0].Class(), "%s, bar %d", name, i+1)
			if name != "shuffle" {
				assert.Len(t, bar, 8, "%s: eight to the bar", name)
			}
		}
	}
}

func TestBoogieBassesOverOneFourFive(t *testing.T) {
	// Seen on a bass-guitar lesson page: 1 3 5 6 b7 6 5 3; the others common
	// practice, no source.
	degrees := map[string][]int{"boogie-climb": {0, 4, 7, 9, 10, 9, 7, 4}, "boogie-octaves": {0, 12, 4, 16, 7, 19, 9, 21}, "boogie-rocking": {0, 0, 0, 0, 0, 0, 0, 0}}
	for name, above := range degrees {
		s := build(t, "4/4", "| C7 | F7 | G7 |", name, Options{})
		for bar := 1; bar <= 3; bar++ {
			l := strokes(s, pattern.Left, bar)
			require.Len(t, l, 8, name)
			for i := range l {
				assert.Equal(t, l[0][0]+pitch.Num(above[i]), l[i][0], "%s, bar %d", name, bar)
			}
		}
	}
}

func TestASyncopatedTune(t *testing.T) {
	// Open Music Theory, "Syncopation in pop/rock music": four quarters become an
	// eighth, then quarters an eighth early: onsets 0 1 3 5 of 8.
	p := material.Shipped(t, "tune-syncopated")
	s, err := Build(sung(t, "4/4", "| C |", "E4q F4q G4q A4q"), p, Options{})
	require.NoError(t, err)
	var onsets []int
	for i := range s.Wants {
		if w := &s.Wants[i]; w.Role == Melody {
			onsets = append(onsets, int(w.At/meter.Eighth))
		}
	}
	assert.Equal(t, []int{0, 1, 3, 5}, onsets)
}

func TestBlueNotes(t *testing.T) {
	// Flat third, flat fifth and flat seventh against the major key: common practice,
	// no source.
	s := sing(t, sung(t, "4/4", "| C |", "E4q G4q B4q A4q"), "quarters", "right: tub - - -")
	for i, flat := range []pitch.Class{3, 6, 10} {
		tone := s.Wants[i].Tones[0]
		assert.True(t, tone.Accept.Has(flat) && tone.Accept.Has(flat+1), "either is right")
	}
	assert.Equal(t, chord.Set(0).With(9), s.Wants[3].Tones[0].Accept)
}

func TestChordNotesUnderATune(t *testing.T) {
	// Open Music Theory, "Composing in basso-continuo style": the right hand spans no
	// more than an octave.
	for _, name := range []string{"tune-full", "tune-hymn", "tune-rolled", "tune-one-under", "tune-in-thirds", "tune-in-sixths", "tune-in-octaves"} {
		p := material.Shipped(t, name)
		c := tune(t, "4/4", "| C | Am | F/A | G7 | Bdim | Csus4 | Dm7 | C |")
		material.Sing(c)
		s, err := Build(c, p, Options{})
		require.NoError(t, err)
		under := 0
		for i := range s.Wants {
			if w := &s.Wants[i]; w.Role == Melody {
				keys := w.Keys()
				assert.LessOrEqual(t, int(keys[len(keys)-1]-keys[0]), 12, name)
				under += len(keys) - 1
			}
		}
		assert.GreaterOrEqual(t, under, 8, name)
	}
}

func TestInversionsByName(t *testing.T) {
	// Open Music Theory 2, "Inversion and Figured Bass": A, A/C#, A/E.
	for name, lowest := range map[string]pitch.Class{"block-root": 9, "block-first": 1, "block-second": 4} {
		assert.Equal(t, lowest, strokes(build(t, "4/4", "| A |", name, Options{}), pattern.Right, 1)[0][0].Class(), name)
	}
	r := strokes(build(t, "4/4", "| A |", "inversions-climb", Options{}), pattern.Right, 1)
	assert.Equal(t, []stroke{{57, 61, 64}, {61, 64, 69}, {64, 69, 73}, {61, 64, 69}}, r)
}

func TestTheChordAnOctaveAboveItsBass(t *testing.T) {
	for _, name := range []string{"C", "F#", "Bb", "Am"} {
		s := build(t, "4/4", "| "+name+" |", "octave-above", Options{})
		assert.Equal(t, strokes(s, pattern.Left, 1)[0][0]+12, strokes(s, pattern.Right, 1)[0][0], name)
	}
}

func TestWalksLeadIntoEachChord(t *testing.T) {
	for name, steps := range map[string][]int{"walking-half-steps": {1}, "walking-scale": {1, 2}, "walking-quarters": {1, 2}} {
		s := build(t, "4/4", "| C | Am | F/A | G7 | Bdim | Dm7 |", name, Options{})
		for bar := 1; bar < 6; bar++ {
			l := strokes(s, pattern.Left, bar)
			next := strokes(s, pattern.Left, bar+1)[0][0]
			d := int(next.Class().Above(l[3][0].Class()))
			assert.Contains(t, steps, min(d, 12-d), "%s, bar %d", name, bar)
		}
	}
}
