// Package sounding is scores to be played, playing as tests write it down, and what
// every performance must hold,
// for tests.
package sounding

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

// Tune is a chart in C.
func Tune(t testing.TB, m, tempo, bars string) *chart.Chart {
	t.Helper()
	c := material.Chart(t, "title: Test\nkey: C\nmeter: "+m+"\ntempo: "+tempo+"\n\n"+bars+"\n")
	return c
}

// Own is a pattern of rows.
func Own(t testing.TB, m, grid, rows string) *pattern.Pattern {
	t.Helper()
	p := material.Pattern(t, "name: own\nmeter: "+m+"\ngrid: "+grid+"\n"+rows+"\n")
	return p
}

// Score lays a pattern over bars in C.
func Score(t testing.TB, m, tempo, bars string, p *pattern.Pattern) *score.Score {
	t.Helper()
	s, err := score.Build(Tune(t, m, tempo, bars), p, score.Options{})
	require.NoError(t, err)
	return s
}

// AssertKeyboard checks what no keyboard can break: time runs forward, every
// key is let go before it is struck again, and nothing sounds at the end.
func AssertKeyboard(t *testing.T, events []event.Event, where string) {
	t.Helper()
	down, released := map[uint8]bool{}, map[uint8]time.Duration{}
	pedal := uint8(0)
	var last time.Duration
	for _, e := range events {
		require.GreaterOrEqual(t, e.At, last, where)
		last = e.At
		switch {
		case e.IsNoteOn():
			require.False(t, down[e.Data1], "%s: key %d struck twice at %s", where, e.Data1, e.At)
			if at, ok := released[e.Data1]; ok {
				require.GreaterOrEqual(t, e.At-at, 5*time.Millisecond, where)
			}
			down[e.Data1] = true
		case e.IsNoteOff():
			require.True(t, down[e.Data1], "%s: key %d let go at %s", where, e.Data1, e.At)
			down[e.Data1], released[e.Data1] = false, e.At
		default:
			pedal = e.Data2
		}
	}
	require.Zero(t, pedal, where)
	for k, d := range down {
		require.False(t, d, "%s: key %d hangs", where, k)
	}
}

// Ons lists the strokes of keys.
func Ons(events []event.Event) []event.Event {
	var all []event.Event
	for _, e := range events {
		if e.IsNoteOn() {
			all = append(all, e)
		}
	}
	return all
}

// Strokes lists strokes as "bar.beat@seconds", each of a want at a time.
func Strokes[O any](s *score.Score, onsets []O, of func(O) (want int, at time.Duration)) string {
	var all []string
	for _, o := range onsets {
		i, at := of(o)
		w := &s.Wants[i]
		all = append(all, fmt.Sprintf("%d.%g@%g", s.Bars[w.Bar].Number, w.Beat, math.Round(at.Seconds()*100)/100))
	}
	return strings.Join(all, " ")
}

// EveryScore visits every pattern in every meter that it fits, in three keys.
func EveryScore(t *testing.T, visit func(s *score.Score, where string)) {
	c := material.Catalogue(t)
	for _, p := range c.Of(pattern.Accompaniment) {
		for _, m := range meter.Known() {
			if !p.Fits(m) {
				continue
			}
			bars := "| C | Am | F/A | G7 | Bdim | Csus4 | Dm7 | C |"
			for _, f := range []int{-5, 0, 4} {
				key := pitch.Key{Tonic: pitch.NoteAtFifths(f)}
				c := Tune(t, m.String(), "80", bars)
				material.Sing(c)
				s, err := score.Build(c, p, score.Options{Key: &key})
				require.NoError(t, err)
				visit(s, fmt.Sprintf("%s in %s, %s", p.Name, m, key))
			}
		}
	}
}

// AssertRequired checks that the tones that must sound at every want do, near
// its time, but for the wants that bear a mistake.
func AssertRequired(t *testing.T, s *score.Score, events []event.Event, wrong map[int]bool, bound time.Duration, where string) {
	t.Helper()
	strokes := Ons(events)
	sort.SliceStable(strokes, func(i, j int) bool { return strokes[i].At < strokes[j].At })
	for i := range s.Wants {
		if wrong[i] {
			continue
		}
		w := &s.Wants[i]
		at := s.Tempo.Duration(w.At, s.Meter)
		from := sort.Search(len(strokes), func(j int) bool { return strokes[j].At >= at-bound })
		for _, tone := range w.Tones {
			found := tone.Optional
			for j := from; j < len(strokes) && strokes[j].At <= at+bound; j++ {
				found = found || tone.Accept.Has(pitch.Num(strokes[j].Data1).Class())
			}
			require.True(t, found, "%s: bar %d beat %g lacks %v", where, s.Bars[w.Bar].Number, w.Beat, tone)
		}
	}
}

// LongScore is 256 bars of chords on every beat over a bass on every beat.
func LongScore(t *testing.T) *score.Score {
	bars := ""
	for range 64 {
		bars += "| C | F | G | C "
	}
	return Score(t, "4/4", "60", bars+"|", Own(t, "4/4", "quarters", "right: ch ch ch ch\nleft: 1 1 1 1"))
}

// Pedals lists the damper's messages as ms, down positive and up negative.
func Pedals(events []event.Event) (all []int64) {
	for _, e := range events {
		if e.Kind() == event.ControlChange {
			at := e.At.Milliseconds()
			if e.Data2 == 0 {
				at = -at
			}
			all = append(all, at)
		}
	}
	return all
}

// Difference lists the strokes of keys that only one of two performances has,
// however loud.
func Difference(a, b []event.Event) (gone, added []event.Event) {
	type strike struct {
		at  time.Duration
		key uint8
	}
	has := func(events []event.Event) map[strike]bool {
		all := map[strike]bool{}
		for _, e := range Ons(events) {
			all[strike{e.At, e.Data1}] = true
		}
		return all
	}
	inA, inB := has(a), has(b)
	for _, e := range Ons(a) {
		if !inB[strike{e.At, e.Data1}] {
			gone = append(gone, e)
		}
	}
	for _, e := range Ons(b) {
		if !inA[strike{e.At, e.Data1}] {
			added = append(added, e)
		}
	}
	return gone, added
}
