package handsep

import (
	"sort"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// freeCost prices notes of a free hand, which plays a tune: cheap away from where
// the other hand's figure lies, dear inside it.
func (s *Separator) freeCost(h *Hand, from, before int) int {
	if s.Onset.Alone && !s.score.Only.Judges(h.Which) {
		return 2 * costForeign * (before - from) // its keys were left out of account
	}
	other := s.Hands[h.Which.Other()]
	j := s.Onset.Open[other.Which].Stroke
	if j < 0 {
		j = other.Cursor
	}
	if other.Free() || !other.Loops && j >= other.Len() {
		return costMelody * (before - from)
	}
	cost := 0
	for i := from; i < before; i++ {
		n := &s.Onset.notes[i]
		if n.Taken {
			cost += crossed(n, h)
			continue
		}
		cost += costMelody + costInside*max(0, s.inside(other, j, n.Key))
	}
	return cost + s.crowding(h, from, before)
}

// crowding is the cost of a tune whose nearest note lies less than a third from
// the other hand's: fingers of two hands hardly meet so closely.
func (s *Separator) crowding(h *Hand, from, before int) int {
	cut := from // the first note of the right hand
	if h.Which == pattern.Left {
		cut = before
	}
	notes := s.Onset.Notes()
	if from == before || cut == 0 || cut == len(notes) {
		return 0
	}
	if _, sung := s.inTune(notes[from].Key); sung {
		return 0
	}
	return costCrowded * max(0, aThird-int(notes[cut].Key-notes[cut-1].Key))
}

// inside is how many semitones a note of the free hand lies inside the other's
// figure, which is at stroke j.
func (s *Separator) inside(other *Hand, j int, key pitch.Num) int {
	if other.Which == pattern.Right {
		margin := marginUnder
		if !s.score.Only.Judges(pattern.Left) {
			margin += marginUnheard
		}
		return int(key-other.Want(j).Tones[0].Key) - other.bearing.drift + margin
	}
	if s.clearOf(other, j, key) {
		return 0
	}
	return int(other.tops[j%other.Len()]) + other.bearing.drift + marginOver - int(key)
}

// clearOf reports a note of the chart's tune that the left hand is not likely to
// have struck: above its stroke, or much nearer to the tune's place than to that.
func (s *Separator) clearOf(left *Hand, j int, key pitch.Num) bool {
	away, ok := s.inTune(key)
	if !ok || s.Onset.Open[pattern.Left].Stroke < 0 {
		return ok
	}
	w := left.Want(j)
	if int(key) > int(w.Tones[len(w.Tones)-1].Key)+left.bearing.drift {
		return true
	}
	at := s.Onset.Place
	return muchNearer*away < max(at-w.At, w.At-at)
}

// inTune reports a key of the chart's tune at about this time: as it is written,
// or octaves above; and how far from its place.
func (s *Separator) inTune(key pitch.Num) (away meter.Ticks, ok bool) {
	tune, at := s.score.Melody, s.Onset.Place
	away = tuneNear + 1
	i := sort.Search(len(tune), func(i int) bool { return tune[i].At >= at-tuneNear })
	for ; i < len(tune) && tune[i].At <= at+tuneNear; i++ {
		if up := key - tune[i].Key(); up >= 0 && up%12 == 0 {
			away = min(away, max(at-tune[i].At, tune[i].At-at))
		}
	}
	return away, away <= tuneNear
}
