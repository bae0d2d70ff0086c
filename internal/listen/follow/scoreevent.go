package follow

import (
	"fmt"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// scoreEvent is a place of the score at which something is struck.
type scoreEvent struct {
	at      meter.Ticks
	elapsed float64 // the time until it: see score.Score.Elapsed
	gap     float64 // time from the event before, elapsed; of the first from the last of a pass before
	left    float64 // time to the end of the bar, elapsed
	bar     int32
	stroke  int32 // index into Follower.strokes: what is struck
	ahead   int32 // events with the same number agree on what comes next
	roll    bool
	opens   bool // on the first tick of its bar
}

// layEvents gathers what both hands strike at one time.
func (f *Follower) layEvents() {
	s := f.score
	known := map[string]int32{}
	middle := middles(s)
	for first := 0; first < len(s.Wants); {
		last := first + 1
		for last < len(s.Wants) && s.Wants[last].At == s.Wants[first].At {
			last++
		}
		wants := s.Wants[first:last]
		name := signature(wants)
		n, ok := known[name]
		if !ok {
			n = int32(len(f.strokes))
			known[name] = n
			f.strokes = append(f.strokes, newStroke(wants))
			for key := range f.fits {
				f.fits[key] = append(f.fits[key], newFit(wants, middle, pitch.Num(key)))
			}
		}
		f.events = append(f.events, newScoreEvent(s, wants, n))
		first = last
	}
	events := f.events
	for i := range events {
		m := &events[i]
		if i > 0 {
			m.gap = m.elapsed - events[i-1].elapsed
		} else {
			m.gap = s.Elapsed(s.Length) - events[len(events)-1].elapsed + m.elapsed
		}
	}
	nameAhead(s, events)
}

func newScoreEvent(s *score.Score, wants []score.Want, stroke int32) scoreEvent {
	w := &wants[0]
	b := &s.Bars[w.Bar]
	m := scoreEvent{at: w.At, elapsed: s.Elapsed(w.At), left: s.Elapsed(b.At+b.Len) - s.Elapsed(w.At), bar: int32(w.Bar), stroke: stroke, opens: w.At == b.At}
	for i := range wants {
		m.roll = m.roll || wants[i].Roll
	}
	return m
}

// signature is the same for events at which the same is wanted. Where a whole
// chord was demonstrated does not matter: its voicing is free.
func signature(wants []score.Want) string {
	name := ""
	for i := range wants {
		w := &wants[i]
		name += fmt.Sprint(w.Hand, w.Whole, fixed(w), w.Approach, w.Allowed)
		for _, t := range w.Tones {
			if w.Whole {
				t.Key = 0
			}
			name += fmt.Sprint(t)
		}
	}
	return name
}

// fixed reports a figure's note that has its octave.
func fixed(w *score.Want) bool { return w.Role == score.Figure && !w.Anchor }

// middles is around which key each hand's whole chords lie.
func middles(s *score.Score) [2]int {
	var sum, n [2]int
	for i := range s.Wants {
		if w := &s.Wants[i]; w.Whole {
			for _, t := range w.Tones {
				sum[w.Hand] += int(t.Key)
				n[w.Hand]++
			}
		}
	}
	for h := range sum {
		sum[h] /= max(1, n[h])
	}
	return sum
}

// nameAhead numbers the events so that two have the same number only where the
// events of about the next two bars are alike and lie alike in their bars.
func nameAhead(s *score.Score, events []scoreEvent) {
	type pair struct{ a, b int32 }
	name := func(of func(i int) pair) {
		known := map[pair]int32{}
		names := make([]int32, len(events))
		for i := range events {
			p := of(i)
			n, ok := known[p]
			if !ok {
				n = int32(len(known)) + 1
				known[p] = n
			}
			names[i] = n
		}
		for i := range events {
			events[i].ahead = names[i]
		}
	}
	name(func(i int) pair { return pair{events[i].stroke, int32(events[i].at - s.Bars[events[i].bar].At)} })
	for step := 1; step*len(s.Bars) < aheadBars*len(events); step *= 2 {
		name(func(i int) pair {
			if i+step >= len(events) {
				return pair{events[i].ahead, 0}
			}
			return pair{events[i].ahead, events[i+step].ahead}
		})
	}
}
