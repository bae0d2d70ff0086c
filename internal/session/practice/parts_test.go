package practice

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/play/performer"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

const withParts = `title: Parts
key: C
tempo: 120
upbeat: 1
intro: x
turnaround: x
ending: x

[Verse]
(G7) |: C | F | G7 | C :|
w: Oh | one | two | three | four |
`

// partsBench is a session over a chart with an intro, a turnaround and an ending
// that slows down.
func partsBench(t *testing.T, round bool) *bench {
	t.Helper()
	s, err := score.Build(material.Chart(t, withParts), material.Shipped(t, "two-beat"), score.Options{Round: round, Parts: score.Parts{
		Intro: material.Shipped(t, "intro-round"), Turnaround: material.Shipped(t, "turnaround-dominant"), Ending: material.Shipped(t, "ending-cadence"),
	}})
	require.NoError(t, err)
	b := newBench(t, withParts, func(o *Options) {
		o.Score, o.Heading = s, sitting.HeadingOf(s, rules.Steady.Name)
		o.Heading.Loop = round
	})
	b.score = s
	return b
}

func faultless(s *score.Score) []event.Event {
	return performer.Play(s, performer.Habits{}, performer.Course{}, 1).Events
}

func TestAChartWithPartsIsPractised(t *testing.T) {
	b := partsBench(t, false)
	b.play(faultless(b.score), time.Hour)
	b.pass(b.now + 10*time.Second)
	require.True(t, b.s.Done())
	for _, l := range b.lines() {
		if l["type"] == "finding" {
			assert.Equal(t, "right", l["kind"], "%v", l)
		}
	}
	assert.Equal(t, len(b.score.Wants), b.count("right"))
	assert.Equal(t, -1.0, b.lines()[2]["bar"], "the intro comes first")
}

// The clicks come later and later, just as the music does.
func TestTheClickSlowsDown(t *testing.T) {
	b := partsBench(t, false)
	b.pass(time.Minute)
	var clicks []time.Duration
	for _, e := range b.sent {
		if e.IsNoteOn() {
			clicks = append(clicks, e.At-b.music[0])
		}
	}
	beats := b.score.Beats()
	require.Len(t, clicks, len(beats)+4)
	for i, beat := range beats {
		assert.InDelta(t, float64(b.score.Time(beat.At)), float64(clicks[i+4]), float64(10*time.Millisecond))
	}
	n := len(clicks)
	assert.Greater(t, clicks[n-1]-clicks[n-2], clicks[5]-clicks[4]+300*time.Millisecond)
}

func TestTheScreenShowsIntroAndEnding(t *testing.T) {
	b := partsBench(t, false)
	b.pass(b.music[0] + 100*time.Millisecond)
	st := b.s.view()
	assert.Equal(t, "intro-round", st.Pattern)
	assert.Equal(t, 0, st.Current)
	require.Len(t, st.Bars, len(b.score.Bars), "written out")
	assert.Equal(t, "Intro", st.Bars[0].Section)
	assert.Equal(t, "Oh", st.Bars[1].Lyric)
	b.pass(b.music[0] + b.score.Time(b.score.Bars[5].At) + 100*time.Millisecond)
	st = b.s.view()
	assert.Equal(t, "turnaround-dominant", st.Pattern)
	assert.Equal(t, "G7", st.Bars[st.Current].Chords[0].Name)
	b.pass(b.music[0] + b.score.Time(b.score.Bars[len(b.score.Bars)-1].At) + 100*time.Millisecond)
	st = b.s.view()
	assert.Equal(t, "ending-cadence", st.Pattern)
	assert.Equal(t, len(st.Bars)-1, st.Current)
}

func TestRoundAndRoundWithATurnaround(t *testing.T) {
	b := partsBench(t, true)
	assert.Equal(t, 0, b.score.Bars[0].Number, "no intro")
	evs := faultless(b.score)
	b.playFrom(b.music[0], evs, time.Hour)
	b.playFrom(b.music[0]+b.score.Time(b.score.Length), evs, time.Hour)
	b.stop()
	assert.Equal(t, 2*len(b.score.Wants), b.count("right"))
}

// A cable pulled out in the ending: practice takes up there again, as slowly.
func TestPracticeGoesOnWithinARitardando(t *testing.T) {
	b := partsBench(t, false)
	last := len(b.score.Bars) - 2
	at := b.music[0] + b.score.Time(b.score.Bars[last].At) + 200*time.Millisecond
	b.play(faultless(b.score), at)
	b.pass(at)
	b.s.Lost(b.now, "piano")
	b.s.Found(b.now+time.Second, "piano")
	part := b.score.Part(last, last+1)
	require.Len(t, b.music, 2)
	b.play(faultless(part), time.Hour)
	b.pass(b.now + 10*time.Second)
	again := 0
	for _, l := range b.lines() {
		if l["type"] == "finding" && l["at_ms"].(float64) >= float64(b.music[1].Milliseconds()) {
			assert.Equal(t, "right", l["kind"], "%v", l)
			again++
		}
	}
	assert.Equal(t, len(part.Wants), again)
}
