package cause

import (
	"math"
	"math/bits"
	"sort"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// moment is all that is wanted at one place, or all that is struck together.
type moment struct {
	classes   uint16        // bit n for pitch class n
	low, high int           // the outer keys
	when      time.Duration // of what is struck
	place     meter.Ticks   // of what is wanted
	bar       int           // the same: index into the score's bars
	opens     bool          // it is the first of its bar
	hands     [2]bool       // what is wanted: of which hands
	harmony   int           // the same: index into the score's harmonies
}

// alignment is the best way to take what was struck for moments of the score in some key.
type alignment struct {
	cost float64 // nats, about
	off  [2]int  // semitones: by hand, how much higher its outer keys lie than written, summed up
	n    [2]int  // over so many moments
}

// higher is about how much higher all lies than it is written, in semitones.
func (a *alignment) higher() int {
	return int(math.Round(float64(a.off[0]+a.off[1]) / float64(max(1, a.n[0]+a.n[1]))))
}

// proposeLed lists the readings that are worth weighing for a player who leads.
func (j *Judge) proposeLed(now time.Duration, present *weight) []reading {
	var all []reading
	if !j.reading.plain() {
		all = append(all, reading{})
	}
	struck := j.moments(j.doubt.since, now)
	if len(struck) < fewestOnsets {
		return append(all, j.hushed(present)...)
	}
	wanted := j.led.wanted(j)
	var ways [12]alignment
	for up := range ways {
		ways[up] = align(struck, wanted, up)
	}
	order := []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}
	sort.SliceStable(order, func(a, b int) bool { return ways[order[a]].cost < ways[order[b]].cost })
	for _, up := range order[:likeliestLed] {
		if ways[up].cost < ways[0].cost {
			all = append(all, otherKey(up, ways[up].higher()))
		}
	}
	return append(append(all, ways[0].lifts()...), j.hushed(present)...)
}

// lifts are the readings of hands that lie some octaves off.
func (a *alignment) lifts() []reading {
	var by [2]int
	for h := range by {
		if a.n[h] > 0 {
			by[h] = int(math.Round(float64(a.off[h]) / float64(12*a.n[h])))
		}
	}
	var all []reading
	for _, r := range lifts() {
		if (r.lift[0] == by[0] || r.lift[0] == 0) && (r.lift[1] == by[1] || r.lift[1] == 0) {
			all = append(all, r)
		}
	}
	return all
}

// hushed are the readings of a hand of which nothing comes, where strokes of it are missing,
// or little is explained.
func (j *Judge) hushed(present *weight) []reading {
	var all []reading
	for _, r := range silences() {
		if h := r.causes[what].Hand; h <= finding.RightHand && j.Score.Only == score.BothHands && (present.missing[h] >= fewestWrong || !present.heard()) {
			all = append(all, r)
		}
	}
	return all
}

// moments are what was struck from one time to another, the latest only.
func (j *Judge) moments(from, now time.Duration) []moment { return j.latest(from, now, mostAligned) }

// latest are so many moments that were struck from one time to another, at most.
func (j *Judge) latest(from, now time.Duration, most int) (all []moment) {
	j.kept.each(from, now, func(ev event.Event) {
		if !ev.IsNoteOn() {
			return
		}
		key := int(ev.Data1)
		if len(all) == 0 || ev.At > all[len(all)-1].when+keyboard.Together {
			all = append(all, moment{low: key, high: key, when: ev.At})
		}
		m := &all[len(all)-1]
		m.add(key)
	})
	return all[max(0, len(all)-most):]
}

func (m *moment) add(key int) {
	m.low, m.high = min(m.low, key), max(m.high, key)
	m.classes |= 1 << (key % 12)
}

// wanted are the moments of the score.
func (l *led) wanted(j *Judge) []moment {
	if l.moments == nil {
		l.moments = momentsOf(j.Score, [2]bool{})
	}
	return l.moments
}

// asked are the moments at which the hands that play are asked for something.
func (j *Judge) asked() []moment {
	if j.reading.mute == ([2]bool{}) {
		return j.led.wanted(j)
	}
	if j.led.alone == nil {
		j.led.alone = momentsOf(j.Score, j.reading.mute)
	}
	return j.led.alone
}

// momentsOf are the moments of a score without the hands that are silent.
func momentsOf(s *score.Score, mute [2]bool) (all []moment) {
	bar := -1
	for i := range s.Wants {
		w := &s.Wants[i]
		if mute[w.Hand] {
			continue
		}
		if len(all) == 0 || w.At != all[len(all)-1].place {
			all = append(all, moment{low: 127, place: w.At, bar: w.Bar, opens: w.Bar != bar, harmony: w.Harmony})
		}
		bar = w.Bar
		m := &all[len(all)-1]
		for _, key := range w.Keys() {
			m.add(int(key))
		}
		m.hands[w.Hand] = true
	}
	return all
}

// alignStep is what it costs to go on by so many moments.
var alignStep = [...]float64{alignAgain, 0, alignSkip, alignSkips}

// align finds the best way through the score, so many semitones up, for what was struck:
// forward, over moments left out or struck again, and by leaps. It is a Viterbi search
// over pitch classes alone.
func align(struck, wanted []moment, up int) alignment {
	n := len(wanted)
	if n == 0 {
		return alignment{}
	}
	ways, next := make([]alignment, n), make([]alignment, n)
	for i := range struck {
		s := &struck[i]
		down := s.down(up)
		leap := ways[0]
		for k := range ways {
			if ways[k].cost < leap.cost {
				leap = ways[k]
			}
		}
		leap.cost += alignLeap
		for k := range wanted {
			best := leap
			for back, cost := range alignStep {
				if k >= back && ways[k-back].cost+cost < best.cost {
					best = ways[k-back]
					best.cost += cost
				}
			}
			next[k] = best.with(s, &wanted[k], down)
		}
		ways, next = next, ways
	}
	best := ways[0]
	for k := range ways {
		if ways[k].cost < best.cost {
			best = ways[k]
		}
	}
	return best
}

// with goes on by a moment struck for one that is wanted.
func (a alignment) with(s, w *moment, classes uint16) alignment {
	a.cost += w.differs(classes)
	if w.hands[pattern.Left] {
		a.off[pattern.Left] += s.low - w.low
		a.n[pattern.Left]++
	}
	if w.hands[pattern.Right] {
		a.off[pattern.Right] += s.high - w.high
		a.n[pattern.Right]++
	}
	return a
}

// down is the classes so many semitones lower, 0 to 11.
func (m *moment) down(by int) uint16 { return (m.classes>>by | m.classes<<(12-by)) & 0xFFF }

// differs is what it costs to take some classes for the moment's.
func (m *moment) differs(classes uint16) float64 {
	foreign, lacking := bits.OnesCount16(classes&^m.classes), bits.OnesCount16(m.classes&^classes)
	return min(alignMost, alignForeign*float64(foreign)+alignLacking*float64(lacking))
}
