package coach

import (
	"sort"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// melodyCost prices notes of the free hand: cheap away from where the other
// hand's figure lies, dear inside it.
func (c *Coach) melodyCost(h pattern.Hand, from, before int) int {
	if c.leader != nil && !c.score.Only.Judges(h) && !c.inCompany() {
		return 2 * costForeign * (before - from) // its keys were left out of account
	}
	other := c.lines[h.Other()]
	j := c.group.slots[h.Other()]
	if j < 0 {
		j = other.cursor
	}
	if other.free() || !other.loops && j >= len(other.wants) {
		return costMelody * (before - from)
	}
	cost := 0
	for i := from; i < before; i++ {
		n := &c.group.notes[i]
		if n.taken {
			cost += takenElsewhere(n, h)
			continue
		}
		cost += costMelody + costInside*max(0, c.inside(other, j, n.key))
	}
	return cost + c.crowding(h, from, before)
}

// crowding is the cost of a tune whose nearest note lies less than a third from
// the other hand's: fingers of two hands hardly meet so closely.
func (c *Coach) crowding(h pattern.Hand, from, before int) int {
	cut := from // the first note of the right hand
	if h == pattern.Left {
		cut = before
	}
	notes := c.group.notes[:c.group.n]
	if from == before || cut == 0 || cut == len(notes) {
		return 0
	}
	if _, sung := c.inTune(notes[from].key); sung {
		return 0
	}
	return costCrowded * max(0, aThird-int(notes[cut].key-notes[cut-1].key))
}

// In semitones.
const (
	aThird  = 3
	aFourth = 5
)

// inside is how many semitones a note of the free hand lies inside the other's
// figure, which is at stroke j.
func (c *Coach) inside(other *line, j int, key pitch.Num) int {
	if other.hand == pattern.Right {
		margin := 2
		if !c.score.Only.Judges(pattern.Left) {
			margin += aFourth // that hand is hardly heard: what is near is this one's
		}
		return int(key-other.want(j).Tones[0].Key) - other.drift + margin
	}
	if c.clearOf(other, j, key) {
		return 0
	}
	return int(other.top[j%len(other.wants)]) + other.drift + 6 - int(key)
}

// clearOf reports a note of the chart's tune that the left hand is not likely to
// have struck: above its stroke, or much nearer to the tune's place than to that.
func (c *Coach) clearOf(left *line, j int, key pitch.Num) bool {
	away, ok := c.inTune(key)
	if !ok || c.group.slots[pattern.Left] < 0 {
		return ok
	}
	w := left.want(j)
	if int(key) > int(w.Tones[len(w.Tones)-1].Key)+left.drift {
		return true
	}
	at := c.group.place
	return muchNearer*away < max(at-w.At, w.At-at)
}

// muchNearer is how many times.
const muchNearer = 3

// inTune reports a key of the chart's tune at about this time: as it is written,
// or octaves above; and how far from its place.
func (c *Coach) inTune(key pitch.Num) (away meter.Ticks, ok bool) {
	tune, at := c.score.Melody, c.group.place
	away = tuneNear + 1
	i := sort.Search(len(tune), func(i int) bool { return tune[i].At >= at-tuneNear })
	for ; i < len(tune) && tune[i].At <= at+tuneNear; i++ {
		if up := key - tune[i].Key(); up >= 0 && up%12 == 0 {
			away = min(away, max(at-tune[i].At, tune[i].At-at))
		}
	}
	return away, away <= tuneNear
}

// tuneNear is how far from its place a note of the tune is still known as one.
const tuneNear = meter.Quarter / 2
