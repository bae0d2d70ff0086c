package mistakes

import (
	"math/bits"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

func allKinds() []Kind { return append(append(NoteKinds(), TimeKinds()...), FollowKinds()...) }

// want finds the stroke of a hand in a printed bar.
func want(t *testing.T, s *score.Score, bar int, beat float64, h pattern.Hand) int {
	t.Helper()
	for i := range s.Wants {
		w := &s.Wants[i]
		if s.Bars[w.Bar].Number == bar && w.Beat == beat && w.Hand == h {
			return i
		}
	}
	t.Fatalf("nothing is wanted in bar %d, beat %g, %s hand", bar, beat, h)
	return 0
}

func classes(events []event.Event) (set chord.Set) {
	for _, e := range events {
		set = set.With(pitch.Num(e.Data1).Class())
	}
	return set
}

func size(s chord.Set) int { return bits.OnesCount16(uint16(s)) }

func TestEveryKindWhereItCanBeMade(t *testing.T) {
	count, step := map[Kind]int{}, 7
	if testing.Short() {
		step = 31
	}
	sounding.EveryScore(t, func(s *score.Score, where string) {
		plain := faultless(s, performer.Habits{}, 3)
		for k, check := range nature {
			sites := Plan{}.Sites(s, performer.Habits{}, k)
			count[k] += len(sites)
			for n := 0; n < len(sites); n += step {
				p, err := Play(s, performer.Habits{}, Plan{}.Plant(k, sites[n]), 3)
				require.NoError(t, err, where)
				sounding.AssertKeyboard(t, p.Events, where)
				require.Len(t, p.Truth, 1, where)
				require.Equal(t, k, p.Truth[0].Kind)
				assertTruth(t, s, p, where)
				gone, added := sounding.Difference(plain.Events, p.Events)
				check(t, s, p.Truth[0], gone, added, where+", "+string(k)+": "+p.Truth[0].Detail)
			}
		}
	})
	for _, k := range append(NoteKinds(), TimeKinds()...) {
		assert.Positive(t, count[k], k)
	}
}

// assertTruth checks that every fault told is at a real place and at its time.
func assertTruth(t *testing.T, s *score.Score, p Performance, where string) {
	t.Helper()
	for _, f := range p.Truth {
		require.NotEmpty(t, f.Detail, where)
		require.Contains(t, []string{"left", "right", "both"}, f.Hand, where)
		if f.Want >= 0 {
			w := &s.Wants[f.Want]
			require.Equal(t, s.Bars[w.Bar].Number, f.Bar, where)
			require.Equal(t, w.Beat, f.Beat, where)
		} else {
			require.Equal(t, Extra, f.Kind, where)
		}
		if f.Kind == Missing || slices.Contains(FollowKinds(), f.Kind) {
			continue // their times are no strokes; see TestTheOrderOfThings
		}
		found := slices.ContainsFunc(p.Onsets, func(o performer.Onset) bool { return o.At == f.At && o.Want == f.Want })
		require.True(t, found, "%s: %s at %s has no onset", where, f.Kind, f.At)
	}
}

func TestMistakesInWords(t *testing.T) {
	bars := "| C | F | G7 | C |"
	for _, c := range []struct {
		pattern string
		kind    Kind
		bar     int
		beat    float64
		hand    pattern.Hand
		details []string // whichever chance takes
	}{
		{"block-whole", WrongChord, 3, 1, pattern.Right, []string{"F for G7", "C for G7", "Am for G7"}},
		{"block-whole", WrongBass, 3, 1, pattern.Left, []string{"A2 for G2", "E2 for G2", "C3 for G2"}},
		{"block-root", WrongInversion, 2, 1, pattern.Right, []string{"A4 lowest in F", "C4 lowest in F"}},
		{"block-whole", WrongNote, 1, 1, pattern.Right, []string{"F#4 for E4", "F#4 for G4", "F4 for G4"}},
		{"block-whole", MissingNote, 1, 1, pattern.Right, []string{"without C4", "without E4"}},
		{"block-whole", Missing, 2, 1, pattern.Left, []string{"without F2"}},
		{"waltz", Balance, 2, 1, pattern.Left, []string{"chords much louder than the bass"}},
		{"block-whole", Blurred, 2, 1, pattern.Left, []string{"pedal held from C into F"}},
		{"block-whole", Short, 2, 1, pattern.Right, []string{"let go after a fifth of its length"}},
		{"broken-up", WrongChord, 2, 1, pattern.Left, []string{"G for F", "Em for F", "C for F"}},
	} {
		m := "4/4"
		if c.pattern == "waltz" {
			m = "3/4"
		}
		s := sounding.Score(t, m, "90", bars, material.Shipped(t, c.pattern))
		i := want(t, s, c.bar, c.beat, c.hand)
		seen := map[string]bool{}
		for seed := range uint64(40) {
			p, err := Play(s, performer.Habits{}, Plan{}.Plant(c.kind, i), seed)
			require.NoError(t, err, "%s %s", c.pattern, c.kind)
			seen[p.Truth[0].Detail] = true
		}
		for d := range seen {
			assert.Contains(t, c.details, d, "%s %s", c.pattern, c.kind)
		}
		assert.Len(t, seen, len(c.details), "%s %s", c.pattern, c.kind)
	}
}

func TestWhereAMistakeCannotBe(t *testing.T) {
	bars := "| C | F | G7 | C G |"
	for _, c := range []struct {
		pattern string
		level   string
		kind    Kind
		bar     int
		beat    float64
		hand    pattern.Hand
		reason  string
	}{
		{"block-whole", "exact", WrongInversion, 2, 1, pattern.Right, "any inversion"},
		{"block-near", "exact", WrongInversion, 1, 1, pattern.Right, "no other inversion"},
		{"block-whole", "exact", WrongBass, 1, 1, pattern.Right, "no bass note"},
		{"walking-quarters", "exact", WrongBass, 1, 4, pattern.Left, "approach"},
		{"walking-quarters", "exact", WrongNote, 1, 4, pattern.Left, "approach"},
		{"two-beat", "exact", WrongNote, 1, 1, pattern.Left, "wrong bass"},
		{"broken-up", "exact", WrongChord, 1, 2, pattern.Left, "first note of the broken chord"},
		{"two-beat", "exact", WrongChord, 1, 1, pattern.Left, "plant it on the chord"},
		{"two-beat", "exact", MissingNote, 1, 1, pattern.Left, "single note"},
		{"two-beat", "exact", ExtraNote, 1, 1, pattern.Left, "single note"},
		{"driving-eighths", "exact", Extra, 1, 2, pattern.Right, "too soon"},
		{"driving-eighths", "exact", Late, 1, 2, pattern.Right, "too close at this tempo"},
		{"block-whole", "exact", Early, 1, 1, pattern.Right, "before the beginning"},
		{"two-beat", "exact", Short, 1, 2, pattern.Right, "length of this stroke is free"},
		{"broken-up", "fluent", Short, 1, 2, pattern.Left, "pedal"},
		{"restless", "exact", Short, 1, 1, pattern.Left, "shorter than a beat"},
		{"block-whole", "exact", Blurred, 1, 1, pattern.Left, "no harmony came before"},
		{"block-half", "exact", Blurred, 1, 3, pattern.Left, "no harmony came before"},
		{"block-half", "exact", Blurred, 2, 3, pattern.Left, "first stroke of a new harmony"},
		{"block-half", "exact", Blurred, 4, 1, pattern.Left, "changes again too soon"},
		{"slow", "exact", Blurred, 3, 1, pattern.Left, "foreign to G7"},
		{"broken-up", "exact", Balance, 1, 1, pattern.Left, "neither accents nor chords"},
		{"block-whole", "exact", Pause, 1, 1, pattern.Left, "nothing was played"},
		{"block-whole", "exact", Pause, 2, 1, pattern.Right, "first stroke of its onset"},
		{"block-half", "exact", Restart, 2, 1, pattern.Left, "nothing was played"},
		{"block-half", "exact", RepeatBar, 2, 3, pattern.Left, "first stroke of a bar"},
		{"block-half", "exact", SkipBar, 4, 1, pattern.Left, "last bar"},
		{"block-half", "exact", "daydream", 4, 1, pattern.Left, "no such kind"},
	} {
		p := sounding.Own(t, "4/4", "eighths", "left: 1 5 3 5 1 5 3 5")
		switch c.pattern {
		case "restless":
		case "slow": // G at the end of the bar before G7
			p = sounding.Own(t, "4/4", "halves", "left: 1 5")
			bars = "| C | G/B | G7 | C G |"
		default:
			p = material.Shipped(t, c.pattern)
		}
		s := sounding.Score(t, "4/4", "132", bars, p)
		i := want(t, s, c.bar, c.beat, c.hand)
		_, err := Play(s, human(t, c.level), Plan{}.Plant(c.kind, i), 1)
		var pe *PlantError
		require.ErrorAs(t, err, &pe, "%s %s", c.pattern, c.kind)
		assert.Contains(t, pe.Reason, c.reason, "%s %s", c.pattern, c.kind)
		assert.Contains(t, err.Error(), "bar ")
	}
}

func TestOneStrokeOneMistake(t *testing.T) {
	s := sounding.Score(t, "4/4", "90", "| C | F |", material.Shipped(t, "block-whole"))
	_, err := Play(s, performer.Habits{}, Plan{}.Plant(Missing, 2).Plant(Late, 3), 1)
	assert.ErrorContains(t, err, `cannot plant "late" in bar 2, beat 1, right hand: there is a mistake at this onset already`)
	_, err = Play(s, performer.Habits{}, Plan{}.Plant(Missing, 9), 1)
	assert.EqualError(t, err, `cannot plant "missing" on stroke 9: the score has 4 strokes, counted from 0`)
	_, err = Play(s, performer.Habits{}, Plan{}.Plant(Missing, -1), 1)
	assert.Error(t, err)
}

func TestAShortNoteAndABlurredPedal(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C | F | C |", material.Shipped(t, "block-whole"))
	p, err := Play(s, performer.Habits{}, Plan{}.Plant(Short, want(t, s, 2, 1, pattern.Left)), 1)
	require.NoError(t, err)
	for _, e := range p.Events {
		if e.IsNoteOff() && e.Data1 == 41 {
			assert.Equal(t, 2400*time.Millisecond, e.At)
		}
	}
	blurred := Plan{}.Plant(Blurred, want(t, s, 2, 1, pattern.Left))
	p, err = Play(s, performer.Habits{}, blurred, 1)
	require.NoError(t, err)
	assert.Equal(t, []int64{120, -3250}, sounding.Pedals(p.Events), "through bar 2 to beat 3.5")
	p, err = Play(s, performer.Habits{Pedal: performer.LegatoPedal}, blurred, 1)
	require.NoError(t, err)
	assert.Equal(t, []int64{120, -3250, 3340, -4030, 4120, -6000}, sounding.Pedals(p.Events))
}

func TestBalanceTurnedOver(t *testing.T) {
	s := sounding.Score(t, "4/4", "96", "| C | F | C |", material.Shipped(t, "backbeat"))
	p, err := Play(s, human(t, "beginner"), Plan{}.Plant(Balance, want(t, s, 2, 1, pattern.Left)), 1)
	require.NoError(t, err)
	var sum, n [2][2]float64 // wrong bar or not, accented or not
	for _, e := range sounding.Ons(p.Events) {
		bar := s.BarAt(s.Wants[0].At)
		for _, o := range p.Onsets {
			if o.At <= e.At {
				bar = s.Wants[o.Want].Bar
			}
		}
		wrong, accent := 0, 0
		if bar == 1 {
			wrong = 1
		}
		if e.Data1 >= 55 {
			accent = 1
		}
		sum[wrong][accent] += float64(e.Data2)
		n[wrong][accent]++
	}
	assert.Greater(t, sum[0][1]/n[0][1], sum[0][0]/n[0][0]+10)
	assert.Less(t, sum[1][1]/n[1][1], sum[1][0]/n[1][0]-10)
}

func TestSlipsThatWouldMakeAChordAreNotTaken(t *testing.T) {
	s := sounding.Score(t, "4/4", "90", "| C |", sounding.Own(t, "4/4", "quarters", "left: 1+5 - - -\nright: 3+5 - - -"))
	i := want(t, s, 1, 1, pattern.Right)
	seen := map[string]bool{}
	for seed := range uint64(60) {
		for _, k := range []Kind{WrongNote, ExtraNote} {
			p, err := Play(s, performer.Habits{}, Plan{}.Plant(k, i), seed)
			require.NoError(t, err)
			seen[p.Truth[0].Detail] = true
		}
	}
	for slip, chord := range map[string]string{
		"Eb4 for E4": "Cm", "F4 for E4": "Csus4", "D4 for E4": "Csus2", "F4 for G4": "Cadd4", "A4 for G4": "C6",
		"A4 added": "C6", "F4 added": "Cadd4", "D4 added": "Cadd9",
	} {
		assert.False(t, seen[slip], "%s makes %s", slip, chord)
	}
	assert.True(t, seen["F#4 for E4"])
	assert.True(t, seen["F#4 added"])
}
