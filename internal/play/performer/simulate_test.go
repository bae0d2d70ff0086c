package performer

import (
	"fmt"
	"sort"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

func tune(t testing.TB, m, tempo, bars string) *chart.Chart {
	t.Helper()
	c := material.Chart(t, "title: Test\nkey: C\nmeter: "+m+"\ntempo: "+tempo+"\n\n"+bars+"\n")
	return c
}

func own(t testing.TB, m, grid, rows string) *pattern.Pattern {
	t.Helper()
	p := material.Pattern(t, "name: own\nmeter: "+m+"\ngrid: "+grid+"\n"+rows+"\n")
	return p
}

func build(t testing.TB, m, tempo, bars string, p *pattern.Pattern) *score.Score {
	t.Helper()
	s, err := score.Build(tune(t, m, tempo, bars), p, score.Options{})
	require.NoError(t, err)
	return s
}

func human(t testing.TB, level string) Habits {
	t.Helper()
	h, err := Human(level)
	require.NoError(t, err)
	return h
}

// assertKeyboard checks what no keyboard can break: time runs forward, every
// key is let go before it is struck again, and nothing sounds at the end.
func assertKeyboard(t *testing.T, events []event.Event, where string) {
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

// ons lists the strokes of keys.
func ons(events []event.Event) []event.Event {
	var all []event.Event
	for _, e := range events {
		if e.IsNoteOn() {
			all = append(all, e)
		}
	}
	return all
}

func TestAMachinePlaysAsWritten(t *testing.T) {
	s := build(t, "3/4", "120", "| C | G |", material.Shipped(t, "waltz"))
	p := Faultless(s, Habits{}, 1)
	assertKeyboard(t, p.Events, "waltz")
	assert.Empty(t, p.Truth)
	var got []string
	for _, e := range ons(p.Events) {
		got = append(got, fmt.Sprintf("%d@%d", e.Data1, e.At.Milliseconds()))
	}
	assert.Equal(t, []string{
		"48@0", "60@500", "64@500", "67@500", "60@1000", "64@1000", "67@1000",
		"43@1500", "59@2000", "62@2000", "67@2000", "59@2500", "62@2500", "67@2500",
	}, got)
}

// assertRequired checks that the tones that must sound at every want do, near
// its time, but for the wants that bear a mistake.
func assertRequired(t *testing.T, s *score.Score, p Performance, bound time.Duration, where string) {
	t.Helper()
	strokes := ons(p.Events)
	sort.SliceStable(strokes, func(i, j int) bool { return strokes[i].At < strokes[j].At })
	wrong := map[int]bool{}
	for _, f := range p.Truth {
		for _, i := range append([]int{f.Want}, f.Also...) {
			wrong[i] = true
		}
	}
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

func everyScore(t *testing.T, visit func(s *score.Score, where string)) {
	c := material.Catalogue(t)
	for _, p := range c.Of(pattern.Accompaniment) {
		for _, m := range meter.Known() {
			if !p.Fits(m) {
				continue
			}
			bars := "| C | Am | F/A | G7 | Bdim | Csus4 | Dm7 | C |"
			for _, f := range []int{-5, 0, 4} {
				key := pitch.Key{Tonic: pitch.NoteAtFifths(f)}
				c := tune(t, m.String(), "80", bars)
				material.Sing(c)
				s, err := score.Build(c, p, score.Options{Key: &key})
				require.NoError(t, err)
				visit(s, fmt.Sprintf("%s in %s, %s", p.Name, m, key))
			}
		}
	}
}

func TestEveryPatternSoundsAsWanted(t *testing.T) {
	everyScore(t, func(s *score.Score, where string) {
		beat := s.Tempo.Duration(s.Meter.Beat(), s.Meter)
		for _, level := range Levels() {
			h := human(t, level)
			p := Faultless(s, h, 7)
			assertKeyboard(t, p.Events, where)
			assertRequired(t, s, p, h.Bound(beat), where+", "+level)
			require.Len(t, p.Onsets, len(s.Wants), where)
		}
	})
}

func TestTheSameSeedPlaysTheSame(t *testing.T) {
	s := build(t, "4/4", "96", "| C | Am | F | G7 | C | F | G7 | C |", material.Shipped(t, "two-beat"))
	plan := Random(allKinds(), 0.5)
	h := human(t, "fluent")
	a, err := Play(s, h, plan, 11)
	require.NoError(t, err)
	b, err := Play(s, h, plan, 11)
	require.NoError(t, err)
	assert.Equal(t, a, b)
	c, err := Play(s, h, plan, 12)
	require.NoError(t, err)
	assert.NotEqual(t, a.Events, c.Events)
}

// A mistake changes nothing but itself.
func TestAMistakeLeavesTheRestAsItWas(t *testing.T) {
	s := build(t, "4/4", "96", "| C | Am | F | G7 |", material.Shipped(t, "two-beat"))
	h := human(t, "steady")
	plain := Faultless(s, h, 5)
	for _, k := range []Kind{WrongBass, WrongNote, Missing, MissingNote, ExtraNote, WrongChord} {
		i := Plan{}.Sites(s, h, k)[2]
		p, err := Play(s, h, Plan{}.Plant(k, i), 5)
		require.NoError(t, err)
		gone, added := difference(plain, p)
		concerned := append([]int{i}, p.Truth[0].Also...)
		for _, e := range append(gone, added...) {
			near := false
			for _, j := range concerned {
				at := s.Tempo.Duration(s.Wants[j].At, s.Meter)
				near = near || max(e.At-at, at-e.At) < h.Bound(625*time.Millisecond)
			}
			assert.True(t, near, "%s: key %d at %s", k, e.Data1, e.At)
		}
	}
}

// difference lists the strokes of keys that only one of two performances has,
// however loud.
func difference(a, b Performance) (gone, added []event.Event) {
	type strike struct {
		at  time.Duration
		key uint8
	}
	has := func(p Performance) map[strike]bool {
		all := map[strike]bool{}
		for _, e := range ons(p.Events) {
			all[strike{e.At, e.Data1}] = true
		}
		return all
	}
	inA, inB := has(a), has(b)
	for _, e := range ons(a.Events) {
		if !inB[strike{e.At, e.Data1}] {
			gone = append(gone, e)
		}
	}
	for _, e := range ons(b.Events) {
		if !inA[strike{e.At, e.Data1}] {
			added = append(added, e)
		}
	}
	return gone, added
}

func TestStartAndTheTimeBeforeIt(t *testing.T) {
	s := build(t, "4/4", "120", "| C | F |", material.Shipped(t, "block-whole"))
	p, err := Play(s, Habits{}, Plan{Start: 2 * time.Second}, 1)
	require.NoError(t, err)
	assert.Equal(t, 2*time.Second, p.Events[0].At)
	assert.Equal(t, 4*time.Second, p.Onsets[2].At)

	p = Faultless(s, Habits{Bias: -80 * time.Millisecond, Spread: 9 * time.Millisecond}, 1)
	assertKeyboard(t, p.Events, "early player")
	for _, e := range p.Events[:4] {
		assert.Zero(t, e.At)
		assert.True(t, e.IsNoteOn())
	}
	assert.InDelta(t, 1920, p.Onsets[2].At.Milliseconds(), 27)
}

func TestARepeatedChordIsLetGoBetween(t *testing.T) {
	s := build(t, "4/4", "320", "| C |", own(t, "4/4", "sixteenths", "right: "+"ch ch ch ch ch ch ch ch ch ch ch ch ch ch ch ch"))
	for _, level := range Levels() {
		p := Faultless(s, human(t, level), 3)
		assertKeyboard(t, p.Events, level)
		assert.Len(t, ons(p.Events), 48, level)
	}
}

func TestNothingToPlay(t *testing.T) {
	s := build(t, "4/4", "96", "| N.C. |", material.Shipped(t, "block-whole"))
	p, err := Play(s, human(t, "fluent"), Random(allKinds(), 1), 1)
	require.NoError(t, err)
	assert.Empty(t, p.Events)
	assert.Empty(t, p.Truth)
}
