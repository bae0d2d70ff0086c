package performer

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

const ms = float64(time.Millisecond)

// moments are mean and sd.
func moments(values []float64) (mean, sd float64) {
	for _, v := range values {
		mean += v / float64(len(values))
	}
	for _, v := range values {
		sd += (v - mean) * (v - mean) / float64(len(values))
	}
	return mean, math.Sqrt(sd)
}

// offsets are the strokes' distances from their places, by hand, in ms.
func offsets(s *score.Score, p Performance) (hands [2][]float64) {
	for _, o := range p.Onsets {
		h := s.Wants[o.Want].Hand
		hands[h] = append(hands[h], float64(o.At-s.Tempo.Duration(o.Pos, s.Meter))/ms)
	}
	return hands
}

// With 1024 moments the sd of a sample is known to about 2.2 % (1 / sqrt 2n);
// the cut at three sd takes 1.3 % off. 8 % is beyond chance.
func TestUnevennessIsAsAsked(t *testing.T) {
	s := sounding.LongScore(t)
	msec := time.Millisecond

	left := offsets(s, Play(s, Habits{Jitter: 15 * msec}, Course{}, 1))[pattern.Left]
	mean, sd := moments(left)
	assert.InEpsilon(t, 15, sd, 0.08, "jitter")
	assert.InDelta(t, 0, mean, 1.5)

	both := offsets(s, Play(s, Habits{Jitter: 15 * msec, HandAsync: 8 * msec}, Course{}, 2))
	var apart []float64
	for i := range both[pattern.Left] {
		apart = append(apart, both[pattern.Left][i]-both[pattern.Right][i])
	}
	_, sd = moments(apart)
	assert.InEpsilon(t, 8, sd, 0.08, "left against right")

	var notes []float64
	for _, e := range sounding.Ons(Play(s, Habits{Spread: 9 * msec}, Course{}, 3).Events) {
		if e.Data1 >= 55 { // the chord hand
			notes = append(notes, float64(e.At-e.At.Round(time.Second))/ms)
		}
	}
	_, sd = moments(notes)
	assert.InEpsilon(t, 9, sd, 0.08, "within a chord")

	mean, _ = moments(offsets(s, Play(s, Habits{Bias: 25 * msec}, Course{}, 1))[pattern.Right])
	assert.InDelta(t, 25, mean, 1e-6, "bias")
}

// The slower the music, the farther the fingers land apart: quarters last 1, 0.5 and
// 0.25 seconds.
func TestChordsSpreadAtLeisure(t *testing.T) {
	h := Habits{Spread: 8 * time.Millisecond, Leisure: 24 * time.Millisecond}
	for _, c := range []struct {
		bpm    string
		spread float64 // ms
	}{{"60", 24}, {"120", 16}, {"240", 12}} {
		s := sounding.Score(t, "4/4", c.bpm, strings.Repeat("| C | F | G7 | C ", 60)+"|", material.Shipped(t, "driving-quarters"))
		beat := s.Tempo.Duration(s.Meter.Beat(), s.Meter)
		var off []float64
		for _, e := range sounding.Ons(Play(s, h, Course{}, 3).Events) {
			if e.Data1 >= 55 {
				off = append(off, float64(e.At-e.At.Round(beat))/ms)
			}
		}
		_, sd := moments(off)
		assert.InEpsilon(t, c.spread, sd, 0.08, c.bpm)
	}
}

// One chord of three notes in ten is rolled though it is not written so, and none of
// fewer notes.
func TestSomeChordsAreRolled(t *testing.T) {
	s := sounding.LongScore(t)
	p := Play(s, Habits{RollSpread: 120 * time.Millisecond, RollSome: 0.1}, Course{}, 3)
	rolled, chords, begun := 0, 0, time.Duration(-1)
	for _, e := range sounding.Ons(p.Events) {
		if e.Data1 < 55 {
			assert.Zero(t, e.At%time.Second, "a bass alone")
			continue
		}
		switch late := e.At % time.Second; {
		case late == 0 && e.At != begun:
			begun = e.At
			chords++
		case late >= 120*time.Millisecond:
			rolled++
		}
	}
	assert.InDelta(t, 0.1, float64(rolled)/float64(chords), 0.03)
}

func TestWanderIsSlowAndBounded(t *testing.T) {
	s := sounding.LongScore(t)
	off := offsets(s, Play(s, Habits{Drift: 0.03}, Course{}, 4))[pattern.Left]
	_, sd := moments(off)
	assert.InEpsilon(t, 30, sd, 0.25, "0.03 of a second; neighbours hang together, so fewer values count")
	var steps []float64
	for i := 1; i < len(off); i++ {
		steps = append(steps, off[i]-off[i-1])
		assert.LessOrEqual(t, math.Abs(off[i]), 90.0)
	}
	_, step := moments(steps)
	assert.Less(t, step, 0.6*sd)
}

func TestLoudnessAndLength(t *testing.T) {
	s := sounding.LongScore(t)
	p := Play(s, Habits{Velocity: 70, VelocitySD: 6, BassGain: 8, Legato: 0.8, LegatoSD: 0.03}, Course{}, 5)
	var bass, chords, held []float64
	struck := map[uint8]time.Duration{}
	for _, e := range p.Events {
		switch {
		case e.IsNoteOff():
			held = append(held, float64(e.At-struck[e.Data1])/float64(time.Second))
		case e.Data1 < 55:
			bass = append(bass, float64(e.Data2))
			struck[e.Data1] = e.At
		default:
			chords = append(chords, float64(e.Data2))
			struck[e.Data1] = e.At
		}
	}
	mean, _ := moments(bass)
	assert.InDelta(t, 78, mean, 1)
	mean, sd := moments(chords)
	assert.InDelta(t, 70, mean, 1)
	assert.InEpsilon(t, 6, sd, 0.08)
	mean, sd = moments(held)
	assert.InDelta(t, 0.8, mean, 0.005)
	assert.InEpsilon(t, 0.03, sd, 0.08)
}

func TestAccentsAreHeard(t *testing.T) {
	s := sounding.Score(t, "4/4", "96", "| C |", material.Shipped(t, "backbeat"))
	var bass, chords []uint8
	for _, e := range sounding.Ons(Play(s, Habits{}, Course{}, 1).Events) {
		if e.Data1 < 55 {
			bass = append(bass, e.Data2)
		} else {
			chords = append(chords, e.Data2)
		}
	}
	assert.Equal(t, []uint8{64, 64}, bass)
	assert.Equal(t, []uint8{84, 84, 84, 84, 84, 84}, chords)
}

func TestOctavesWhereTheyAreFree(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C | F |", material.Shipped(t, "block-whole"))
	keys := func(h Habits) (all []uint8) {
		for _, e := range sounding.Ons(Play(s, h, Course{}, 1).Events) {
			all = append(all, e.Data1)
		}
		return all
	}
	assert.Equal(t, []uint8{48, 60, 64, 67, 41, 60, 65, 69}, keys(Habits{}))
	assert.Equal(t, []uint8{36, 72, 76, 79, 29, 72, 77, 81}, keys(Habits{OctaveShift: [2]int{-1, 1}}))
	assert.Equal(t, []uint8{48, 60, 64, 67, 41, 48, 53, 57}, keys(Habits{OctaveShift: [2]int{0, -1}}),
		"the first chord would lie on the bass and stays")
	assert.Equal(t, keys(Habits{}), keys(Habits{OctaveShift: [2]int{-3, 5}}), "not off the keyboard")
}

func TestOtherVoicings(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C | C | F | G7 |", material.Shipped(t, "block-half"))
	p := Play(s, Habits{Revoice: 1, LeaveOut: 1, Double: 1}, Course{}, 2)
	plain := Play(s, Habits{}, Course{}, 2)
	sounding.AssertRequired(t, s, p.Events, nil, 0, "revoiced")
	_, added := sounding.Difference(plain.Events, p.Events)
	assert.NotEmpty(t, added)
	first := map[int]string{}
	for _, o := range p.Onsets {
		w := &s.Wants[o.Want]
		if w.Hand == pattern.Left {
			continue
		}
		var keys string
		for _, e := range sounding.Ons(p.Events) {
			if e.At == o.At && e.Data1 >= 55 {
				keys += string(rune(e.Data1))
			}
		}
		if first[w.Harmony] == "" {
			first[w.Harmony] = keys
		}
		assert.Equal(t, first[w.Harmony], keys, "a hand keeps its voicing within a harmony")
	}
	named := sounding.Score(t, "4/4", "120", "| C | F | G |", material.Shipped(t, "block-root"))
	assert.Equal(t, sounding.Ons(Play(named, Habits{}, Course{}, 2).Events), sounding.Ons(Play(named, Habits{Revoice: 1}, Course{}, 2).Events),
		"an inversion that is asked for is kept")
}

func TestARolledChord(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C |", sounding.Own(t, "4/4", "halves", "right: ~ch ch"))
	var at []int64
	for _, e := range sounding.Ons(Play(s, Habits{RollSpread: 90 * time.Millisecond}, Course{}, 1).Events) {
		at = append(at, e.At.Milliseconds())
	}
	assert.Equal(t, []int64{0, 45, 90, 1000, 1000, 1000}, at)
}

func TestPedal(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C | C | F | N.C. | G |", material.Shipped(t, "block-half"))
	assert.Empty(t, sounding.Pedals(Play(s, Habits{}, Course{}, 1).Events))
	assert.Equal(t, []int64{120, -4030, 4120, -6000, 8120, -10000}, sounding.Pedals(Play(s, Habits{Pedal: LegatoPedal}, Course{}, 1).Events))
	assert.Equal(t, []int64{120, -2030, 2120, -4030, 4120, -6000, 8120, -10000}, sounding.Pedals(Play(s, Habits{Pedal: BarPedal}, Course{}, 1).Events))
}

func TestPlayersByName(t *testing.T) {
	h, err := Human("exact")
	require.NoError(t, err)
	assert.Zero(t, h)
	_, err = Human("virtuoso")
	assert.ErrorContains(t, err, "beginner")
	// The chance of a steady player stays under the 30 to 50 ms by which players
	// of an ensemble are apart (Rasch 1979).
	for _, level := range Levels() {
		h := human(t, level)
		assert.Less(t, h.Jitter, 30*time.Millisecond, level)
		assert.Less(t, h.HandAsync, 30*time.Millisecond, level)
	}
}

// Freedoms are used only where the hands keep their sides.
func TestHandsDoNotCross(t *testing.T) {
	moved := 0
	sounding.EveryScore(t, func(s *score.Score, where string) {
		plain := Play(s, Habits{}, Course{}, 1)
		for _, h := range []Habits{{OctaveShift: [2]int{1, -1}}, {OctaveShift: [2]int{1, 0}}, {Revoice: 1, Double: 1}} {
			p := Play(s, h, Course{}, 1)
			_, added := sounding.Difference(plain.Events, p.Events)
			moved += len(added)
			strokes := NewTake(s, h, Course{}, 1).Strokes // at one place left before right
			for i := range strokes[1:] {
				if l, r := &strokes[i], &strokes[i+1]; l.Pos == r.Pos && l.Hand != r.Hand {
					require.Less(t, slices.Max(l.Keys), slices.Min(r.Keys), where)
				}
			}
		}
	})
	assert.Greater(t, moved, 1000)
}

func TestRevoicingKeepsAboveTheLeftHand(t *testing.T) {
	s := sounding.Score(t, "4/4", "60", "| C |", sounding.Own(t, "4/4", "quarters", "left-low: C4\nright-low: G4\nleft: 1+=6 - - -\nright: ch - - -"))
	for seed := range uint64(10) {
		var keys []uint8
		for _, e := range sounding.Ons(Play(s, Habits{Revoice: 1}, Course{}, seed).Events) {
			keys = append(keys, e.Data1)
		}
		assert.Equal(t, []uint8{60, 69, 76, 79, 84}, keys, "G4 C5 E5 would lie across A4")
	}
}

func TestBound(t *testing.T) {
	ms := time.Millisecond
	for _, c := range []struct {
		h    Habits
		want time.Duration
	}{
		{Habits{}, 0},
		{Habits{Jitter: 10 * ms}, 30 * ms},
		{Habits{HandAsync: 10 * ms}, 15 * ms},
		{Habits{Spread: 10 * ms}, 30 * ms},
		{Habits{Spread: 10 * ms, Leisure: 20 * ms}, 60 * ms},
		{Habits{Bias: -10 * ms}, 10 * ms},
		{Habits{Drift: 0.02}, 30 * ms},
		{Habits{RollSpread: 80 * ms}, 80 * ms},
	} {
		assert.Equal(t, c.want, c.h.Bound(500*ms), "%+v", c.h)
	}
}
