package follow

import (
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// stroke is what both hands strike at an event, made ready for listening.
type stroke struct {
	cost [128]float32 // of each key, were it struck here
	need [2][]uint16  // per hand, the classes of which one must sound for each note
}

func newStroke(wants []score.Want, middle [2]int) stroke {
	var s stroke
	for key := range s.cost {
		least := costForeign
		for i := range wants {
			least = min(least, keyCost(&wants[i], pitch.Num(key), middle[wants[i].Hand]))
		}
		s.cost[key] = float32(least)
	}
	for i := range wants {
		w := &wants[i]
		for _, t := range w.Tones {
			if !t.Optional {
				s.need[w.Hand] = append(s.need[w.Hand], uint16(t.Accept))
			}
		}
	}
	return s
}

// keyCost is how unlikely a key is as a note of a want, given that something
// is struck there.
func keyCost(w *score.Want, key pitch.Num, middle int) float64 {
	cost := costForeign
	c := key.Class()
	for _, t := range w.Tones {
		if !t.Accept.Has(c) {
			continue
		}
		at := int(t.Key)
		if w.Whole {
			at = middle
		}
		this := farCost(int(key), at)
		if fixed(w) && !t.AnyOctave && key != t.Key {
			this = costOctave
		}
		cost = min(cost, this)
	}
	if w.Whole && w.Allowed.Has(c) {
		cost = min(cost, costDouble+farCost(int(key), middle))
	}
	return cost
}

func farCost(key, at int) float64 {
	d := key - at
	if d < 0 {
		d = -d
	}
	return min(costFarMost, costFar*float64(max(0, d-spanOfHand)))
}

// lacking is the cost of what is not among the classes struck.
func (s *stroke) lacking(struck uint16) float64 {
	cost := 0.0
	for h := range s.need {
		missing := 0
		for _, accept := range s.need[h] {
			if accept&struck == 0 {
				missing++
			}
		}
		if missing > 0 && missing == len(s.need[h]) {
			cost += costSilent
		} else {
			cost += costLacking * float64(missing)
		}
	}
	return cost
}

// tuneCosts are the costs of keys in the hand that is free for the tune, where
// there is one: cheap beyond all that the other hand plays.
func tuneCosts(s *score.Score) [128]float32 {
	var costs [128]float32
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
