// Package playback turns a score into sound: a demonstration, as exact as a
// machine or as a pianist plays it, each hand and the tune by itself, with a
// count-in and a click.
package playback

import (
	"slices"
	"sort"

	"undersong/internal/midi/event"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Part is what is played: a hand's part, or the tune.
type Part uint8

// The parts, in the order of a written score.
const (
	Tune Part = iota
	RightHand
	LeftHand
)

func (p Part) String() string { return [...]string{"melody", "right hand", "left hand"}[p] }

// Of is the part of a hand.
func Of(h pattern.Hand) Part {
	if h == pattern.Left {
		return LeftHand
	}
	return RightHand
}

// Hands are the parts of the hands that a score wants.
func Hands(s *score.Score) []Part {
	var all []Part
	for _, h := range []pattern.Hand{pattern.Right, pattern.Left} {
		if s.Only.Judges(h) {
			all = append(all, Of(h))
		}
	}
	return all
}

// Options say how a score is performed. The zero value is exact, once through,
// with neither count-in nor click.
type Options struct {
	Parts   []Part // nil: the hands that the score wants
	Human   bool   // with a fluent player's small unevenness, no mistakes
	Seed    uint64 // which unevenness
	Soft    bool   // so softly that somebody who plays with it is heard
	CountIn int    // bars
	Click   bool   // through the music too
	Times   int    // how often it is played; 0 counts as 1
}

func (o *Options) plays(v Part) bool { return slices.Contains(o.Parts, v) }

// Track is what one part plays, or the click; by time.
type Track struct {
	Name   string
	Events []event.Event
}

// Tracks performs s. Parts that have nothing to play are left out.
func Tracks(s *score.Score, o Options) []Track {
	p := NewPlayer(s, o)
	var tracks []Track
	for i := range p.parts {
		track := Track{Name: p.parts[i].name}
		for n := range max(1, o.Times) {
			track.Events = append(track.Events, p.pass(&p.parts[i], n)...)
		}
		tracks = append(tracks, track)
	}
	if o.CountIn == 0 && !o.Click {
		return tracks
	}
	clicks := p.CountIn()
	for n := range max(1, o.Times) {
		clicks = append(clicks, p.clicks(n)...)
	}
	return append(tracks, Track{"click", clicks})
}

// Merged is all tracks in the order of time: releases before strikes, the left
// hand's before the right's and the tune's, and no key struck while it is down or
// let go while another track holds it.
func Merged(tracks []Track) []event.Event {
	var all []event.Event
	for _, p := range slices.Backward(tracks) {
		all = append(all, p.Events...)
	}
	sortByTime(all)
	return oneKeyboard(all)
}

func sortByTime(all []event.Event) {
	sort.SliceStable(all, func(i, j int) bool {
		if all[i].At != all[j].At {
			return all[i].At < all[j].At
		}
		return !all[i].IsNoteOn() && all[j].IsNoteOn()
	})
}

// oneKeyboard makes playable what several parts strike on one keyboard: a key
// that is down comes up before it is struck again, and stays down until the last
// part lets go.
func oneKeyboard(all []event.Event) []event.Event {
	held := map[[2]uint8]int{}
	out := make([]event.Event, 0, len(all))
	for _, e := range all {
		k := [2]uint8{e.Channel(), e.Data1}
		switch {
		case e.IsNoteOn():
			if held[k] > 0 {
				out = append(out, event.Event{At: e.At, Status: event.NoteOff | e.Channel(), Data1: e.Data1, Data2: 64})
			}
			held[k]++
		case e.IsNoteOff():
			if held[k]--; held[k] > 0 {
				continue
			}
		}
		out = append(out, e)
	}
	return out
}
