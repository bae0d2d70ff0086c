package performer

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

func human(t testing.TB, level string) Habits {
	t.Helper()
	h, err := Human(level)
	require.NoError(t, err)
	return h
}

func TestAMachinePlaysAsWritten(t *testing.T) {
	s := sounding.Score(t, "3/4", "120", "| C | G |", material.Shipped(t, "waltz"))
	p := Play(s, Habits{}, Course{}, 1)
	sounding.AssertKeyboard(t, p.Events, "waltz")
	var got []string
	for _, e := range sounding.Ons(p.Events) {
		got = append(got, fmt.Sprintf("%d@%d", e.Data1, e.At.Milliseconds()))
	}
	assert.Equal(t, []string{
		"48@0", "60@500", "64@500", "67@500", "60@1000", "64@1000", "67@1000",
		"43@1500", "59@2000", "62@2000", "67@2000", "59@2500", "62@2500", "67@2500",
	}, got)
}

func TestEveryPatternSoundsAsWanted(t *testing.T) {
	sounding.EveryScore(t, func(s *score.Score, where string) {
		beat := s.Tempo.Duration(s.Meter.Beat(), s.Meter)
		for _, level := range Levels() {
			h := human(t, level)
			p := Play(s, h, Course{}, 7)
			sounding.AssertKeyboard(t, p.Events, where)
			sounding.AssertRequired(t, s, p.Events, nil, h.Bound(beat), where+", "+level)
			require.Len(t, p.Onsets, len(s.Wants), where)
		}
	})
}

func TestStartAndTheTimeBeforeIt(t *testing.T) {
	s := sounding.Score(t, "4/4", "120", "| C | F |", material.Shipped(t, "block-whole"))
	p := Play(s, Habits{}, Course{Start: 2 * time.Second}, 1)
	assert.Equal(t, 2*time.Second, p.Events[0].At)
	assert.Equal(t, 4*time.Second, p.Onsets[2].At)

	p = Play(s, Habits{Bias: -80 * time.Millisecond, Spread: 9 * time.Millisecond}, Course{}, 1)
	sounding.AssertKeyboard(t, p.Events, "early player")
	for _, e := range p.Events[:4] {
		assert.Zero(t, e.At)
		assert.True(t, e.IsNoteOn())
	}
	assert.InDelta(t, 1920, p.Onsets[2].At.Milliseconds(), 27)
}

func TestARepeatedChordIsLetGoBetween(t *testing.T) {
	s := sounding.Score(t, "4/4", "320", "| C |", sounding.Own(t, "4/4", "sixteenths", "right: "+"ch ch ch ch ch ch ch ch ch ch ch ch ch ch ch ch"))
	for _, level := range Levels() {
		p := Play(s, human(t, level), Course{}, 3)
		sounding.AssertKeyboard(t, p.Events, level)
		assert.Len(t, sounding.Ons(p.Events), 48, level)
	}
}
