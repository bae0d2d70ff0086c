package finding

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

// twoBars is C and G7 in whole notes, with the stroke of each hand in each bar.
func twoBars(t *testing.T) (s *score.Score, bass, chord [2]int) {
	t.Helper()
	s, err := score.Build(material.Chart(t, "key: C\nmeter: 4/4\n\n| C | G7 |\n"), material.Shipped(t, "block-whole"), score.Options{})
	require.NoError(t, err)
	require.Len(t, s.Wants, 4)
	for i, w := range s.Wants {
		if w.Hand == pattern.Left {
			bass[w.Bar] = i
		} else {
			chord[w.Bar] = i
		}
	}
	return s, bass, chord
}

func keys(t *testing.T, names ...string) (k Keys) {
	t.Helper()
	for _, n := range names {
		p, err := pitch.ParsePitch(n)
		require.NoError(t, err)
		k.Add(p.Num())
	}
	return k
}

// Tones of a chord, by letters above its root.
const fifth, seventh = 4, 6

func TestAspects(t *testing.T) {
	s, basses, chords := twoBars(t)
	bass, chord := basses[1], chords[1]
	tune := *s
	tune.Wants = slices.Clone(s.Wants)
	tune.Wants[chord].Role = score.Melody
	for _, c := range []struct {
		name   string
		s      *score.Score
		f      Finding
		want   Aspect
		lacked Degrees
	}{
		{"a bass that never came", s, Finding{Kind: Missing, Want: bass, Goal: keys(t, "G2")}, Whole, 0},
		{"a forgotten seventh", s, Finding{Kind: Missing, Want: chord, Heard: keys(t, "G4", "B4", "D5"), Goal: keys(t, "G4", "B4", "D5", "F5")}, Tones, 1 << seventh},
		{"a forgotten fifth and seventh", s, Finding{Kind: Missing, Want: chord, Heard: keys(t, "G4", "B4"), Goal: keys(t, "G4", "B4", "D5", "F5")}, Tones, 1<<fifth | 1<<seventh},
		{"a bass an octave off", s, Finding{Kind: WrongBass, Want: bass, Heard: keys(t, "G3"), Goal: keys(t, "G2")}, Octave, 0},
		{"the first bass an octave off", s, Finding{Kind: WrongBass, Want: 0, Heard: keys(t, "C2"), Goal: keys(t, "C3")}, Octave, 0},
		{"a note an octave off", s, Finding{Kind: WrongNote, Want: bass, Heard: keys(t, "G1"), Goal: keys(t, "G3")}, Octave, 0},
		{"another tone of the chord", s, Finding{Kind: WrongBass, Want: bass, Heard: keys(t, "D3"), Goal: keys(t, "G2")}, ChordTone, 0},
		{"a foreign bass", s, Finding{Kind: WrongBass, Want: bass, Heard: keys(t, "A2"), Goal: keys(t, "G2")}, Whole, 0},
		{"two notes for a bass", s, Finding{Kind: WrongBass, Want: bass, Heard: keys(t, "B2", "D3"), Goal: keys(t, "G2")}, Whole, 0},
		{"another tone as a wrong note", s, Finding{Kind: WrongNote, Want: bass, Heard: keys(t, "D3"), Goal: keys(t, "G2")}, Whole, 0},
		{"late, and an octave off", s, Finding{Kind: Late, Want: bass, Heard: keys(t, "G3"), Goal: keys(t, "G2")}, Whole, 0},
		{"another inversion", s, Finding{Kind: WrongInversion, Want: chord, Heard: keys(t, "B4")}, Whole, 0},
		{"the tune not on top", &tune, Finding{Kind: WrongInversion, Want: chord, Heard: keys(t, "B4")}, OnTop, 0},
		{"another note of the tune", &tune, Finding{Kind: WrongNote, Want: chord, Heard: keys(t, "B4"), Goal: keys(t, "C5")}, Whole, 0},
		{"chords too loud", s, Finding{Kind: Balance, Want: -1}, Whole, 0},
		{"an accent too soft", s, Finding{Kind: Balance, Want: chord, Accent: true}, Accents, 0},
		{"the first accent too soft", s, Finding{Kind: Balance, Want: 0, Accent: true}, Accents, 0},
		{"the tune too soft", s, Finding{Kind: Balance, Want: -1, Sung: true}, OnTop, 0},
		{"lost", s, Finding{Kind: Lost, Want: -1}, Whole, 0},
	} {
		got, lacked := c.f.Aspect(c.s)
		assert.Equal(t, c.want, got, c.name)
		assert.Equal(t, c.lacked, lacked, c.name)
	}
}

func TestOctavesOff(t *testing.T) {
	for want, f := range map[int]Finding{
		1:  {Heard: keys(t, "F3"), Goal: keys(t, "F2")},
		-2: {Heard: keys(t, "F2"), Goal: keys(t, "F4")},
		0:  {Heard: keys(t, "F3"), Goal: keys(t, "G2")},
	} {
		assert.Equal(t, want, f.OctavesOff())
	}
	for _, f := range []Finding{{}, {Heard: keys(t, "F3")}, {Goal: keys(t, "F3")}, {Heard: keys(t, "F3", "F4"), Goal: keys(t, "F2")}, {Heard: keys(t, "F3"), Goal: keys(t, "F2", "F4")}} {
		assert.Zero(t, f.OctavesOff(), "%v", f)
	}
}

func TestTheOnlyDegree(t *testing.T) {
	assert.Equal(t, seventh, Degrees(1<<seventh).Only())
	assert.Equal(t, 0, Degrees(1).Only())
	assert.Equal(t, -1, Degrees(0).Only())
	assert.Equal(t, -1, Degrees(1<<seventh|1<<fifth).Only())
}

// What most findings of a kind are about is told of the trouble.
func TestTallyKnowsWhatTroublesAreAbout(t *testing.T) {
	s, bass, chord := twoBars(t)
	tally := NewTally(s)
	tally.Count(&Finding{Kind: Right, Want: bass[0]})
	tally.Count(&Finding{Kind: WrongNote, Want: bass[0], Heard: keys(t, "C2"), Goal: keys(t, "C3")})
	tally.Count(&Finding{Kind: Lost, Want: -1})
	for range 2 {
		tally.Count(&Finding{Kind: Missing, Part: RightHand, Bar: 1, Want: chord[1], Heard: keys(t, "G4"), Goal: keys(t, "G4", "F5")})
	}
	tally.Count(&Finding{Kind: WrongBass, Bar: 1, Want: bass[1], Heard: keys(t, "D3"), Goal: keys(t, "G2")})
	tally.Count(&Finding{Kind: WrongBass, Bar: 0, Want: bass[0], Heard: keys(t, "A2"), Goal: keys(t, "C3")})
	sum := tally.Summary()
	assert.Equal(t, 1, sum.Count(Right))
	assert.Equal(t, 6, sum.Wrong())
	forgotten := Trouble{Kind: Missing, Part: RightHand, Bars: []int{2}, Count: 2, Aspect: Tones, Lacked: 1 << seventh}
	assert.Equal(t, []Trouble{{Kind: WrongBass, Part: LeftHand, Bars: []int{1, 2}, Count: 2}, forgotten, {Kind: Lost, Bars: []int{1}, Count: 1}}, sum.Troubles, "one of two is not most")
	assert.Equal(t, Octave, (&sum.Totals[WrongNote]).aspect())
	require.Len(t, sum.Bars, 2)
	assert.Equal(t, 1, sum.Bars[0].Counts[Right])
	assert.Equal(t, 2, sum.Bars[1].Counts[Missing])

	twice := sum.Join(sum)
	forgotten.Count = 4
	assert.Equal(t, []Trouble{{Kind: WrongBass, Part: LeftHand, Bars: []int{1, 2}, Count: 4}, forgotten}, twice.Troubles[:2])
	assert.Equal(t, 2, twice.Totals[WrongBass].Aspects[ChordTone])
	assert.Equal(t, 2, sum.Troubles[0].Count, "what is joined stays as it was")
}

// At most three troubles are told: those that weigh most, the kind that comes first
// where they weigh the same.
func TestTroublesAreRanked(t *testing.T) {
	s, bass, _ := twoBars(t)
	told := func(kinds ...Kind) (all []Kind) {
		tally := NewTally(s)
		for _, k := range kinds {
			tally.Count(&Finding{Kind: k, Want: bass[0]})
		}
		sum := tally.Summary()
		for _, trouble := range sum.Troubles {
			all = append(all, trouble.Kind)
		}
		return all
	}
	assert.Empty(t, told(Right, Right))
	assert.Equal(t, []Kind{WrongChord, WrongBass, Missing}, told(Late, Missing, WrongBass, WrongChord))
	assert.Equal(t, []Kind{Late, WrongBass}, told(Late, WrongBass, Late, Late), "three times five is more than ten")
	assert.Equal(t, []Kind{Late, WrongBass}, told(Late, WrongBass, Late), "and twice five as much")
	assert.Empty(t, told(NotHome, Misfit), "of those of a pattern's strokes alone")
}

func TestBassesThatWereRight(t *testing.T) {
	s := BassSummary{All: 3, Bars: []BassBar{{1, Right, 0}, {2, Misfit, -1}, {3, Right, 1}}}
	assert.Equal(t, 2, s.Right())
	assert.Equal(t, []int{2}, s.ToPractise())
	assert.False(t, s.Done())
	s.Bars[1].Last = Right
	assert.True(t, s.Done())
	s.All = 4
	assert.False(t, s.Done(), "a bar was not played")
	assert.False(t, (&BassSummary{}).Done(), "there is nothing to do")
}
