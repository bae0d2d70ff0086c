package sounding

import (
	"sort"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

// ScoreOf lays a pattern, shipped or written out, over bars in C at 120 beats a
// minute. A pattern that plays the tune gets one.
func ScoreOf(t testing.TB, m, bars, name string) *score.Score {
	t.Helper()
	c := material.Chart(t, "title: T\nkey: C\ntempo: 120\nmeter: "+m+"\n\n"+bars+"\n")
	p, err := material.Catalogue(t).Find(name)
	if err != nil {
		p, err = pattern.Parse([]byte(name), "own.pattern")
	}
	require.NoError(t, err)
	if p.PlaysTune() && !c.HasMelody() {
		material.Sing(c)
	}
	s, err := score.Build(c, p, score.Options{})
	require.NoError(t, err)
	return s
}

// Note is one key in a performance under construction.
type Note struct {
	Key      pitch.Num
	At, Till time.Duration
	Velocity uint8 // 0 leaves it out
	Hand     pattern.Hand
	Bar      int // as printed
	Beat     float64
}

// Take is a performance to be bent before it is played.
type Take struct {
	Notes  []Note
	Pedals []event.Event
}

// Exact plays every want as demonstrated.
func Exact(s *score.Score) *Take {
	p := &Take{}
	at := func(k meter.Ticks) time.Duration { return s.Tempo.Duration(k, s.Meter) }
	for i := range s.Wants {
		w := &s.Wants[i]
		for _, k := range w.Keys() {
			v := uint8(70)
			if w.Accent || w.Role == score.Melody {
				v = 85
			}
			p.Notes = append(p.Notes, Note{k, at(w.At), at(w.At+w.Dur) - 10*time.Millisecond, v, w.Hand, s.Bars[w.Bar].Number, w.Beat})
		}
	}
	return p
}

// Each changes the notes of one stroke.
func (p *Take) Each(h pattern.Hand, bar int, b float64, change func(n *Note)) *Take {
	found := false
	for i := range p.Notes {
		if n := &p.Notes[i]; n.Hand == h && n.Bar == bar && n.Beat == b {
			change(n)
			found = true
		}
	}
	if !found {
		panic("no such stroke")
	}
	return p
}

// Keys gives a stroke other keys, in order; fewer keys leave notes out.
func (p *Take) Keys(h pattern.Hand, bar int, b float64, keys ...pitch.Num) *Take {
	i := 0
	p.Each(h, bar, b, func(n *Note) {
		if i < len(keys) {
			n.Key = keys[i]
		} else {
			n.Velocity = 0
		}
		i++
	})
	return p
}

// OneByOne strikes the notes of a stroke one after another, each later by a gap.
func (p *Take) OneByOne(h pattern.Hand, bar int, b float64, gap time.Duration) *Take {
	var late time.Duration
	return p.Each(h, bar, b, func(n *Note) {
		n.At += late
		late += gap
	})
}

// Add strikes a key that is no part of a stroke.
func (p *Take) Add(key pitch.Num, at, till time.Duration) *Take {
	p.Notes = append(p.Notes, Note{Key: key, At: at, Till: till, Velocity: 70})
	return p
}

// Events are what a keyboard sends, by time.
func (p *Take) Events() []event.Event {
	evs := append([]event.Event(nil), p.Pedals...)
	for _, n := range p.Notes {
		if n.Velocity > 0 {
			evs = append(evs, event.On(n.At, uint8(n.Key), n.Velocity), event.Off(n.Till, uint8(n.Key)))
		}
	}
	sort.SliceStable(evs, func(i, j int) bool { return evs[i].At < evs[j].At })
	return evs
}

// Keys reads notes as in "C3 E4".
func Keys(t testing.TB, text string) (keys []pitch.Num) {
	t.Helper()
	for _, word := range strings.Fields(text) {
		p, err := pitch.ParsePitch(word)
		require.NoError(t, err)
		keys = append(keys, p.Num())
	}
	return keys
}
