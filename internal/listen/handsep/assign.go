package handsep

import (
	"math"
	"math/bits"
	"time"

	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Assign decides which notes of the onset each hand struck: the lower ones the
// left, the upper ones the right, cut where that explains them best. Of equals the
// lowest cut is taken.
func (s *Separator) Assign() {
	o := &s.Onset
	o.roll = s.rollTime()
	best, cut := math.MaxInt, 0
	for at := 0; at <= o.n; at++ {
		if cost := s.cost(s.Hands[pattern.Left], 0, at) + s.cost(s.Hands[pattern.Right], at, o.n); cost < best {
			best, cut = cost, at
		}
	}
	for i := range o.notes[:o.n] {
		if o.notes[i].Taken {
			continue
		}
		o.notes[i].Hand = pattern.Right
		if i < cut {
			o.notes[i].Hand = pattern.Left
		}
	}
}

// rollTime is how long the onset may wait for the rest of a rolled chord: not
// past half the way to the next stroke of either hand, and not at all while
// another stroke is to come first.
func (s *Separator) rollTime() time.Duration {
	roll := s.rolled()
	if roll == nil {
		return 0
	}
	room := rollLasts
	for _, h := range s.Hands {
		if j := s.Onset.Open[h.Which].Stroke; j >= 0 && !h.Free() && h.Want(j).At < roll.At {
			return 0 // which comes before it
		}
		if i := h.FirstFrom(roll.At + 1); i < h.Len() {
			room = min(room, s.lasts(roll.At, h.Want(i).At)/2)
		}
	}
	return room
}

// rolled is a rolled stroke that is still to be told, or nil.
func (s *Separator) rolled() *score.Want {
	for _, h := range s.Hands {
		open := &s.Onset.Open[h.Which]
		if j := open.Stroke; j >= 0 && !h.Free() && h.Want(j).Roll && !h.Stroke(j).Judged && open.mayRoll() {
			return h.Want(j)
		}
	}
	return nil
}

// cost is how badly the onset's notes from to before explain what a hand is to
// play. Notes that were already told of count only for the hand they are in.
func (s *Separator) cost(h *Hand, from, before int) int {
	open := &s.Onset.Open[h.Which]
	if h.Free() {
		return s.freeCost(h, from, before)
	}
	if open.Stroke < 0 || s.past(h.Stroke(open.Stroke)) {
		return s.unaskedCost(h, from, before)
	}
	w, served := h.Want(open.Stroke), h.Stroke(open.Stroke).Served
	cost, wrong := 0, 0
	if from < before {
		cost += costOffBeat * open.away() / 100
	}
	for i := from; i < before; i++ {
		n := &s.Onset.notes[i]
		if n.Taken {
			cost += crossed(n, h)
			continue
		}
		switch f, tone, _ := h.match(w, n.Key, served); f {
		case wanted:
			served |= 1 << uint(tone)
		case doubling:
			cost += costDoubled
		case foreign:
			if open.tooEarly() || open.tooLate() {
				return s.unaskedCost(h, from, before) + s.lackCost(h, h.Stroke(open.Stroke).Served, true)
			}
			cost += costForeign
			wrong++
		}
	}
	if w.Role != score.Block && len(w.Tones) == 1 && served != 0 {
		cost += costBeside * wrong
	}
	return cost + s.reachCost(h, from, before) + s.lackCost(h, served, from == before)
}

// lackCost is the cost of what a hand's open stroke still lacks with some tones
// served: nothing once it was told of, or before it is due; not much for a hand
// that is silent as yet.
func (s *Separator) lackCost(h *Hand, served uint32, silent bool) int {
	open := &s.Onset.Open[h.Which]
	w, st := h.Want(open.Stroke), h.Stroke(open.Stroke)
	if st.Judged || !open.due() {
		return 0
	}
	lacks := Lacking(w, served)
	spared := len(w.Tones) - bits.OnesCount32(served) - lacks
	cost := costLacking*lacks + costSpare*spared
	if silent && st.Heard.Len() == 0 {
		return min(cost+costSilent, mostSilent)
	}
	return cost
}

// reachCost is how far a hand with the onset's notes from to before has moved from
// the key around which it is expected, and how wide it is open.
func (s *Separator) reachCost(h *Hand, from, before int) int {
	if from == before {
		return 0
	}
	low, high := int(s.Onset.notes[from].Key), int(s.Onset.notes[before-1].Key)
	return distanceCost((low+high)/2, h.middle(s.Onset.Open[h.Which].Stroke)) + costPerStep*max(0, high-low-openHand)
}

// unaskedCost is the cost of notes of a hand that has nothing to play.
func (s *Separator) unaskedCost(h *Hand, from, before int) int {
	j := h.Cursor
	if !h.Loops {
		j = min(j, h.Len()-1)
	}
	middle, cost := h.middle(j), 0
	for i := from; i < before; i++ {
		if n := &s.Onset.notes[i]; n.Taken {
			cost += crossed(n, h)
		} else {
			cost += costUnasked + distanceCost(int(n.Key), middle)
		}
	}
	return cost
}

// crossed keeps the cut from crossing notes that were told already.
func crossed(n *Strike, h *Hand) int {
	if n.Hand == h.Which {
		return 0
	}
	return costForeign
}

// distanceCost is the cost of a key away from where a hand is expected.
func distanceCost(key, middle int) int {
	d := max(key-middle, middle-key)
	return d/perFree + costPerStep*max(0, d-handSpan)
}
