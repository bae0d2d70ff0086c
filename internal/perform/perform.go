// Package perform turns a score into sound: a demonstration, as exact as a
// machine or as a pianist plays it, each hand by itself, with a count-in and a
// click.
package perform

import (
	"sort"
	"time"

	"undersong/internal/event"
	"undersong/internal/pattern"
	"undersong/internal/score"
	"undersong/internal/simulate"
)

// Options say how a score is performed. The zero value is exact, once through,
// with neither count-in nor click.
type Options struct {
	Human   bool   // with a fluent player's small unevenness, no mistakes
	Seed    uint64 // which unevenness
	CountIn int    // bars
	Click   bool   // through the music too
	Times   int    // how often it is played; 0 counts as 1
}

// Part is what one hand plays, or the click; by time.
type Part struct {
	Name   string
	Events []event.Event
}

// blockSound is how long a click sounds.
const blockSound = 60 * time.Millisecond

// Parts performs s. Hands that play nothing are left out.
func Parts(s *score.Score, o Options) ([]Part, error) {
	habits := simulate.Habits{Legato: 0.95}
	if o.Human {
		var err error
		if habits, err = simulate.Human("fluent"); err != nil {
			return nil, err
		}
		habits.Pedal = simulate.NoPedal // each hand is its own track: the foot belongs to neither
		habits.LeaveOut, habits.Revoice = 0, 0
	}
	lead := time.Duration(o.CountIn) * s.Tempo.Duration(s.Meter.Bar(), s.Meter)
	pass := s.Time(s.Length)
	var parts []Part
	for _, h := range []pattern.Hand{pattern.Right, pattern.Left} {
		alone := *s
		alone.Only = score.LeftAlone + score.Only(h)
		one, _, _ := alone.Alone()
		if !s.Only.Judges(h) || len(one.Wants) == 0 {
			continue
		}
		p := Part{Name: h.String() + " hand"}
		for i := range max(1, o.Times) {
			for _, e := range simulate.Faultless(one, habits, o.Seed+uint64(i)).Events {
				e.At += lead + time.Duration(i)*pass
				p.Events = append(p.Events, e)
			}
		}
		sortByTime(p.Events)
		parts = append(parts, p)
	}
	if o.CountIn > 0 || o.Click {
		parts = append(parts, Part{"click", clicks(s, o, lead, pass)})
	}
	return parts, nil
}

// clicks is the count-in, and the beats of the music where they are wanted.
func clicks(s *score.Score, o Options, lead, pass time.Duration) []event.Event {
	var all []event.Event
	strike := func(at time.Duration, first bool) {
		key, velocity := uint8(event.LowBlock), uint8(80)
		if first {
			key, velocity = event.HighBlock, 110
		}
		on := event.Event{At: at, Status: event.NoteOn | event.Percussion, Data1: key, Data2: velocity}
		off := event.Event{At: at + blockSound, Status: event.NoteOff | event.Percussion, Data1: key}
		all = append(all, on, off)
	}
	beat := s.Tempo.Duration(s.Meter.Beat(), s.Meter)
	for i := range o.CountIn * s.Meter.Beats() {
		strike(time.Duration(i)*beat, i%s.Meter.Beats() == 0)
	}
	if !o.Click {
		return all
	}
	for n := range max(1, o.Times) {
		from := lead + time.Duration(n)*pass
		for _, b := range s.Beats() {
			strike(from+s.Time(b.At), b.First)
		}
	}
	return all
}

// Merged is all parts in the order of time: releases before strikes.
func Merged(parts []Part) []event.Event {
	var all []event.Event
	for _, p := range parts {
		all = append(all, p.Events...)
	}
	sortByTime(all)
	return all
}

func sortByTime(all []event.Event) {
	sort.SliceStable(all, func(i, j int) bool {
		if all[i].At != all[j].At {
			return all[i].At < all[j].At
		}
		return !all[i].IsNoteOn() && all[j].IsNoteOn()
	})
}
