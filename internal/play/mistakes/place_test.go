package mistakes

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

func TestADoubledNoteIsNotMissed(t *testing.T) {
	s := sounding.Score(t, "4/4", "90", "| C |", sounding.Own(t, "4/4", "quarters", "right: 1+5+8 . . ."))
	for seed := range uint64(20) {
		p, err := Play(s, performer.Habits{}, Plan{}.Plant(MissingNote, 0), seed)
		require.NoError(t, err)
		assert.Equal(t, "without G4", p.Truth[0].Detail)
	}
}

func TestALateChordStaysOnItsSide(t *testing.T) {
	s := sounding.Score(t, "4/4", "100", "| C | F | C | G |", material.Shipped(t, "driving-eighths"))
	h := human(t, "beginner")
	h.Drift = 0
	gap := s.Tempo.Duration(meter.Eighth, s.Meter)
	for _, i := range (Plan{}).Sites(s, h, Late) {
		for seed := range uint64(10) {
			p, err := Play(s, h, Plan{}.Plant(Late, i), seed)
			require.NoError(t, err)
			place := s.Tempo.Duration(s.Wants[i].At, s.Meter)
			n := 0
			for _, e := range sounding.Ons(p.Events) {
				if e.At > place+gap/3 && e.At < place+gap*55/100 {
					n++
					assert.LessOrEqual(t, e.At, place+gap*45/100)
				}
			}
			assert.GreaterOrEqual(t, n, 3)
		}
	}
}

func TestAWrongInversionIsTheLongWay(t *testing.T) {
	sounding.EveryScore(t, func(s *score.Score, where string) {
		if s.Pattern.Name != "block-near" {
			return
		}
		for _, i := range (Plan{}).Sites(s, performer.Habits{}, WrongInversion) {
			for seed := range uint64(6) {
				p, err := Play(s, performer.Habits{}, Plan{}.Plant(WrongInversion, i), seed)
				require.NoError(t, err)
				before := s.Wants[i-2].Keys() // the bass lies between
				way := chord.Motion(before, s.Wants[i].Keys())
				assert.GreaterOrEqual(t, chord.Motion(before, p.Truth[0].Keys), way+leastDetour, where)
			}
		}
	})
}

func TestSownMistakesKeepOffPlantedOnes(t *testing.T) {
	s := sounding.Score(t, "4/4", "90", "| C | F | G | C |", material.Shipped(t, "block-half"))
	for seed := range uint64(20) {
		plan := Random([]Kind{Late}, 1).Plant(Missing, want(t, s, 2, 1, pattern.Left))
		p, err := Play(s, performer.Habits{}, plan, seed)
		require.NoError(t, err)
		var bars []int
		for _, f := range p.Truth {
			bars = append(bars, f.Bar)
		}
		assert.Equal(t, []int{1, 2, 3, 4}, bars)
	}
}

// However the player wanders, what is told as late is late by the click.
func TestLateIsLateByTheClick(t *testing.T) {
	s := sounding.Score(t, "4/4", "60", "| C | F | C | G | C | F | C | G |", material.Shipped(t, "backbeat"))
	h := human(t, "beginner")
	beat := s.Tempo.Duration(s.Meter.Beat(), s.Meter)
	for _, k := range []Kind{Early, Late} {
		for _, i := range (Plan{}).Sites(s, h, k) {
			p, err := Play(s, h, Plan{}.Plant(k, i), uint64(i))
			require.NoError(t, err)
			f := p.Truth[0]
			off := f.At - s.Tempo.Duration(s.Wants[i].At, s.Meter)
			if k == Early {
				off = -off
			}
			assert.Greater(t, off, leastShift-3*h.Spread, f.Detail)
			assert.Less(t, off, mostShift+3*h.Spread+time.Duration(6*h.Drift*float64(beat)), f.Detail)
		}
	}
}

func TestTheRestIsPlayedAsWanted(t *testing.T) {
	sounding.EveryScore(t, func(s *score.Score, where string) {
		beat := s.Tempo.Duration(s.Meter.Beat(), s.Meter)
		for seed, level := range performer.Levels() {
			h := human(t, level)
			p, err := Play(s, h, Random(append(NoteKinds(), TimeKinds()...), 0.8), uint64(seed))
			require.NoError(t, err)
			sounding.AssertRequired(t, s, p.Events, marred(p), h.Bound(beat), where+", "+level)
		}
	})
}
