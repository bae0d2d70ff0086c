package capture

import (
	"slices"
	"sort"
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
)

// note is a key from its stroke to its release by the finger.
type note struct {
	key      pitch.Num
	on, off  time.Duration
	velocity int
}

// notesOf gathers the notes, by time and then from below. Drums and clicks are
// left out; a note that is never let go ends with the last event.
func notesOf(events []event.Event) []note {
	var keys keyboard.Keys
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
		case keyboard.Struck:
			if i, held := open[k]; held {
				all[i].off = e.At
			}
			open[k] = len(all)
			all = append(all, note{key: k, on: e.At, velocity: int(e.Data2)})
		case keyboard.Released:
			if i, held := open[k]; held {
				all[i].off = e.At
				delete(open, k)
			}
		case keyboard.Silenced:
			end(all, open, e.At)
			clear(open)
		}
	}
	end(all, open, last)
	sort.SliceStable(all, func(i, j int) bool {
		return all[i].on < all[j].on || all[i].on == all[j].on && all[i].key < all[j].key
	})
	return all
}

// end lets go of the notes that are still held.
func end(all []note, open map[pitch.Num]int, at time.Duration) {
	for _, i := range open {
		all[i].off = at
	}
}

// group is the notes that were struck together, or rolled.
type group struct {
	at    float64 // seconds, from the first note of all
	notes []note  // from below
}

func groupsOf(notes []note) []group {
	var parts [][]note
	if n := len(notes); n > 0 && notes[n-1].on-notes[0].on <= loneRoll {
		return []group{newGroup(slices.Clone(notes), notes[0].on)}
	}
	for i := 0; i < len(notes); {
		n := 1
		for i+n < len(notes) && notes[i+n].on-notes[i+n-1].on <= together && notes[i+n].on-notes[i].on <= gathered {
			n++
		}
		parts = append(parts, notes[i:i+n])
		i += n
	}
	var all []group
	step := min(rollStep, time.Duration(rollShare*float64(usualGap(parts))))
	for i := 0; i < len(parts); {
		g := slices.Clone(parts[i])
		for i++; i < len(parts) && parts[i][0].on-g[len(g)-1].on < step; i++ {
			g = append(g, parts[i]...)
		}
		all = append(all, newGroup(g, notes[0].on))
	}
	return all
}

// newGroup takes notes by time. A roll is where it begins, else the middle counts.
func newGroup(notes []note, zero time.Duration) group {
	g := group{at: middle(notes, zero), notes: notes}
	if notes[len(notes)-1].on-notes[0].on > gathered {
		g.at = (notes[0].on - zero).Seconds()
	}
	slices.SortStableFunc(notes, func(a, b note) int { return int(a.key - b.key) })
	return g
}

// usualGap is the median distance between onsets.
func usualGap(parts [][]note) time.Duration {
	var gaps []time.Duration
	for i := 1; i < len(parts); i++ {
		if d := parts[i][0].on - parts[i-1][0].on; d > rollStep {
			gaps = append(gaps, d)
		}
	}
	if len(gaps) == 0 {
		return time.Second
	}
	slices.Sort(gaps)
	return gaps[len(gaps)/2]
}

// middle is the mean onset.
func middle(notes []note, zero time.Duration) float64 {
	sum := 0.0
	for _, n := range notes {
		sum += (n.on - zero).Seconds()
	}
	return sum / float64(len(notes))
}

// rolled reports notes of one hand, from below, that were struck one after the
// other.
func rolled(notes []note) bool {
	n := len(notes)
	for i := 1; i < n; i++ {
		if notes[i].on < notes[i-1].on {
			return false
		}
	}
	if n == 2 {
		return notes[1].on-notes[0].on >= leastRollPair
	}
	return n > 2 && notes[n-1].on-notes[0].on >= time.Duration(n-1)*leastRollStep
}
