package capture

import (
	"sort"
	"time"

	"undersong/internal/event"
	"undersong/internal/hands"
	"undersong/internal/pitch"
)

// note is a key from its stroke to its release by the finger.
type note struct {
	key      pitch.Num
	on, off  time.Duration
	velocity int
}

// shortest is how long a note lasts at least: releases may be missing.
const shortest = 20 * time.Millisecond

// notesOf gathers the notes, by time and then from below. Drums and clicks are
// left out; a note that is never let go ends with the last event.
func notesOf(events []event.Event) []note {
	var keys hands.Keys
	var all []note
	open := map[pitch.Num]int{}
	last := time.Duration(0)
	for _, e := range events {
		if e.Channel() == event.Percussion {
			continue
		}
		last = max(last, e.At)
		k := pitch.Num(e.Data1 & 0x7F)
		switch keys.Feed(e) {
		case hands.Struck:
			if i, held := open[k]; held {
				all[i].off = e.At
			}
			open[k] = len(all)
			all = append(all, note{key: k, on: e.At, velocity: int(e.Data2)})
		case hands.Released:
			if i, held := open[k]; held {
				all[i].off = e.At
				delete(open, k)
			}
		case hands.Silenced:
			for k, i := range open {
				all[i].off = e.At
				delete(open, k)
			}
		}
	}
	for _, i := range open {
		all[i].off = last
	}
	for i := range all {
		all[i].off = max(all[i].off, all[i].on+shortest)
	}
	sort.SliceStable(all, func(i, j int) bool {
		return all[i].on < all[j].on || all[i].on == all[j].on && all[i].key < all[j].key
	})
	return all
}

// group is the notes that were struck together.
type group struct {
	at    float64 // seconds, from the first note of all
	notes []note  // from below
	roll  bool    // struck one after the other from below, on purpose
}

// How notes belong together: fingers that mean one moment are within together of
// the note before and within gathered of the first (Rasch 1979: players of an
// ensemble are 30 to 50 ms apart); a roll climbs with up to rollStep between notes
// (common practice, no source).
const (
	together  = 52 * time.Millisecond
	gathered  = 95 * time.Millisecond
	rollStep  = 75 * time.Millisecond
	rollWhole = 250 * time.Millisecond
)

func groupsOf(notes []note) []group {
	var all []group
	for i := 0; i < len(notes); {
		n := rolled(notes[i:])
		roll := n > 0
		if !roll {
			n = struckTogether(notes[i:])
		}
		g := group{at: (notes[i].on - notes[0].on).Seconds(), notes: append([]note(nil), notes[i:i+n]...), roll: roll}
		if !roll {
			g.at = middle(g.notes, notes[0].on)
		}
		sort.SliceStable(g.notes, func(a, b int) bool { return g.notes[a].key < g.notes[b].key })
		all = append(all, g)
		i += n
	}
	return all
}

// middle is the mean onset.
func middle(notes []note, zero time.Duration) float64 {
	sum := 0.0
	for _, n := range notes {
		sum += (n.on - zero).Seconds()
	}
	return sum / float64(len(notes))
}

func struckTogether(notes []note) int {
	n := 1
	for n < len(notes) && notes[n].on-notes[n-1].on <= together && notes[n].on-notes[0].on <= gathered {
		n++
	}
	return n
}

// rolled is how many notes a roll at the beginning of notes has, or 0: three at
// least, each higher and later than the one before.
func rolled(notes []note) int {
	n := 1
	for n < len(notes) && notes[n].key > notes[n-1].key && notes[n].on-notes[n-1].on <= rollStep && notes[n].on-notes[0].on <= rollWhole {
		n++
	}
	if n < 3 || notes[n-1].on-notes[0].on < time.Duration(n-1)*leastRollStep {
		return 0
	}
	return n
}

// leastRollStep is the mean distance from which rising notes are a roll: above
// what fingers do by chance.
const leastRollStep = 28 * time.Millisecond
