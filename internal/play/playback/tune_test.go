package playback

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

// struck are the strikes of a track, and when each key is let go.
func struck(p Track) (keys []uint8, at, off []time.Duration) {
	for i, e := range p.Events {
		if !e.IsNoteOn() {
			continue
		}
		keys, at = append(keys, e.Data1), append(at, e.At)
		for _, f := range p.Events[i:] {
			if f.IsNoteOff() && f.Data1 == e.Data1 {
				off = append(off, f.At)
				break
			}
		}
	}
	return keys, at, off
}

func TestTheTuneIsAPartOfItsOwn(t *testing.T) {
	const second = time.Second
	// 4/4 at 120: a quarter is half a second. The A is tied over the bar.
	s := scoreOf(t, "4/4", "| C | F |\nm: c2 e2 A4- | A2 z2 c4", material.Shipped(t, "boogie-rocking"), score.Options{})
	parts := Tracks(s, Options{Parts: []Part{LeftHand, Tune}})
	require.Len(t, parts, 2)
	assert.Equal(t, "melody", parts[0].Name)
	keys, at, off := struck(parts[0])
	assert.Equal(t, []uint8{72, 76, 69, 72}, keys)
	assert.Equal(t, []time.Duration{0, second / 2, second, 3 * second}, at)
	assert.InDelta(t, 2.5, off[2].Seconds(), 0.15)
	assert.Len(t, Tracks(s, Options{}), 1, "the tune is played where it is asked for")
	assert.Empty(t, Tracks(scoreOf(t, "4/4", "| C | F |", material.Shipped(t, "block-whole"), score.Options{}), Options{Parts: []Part{Tune}}), "no tune is written")
}

func TestTheTuneGoesUpWhereItWouldBeCovered(t *testing.T) {
	for _, c := range []struct {
		name, tune, pattern string
		only                score.Only
		octaves             int
	}{
		{"above the left hand's figure", "| C |\nm: c4 e4", "arpeggio-wave", score.BothHands, 0},
		{"among the right hand's chords", "| C |\nm: E4 G4", "two-beat", score.BothHands, 1},
		{"the same over the left hand alone", "| C |\nm: E4 G4", "two-beat", score.LeftAlone, 0},
		{"below the left hand", "| C |\nm: C,4 E,4", "two-beat", score.BothHands, 2},
		{"as high as the keyboard goes", "| C |\nm: c'''8", "two-beat", score.BothHands, 0},
	} {
		s := scoreOf(t, "4/4", c.tune, material.Shipped(t, c.pattern), score.Options{Only: c.only})
		assert.Equal(t, c.octaves, NewPlayer(s, Options{Parts: []Part{Tune}}).Lift(), c.name)
	}
}

func TestTheTuneSwingsWithThePattern(t *testing.T) {
	p := material.Shipped(t, "shuffle")
	require.False(t, p.Swing.Straight())
	s := scoreOf(t, "4/4", "| C |\nm: c d e f (3gab c'2", p, score.Options{})
	_, at, _ := struck(Tracks(s, Options{Parts: []Part{Tune}})[0])
	for i, want := range []float64{0, 1.0 / 3, 0.5, 0.5 + 1.0/3, 1, 1 + 1.0/6, 1 + 1.0/3, 1.5} {
		assert.InDelta(t, want, at[i].Seconds(), 0.001, "note %d: the second of two comes late, triplets do not", i+1)
	}
}

func TestOneKeyServesTwoParts(t *testing.T) {
	ms := func(n int) time.Duration { return time.Duration(n) * time.Millisecond }
	all := Merged([]Track{
		{"melody", []event.Event{event.On(ms(100), 60, 80), event.Off(ms(200), 60)}},
		{"left hand", []event.Event{event.On(0, 60, 64), event.Off(ms(300), 60)}},
	})
	assert.Equal(t, []event.Event{event.On(0, 60, 64), event.Off(ms(100), 60), event.On(ms(100), 60, 80), event.Off(ms(300), 60)}, all,
		"it comes up before it is struck again, and stays down until both have let go")
}

func TestCountInBeforeAnUpbeat(t *testing.T) {
	p := material.Shipped(t, "two-beat")
	c := material.Chart(t, "key: C\ntempo: 120\nmeter: 4/4\nupbeat: 1\n\n(G7) | C | F |\n")
	s, err := score.Build(c, p, score.Options{})
	require.NoError(t, err)
	player := NewPlayer(s, Options{CountIn: 1, Click: true})
	assert.Equal(t, 2*time.Second, player.Lead(), "whole bars, so that bars of a file stay bars")
	var high []time.Duration
	for _, e := range append(player.CountIn(), player.Pass(0)...) {
		if e.IsNoteOn() && e.Channel() == event.Percussion && e.Data1 == event.HighBlock {
			high = append(high, e.At)
		}
	}
	assert.Equal(t, []time.Duration{500 * time.Millisecond, 2500 * time.Millisecond, 4500 * time.Millisecond}, high, "a bar apart")
}

func TestNothingOutlastsAPass(t *testing.T) {
	s := scoreOf(t, "4/4", "| C | F |\nm: c8- | c8", material.Shipped(t, "block-whole"), score.Options{})
	for _, part := range []*score.Score{s, s.Part(0, 0)} {
		player := NewPlayer(part, Options{Human: true, Parts: []Part{RightHand, LeftHand, Tune}})
		for n := range 3 {
			down := map[uint8]bool{}
			for _, e := range player.Pass(n) {
				assert.GreaterOrEqual(t, e.At, time.Duration(n)*player.Length())
				assert.LessOrEqual(t, e.At, time.Duration(n+1)*player.Length())
				if down[e.Data1] = e.IsNoteOn(); !down[e.Data1] {
					delete(down, e.Data1)
				}
			}
			assert.Empty(t, down)
		}
	}
}

func TestSoftlyUnderAPlayer(t *testing.T) {
	s := scoreOf(t, "3/4", "| C | F |", material.Shipped(t, "sarabande"), score.Options{})
	for _, e := range NewPlayer(s, Options{Soft: true}).Pass(0) {
		if e.IsNoteOn() {
			assert.LessOrEqual(t, e.Data2, uint8(60), "accents too")
			assert.GreaterOrEqual(t, e.Data2, uint8(50))
		}
	}
}
