package practice

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/play/mistakes"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/material"
)

const bar = 2 * time.Second

func TestMusicBeginsRightAfterTheCountIn(t *testing.T) {
	b := newBench(t, tune, nil)
	require.Equal(t, []time.Duration{bar}, b.music)
	b.play(exact(t, b.score, mistakes.Plan{}), time.Hour).pass(time.Hour)
	assert.True(t, b.s.Done())
	assert.Equal(t, float64(0), b.summary()["wrong"])
	assert.Equal(t, float64(len(b.score.Wants)), b.summary()["right"])
	assert.Equal(t, "start", b.lines()[0]["type"])
	assert.Equal(t, float64(2000), b.lines()[1]["music_at_ms"])
}

func TestSessionEndsABarAfterTheLastBeat(t *testing.T) {
	b := newBench(t, tune, nil)
	b.pass(6*bar - 10*time.Millisecond)
	assert.False(t, b.s.Done())
	b.pass(6*bar + 20*time.Millisecond)
	assert.True(t, b.s.Done())
}

func TestClickIsHighOnOneAndLowElsewhere(t *testing.T) {
	b := newBench(t, tune, nil)
	b.pass(time.Hour)
	var hits []string
	for _, e := range b.sent {
		require.Equal(t, uint8(9), e.Channel(), "General MIDI channel 10")
		if e.IsNoteOn() {
			hits = append(hits, fmt.Sprintf("%d at %d", e.Data1, e.At/time.Millisecond))
		}
	}
	require.Len(t, hits, 4*5, "the count-in and four bars; none after the end")
	assert.Equal(t, []string{"76 at 0", "77 at 500", "77 at 1000", "77 at 1500", "76 at 2000"}, hits[:5])
	sounding := 0
	for _, e := range b.sent {
		if e.IsNoteOn() {
			sounding++
		} else {
			sounding--
		}
		assert.LessOrEqual(t, sounding, 1)
	}
	assert.Zero(t, sounding, "every click is released")
}

func TestUpbeatIsCountedInWithinItsBar(t *testing.T) {
	b := newBench(t, "key: C\nmeter: 4/4\ntempo: 120\nupbeat: 1\n\n(G7) | C | F |\n", nil)
	require.Equal(t, []time.Duration{bar + 1500*time.Millisecond}, b.music, "one bar, and three beats of the upbeat's")
	b.pass(8 * time.Second)
	var high []time.Duration
	for _, e := range b.sent {
		if e.IsNoteOn() && e.Data1 == event.HighBlock {
			high = append(high, e.At)
		}
	}
	assert.Equal(t, []time.Duration{0, 2 * time.Second, 4 * time.Second, 6 * time.Second}, high)
}

func TestFirstKeyBeginsTheCountIn(t *testing.T) {
	b := newBench(t, tune, func(o *Options) { o.Wait = true })
	b.pass(3 * time.Second)
	assert.Empty(t, b.music)
	assert.Equal(t, sitting.Waiting, b.s.view().Phase)
	assert.Equal(t, "play any key to begin", b.s.view().Notice)
	b.s.Event(event.On(b.now, 60, 70))
	b.s.Event(event.Off(b.now+50*time.Millisecond, 60))
	require.Equal(t, []time.Duration{3*time.Second + bar}, b.music)
	assert.Equal(t, 4, b.s.view().CountIn)
	b.play(exact(t, b.score, mistakes.Plan{}), time.Hour).pass(time.Hour)
	assert.Equal(t, float64(0), b.summary()["wrong"], "the key that began it is no mistake")
}

func TestPlainTellsOneCorrectionABarAndTheRestInTheSummary(t *testing.T) {
	b := newBench(t, tune, nil)
	plan := mistakes.Plan{}.Plant(mistakes.WrongBass, want(t, b.score, 2, 1, pattern.Left)).
		Plant(mistakes.Missing, want(t, b.score, 2, 4, pattern.Right))
	b.play(exact(t, b.score, plan), time.Hour).pass(time.Hour)
	text := b.s.text.String()
	assert.Equal(t, 1, strings.Count(text, "bar 2, beat"), text)
	assert.Contains(t, text, "bar 2, beat 1: bass ")
	assert.Contains(t, text, "bar 1: right\n")
	assert.Contains(t, text, "bar 3: right\nbar 4: right\n")
	assert.NotContains(t, text, "bar 2: right")
	assert.Contains(t, text, "2 to mend")
}

func TestUnpluggedKeyboardIsWaitedForAndTheBarBegunAgain(t *testing.T) {
	b := newBench(t, tune, nil)
	events := exact(t, b.score, mistakes.Plan{})
	gone := bar + 2*bar + 700*time.Millisecond // in bar 3, keys down
	b.play(events, gone).pass(gone)
	require.NotZero(t, b.s.view().Down)
	b.s.Lost(b.now, "Digital Piano")
	assert.Zero(t, b.s.view().Down, "held keys are held no longer")
	assert.Equal(t, "keyboard unplugged: waiting for Digital Piano", b.s.view().Notice)
	clicks := len(b.sent)
	b.pass(b.now + time.Minute)
	assert.Len(t, b.sent, clicks, "the click waits")
	b.s.Found(b.now, "Digital Piano")
	require.Len(t, b.music, 2)
	assert.Equal(t, b.now+comeBack+bar, b.music[1], "a new count-in")
	assert.Equal(t, 4, b.s.view().CountIn, "no more beats than are counted")

	start := b.score.Bars[2].At
	var rest []event.Event
	for _, e := range events {
		if e.At -= b.score.Tempo.Duration(start, b.score.Meter); e.At >= 0 {
			rest = append(rest, e)
		}
	}
	b.play(rest, time.Hour).pass(time.Hour)
	assert.Equal(t, float64(0), b.summary()["wrong"])
	assert.Equal(t, float64(len(b.score.Wants)+2), b.summary()["right"], "two strokes of bar 3 came twice")
	assert.Equal(t, []string{"keyboard unplugged: waiting for Digital Piano", "keyboard is back: Digital Piano"}, b.notices())
}

func TestLoopGoesRoundUntilStopped(t *testing.T) {
	b := newBench(t, tune, func(o *Options) { o.Heading.Loop = true })
	one := exact(t, b.score, mistakes.Plan{})
	var all []event.Event
	for round := range 3 {
		for _, e := range one {
			e.At += time.Duration(round) * 4 * bar
			all = append(all, e)
		}
	}
	b.play(all, bar+12*bar-50*time.Millisecond)
	require.False(t, b.s.Done())
	assert.Equal(t, 3, b.s.view().Pass)
	b.stop()
	require.True(t, b.s.Done())
	assert.Equal(t, 3*len(b.score.Wants), b.count("right"))
	assert.Equal(t, float64(0), b.summary()["wrong"])
}

func TestStoppingIsNoMistake(t *testing.T) {
	b := newBench(t, tune, nil)
	b.play(exact(t, b.score, mistakes.Plan{}), 4*bar+100*time.Millisecond)
	b.stop()
	assert.Equal(t, float64(0), b.summary()["wrong"])
	b.stop()
	sounding := map[uint8]bool{}
	for _, e := range b.sent {
		sounding[e.Data1] = e.IsNoteOn()
	}
	assert.NotContains(t, sounding, true, "no click is left sounding")
}

func TestClickThatComesBackIsNotPlaying(t *testing.T) {
	b := newBench(t, tune, nil)
	b.s.Event(event.Event{At: bar + time.Second, Status: event.NoteOn | 9, Data1: 77, Data2: 80})
	assert.Zero(t, b.s.view().Down)
}

func TestLongSessionEndsWithAdvice(t *testing.T) {
	b := newBench(t, tune, func(o *Options) { o.Heading.Loop = true })
	b.now = sitting.LongSession
	b.stop()
	assert.Contains(t, b.s.text.String(), "take a break")
}

func TestViewFollowsTheMusic(t *testing.T) {
	b := newBench(t, tune, nil)
	plan := mistakes.Plan{}.Plant(mistakes.WrongBass, want(t, b.score, 2, 1, pattern.Left))
	b.play(exact(t, b.score, plan), 2*bar+300*time.Millisecond).pass(2*bar + 300*time.Millisecond)
	v := b.s.view()
	assert.Equal(t, sitting.Playing, v.Phase)
	assert.Equal(t, 1, v.Current)
	assert.Equal(t, 1.5, v.Beat)
	assert.Contains(t, v.Correction, "bar 2, beat 1: bass ")
	assert.Equal(t, 2, v.CorrectionBar)
	assert.Equal(t, "F", v.Wanted)
	assert.Equal(t, "chord", v.WantedDetail)
	assert.Equal(t, "G7", v.NextChord)
	assert.Equal(t, 4, v.BeatsToNext)
	assert.Equal(t, "darling", v.Bars[1].Lyric)
	assert.Equal(t, 4, len(v.Bars))
	assert.NotZero(t, v.WrongKeys)
}

func TestRestOfAScoreKeepsItsChordsAndBars(t *testing.T) {
	s := scoreFor(t, material.Chart(t, "key: F\nmeter: 4/4\nupbeat: 2\n\n(C7) |: F | F C7 | Bb F . C7 :| F |\n"), "two-beat")
	for first := range s.Bars {
		rest := from(s, first)
		require.Len(t, rest.Bars, len(s.Bars)-first)
		require.Equal(t, s.Length-s.Bars[first].At, rest.Length)
		require.Equal(t, rest.Length, rest.Harmonies[len(rest.Harmonies)-1].End)
		n := 0
		for _, w := range s.Wants {
			if w.Bar < first {
				continue
			}
			got := rest.Wants[n]
			n++
			require.Equal(t, w.Tones, got.Tones)
			require.Equal(t, w.At-s.Bars[first].At, got.At)
			require.Equal(t, got.Bar, rest.BarAt(got.At))
			require.Equal(t, got.Harmony, rest.HarmonyAt(got.At))
			require.Equal(t, got.Chord, rest.Harmonies[got.Harmony].Chord)
		}
		require.Len(t, rest.Wants, n)
	}
}
