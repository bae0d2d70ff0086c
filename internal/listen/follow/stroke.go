package follow

import (
	"math/bits"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// tones is a set of the notes of a stroke: bit n for its n-th, low to high, the
// left hand's before the right's. Notes beyond mostTones are not counted.
type tones uint32

const mostTones = 32

func (t tones) count() int { return bits.OnesCount32(uint32(t)) }

// first is the set of its lowest note alone.
func (t tones) first() tones { return t & -t }

// stroke is what both hands strike at an event, made ready for listening.
type stroke struct {
	need [2]tones // per hand, the notes that may not be left out
	all  int      // notes in all
}

// fit is how a key fits a stroke.
type fit struct {
	cost float64 // in nats, as a note of the stroke; costForeign where it is none
	best tones   // the notes for which it costs that
	any  tones   // the notes which it can be at all
}

// foreign reports a key that is no note of the stroke.
func (f *fit) foreign() bool { return f.cost >= costForeign }

// of is the note of a stroke that the key is best taken for, where those in open
// lack yet, and what that costs; 0 where it fits none of them.
func (f *fit) of(open tones) (tones, float64) {
	if t := f.best & open; t != 0 {
		return t.first(), f.cost
	}
	if t := f.any & open; t != 0 {
		return t.first(), f.cost + costOctave
	}
	return 0, 0
}

func newStroke(wants []score.Want) stroke {
	var s stroke
	for i := range wants {
		w := &wants[i]
		for n := range w.Tones {
			if !w.Tones[n].Optional && s.all < mostTones {
				s.need[w.Hand] |= 1 << s.all
			}
			s.all++
		}
	}
	return s
}

// newFit weighs a key as a note of what is wanted at one time.
func newFit(wants []score.Want, middle [2]int, key pitch.Num) fit {
	f := fit{cost: costForeign}
	bit := 0
	for i := range wants {
		w := &wants[i]
		at := middle[w.Hand]
		for n := range w.Tones {
			if cost := toneCost(w, &w.Tones[n], key, at); cost < costForeign && bit < mostTones {
				f.take(cost, 1<<bit)
			}
			bit++
		}
		if w.Whole && w.Allowed.Has(key.Class()) {
			f.cost = min(f.cost, costDouble+farCost(int(key), at))
		}
	}
	return f
}

// take takes the key for one more note.
func (f *fit) take(cost float64, t tones) {
	f.any |= t
	switch {
	case cost < f.cost:
		f.cost, f.best = cost, t
	case cost == f.cost:
		f.best |= t
	}
}

// toneCost is how unlikely a key is as one note of a want, given that something
// is struck there.
func toneCost(w *score.Want, t *score.Tone, key pitch.Num, middle int) float64 {
	switch {
	case !t.Accept.Has(key.Class()):
		return costForeign
	case w.Whole:
		return farCost(int(key), middle)
	case fixed(w) && !t.AnyOctave && key != t.Key:
		return costOctave
	}
	return farCost(int(key), int(t.Key))
}

func farCost(key, at int) float64 {
	d := key - at
	if d < 0 {
		d = -d
	}
	return min(costFarMost, costFar*float64(max(0, d-spanOfHand)))
}

// tuneCosts are the costs of keys in the hand that is free for the tune, where
// there is one: cheap beyond all that the other hand plays.
func tuneCosts(s *score.Score) [128]float64 {
	var costs [128]float64
	low, high, plays := 127, 0, [2]bool{}
	for i := range s.Wants {
		w := &s.Wants[i]
		plays[w.Hand] = true
		low = min(low, int(w.Tones[0].Key))
		high = max(high, int(w.Tones[len(w.Tones)-1].Key))
	}
	for key := range costs {
		costs[key] = costExtraKey
		above, below := plays[0] && !plays[1] && key > high+tuneApart, plays[1] && !plays[0] && key < low-tuneApart
		if above || below {
			costs[key] = costTune
		}
	}
	return costs
}
