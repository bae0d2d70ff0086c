// Package handsep separates the hands: which of them struck which note, and for
// which stroke that is wanted of it.
//
// It is asked about an onset, the notes struck together, and what is open then in
// each hand. The lower notes are the left hand's and the upper ones the right's,
// cut where that explains most. What was told of an onset when its first notes came
// is reconsidered when its last have come.
package handsep

import (
	"sort"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// ring is how many strokes of one hand are remembered: the open one, and those
// whose notes still sound.
const ring = 16

// Hand is one hand: the strokes that are wanted of it, in time, what has come of
// the latest, and where it lies. Its strokes are counted through all passes.
type Hand struct {
	Which  pattern.Hand
	Loops  bool // after the last stroke comes the first again
	Cursor int  // the first stroke that is not over

	score   *score.Score
	wants   []int32     // indexes into score.Wants
	tops    []pitch.Num // the highest key that is asked for within each want's harmony
	strokes [ring]Stroke
	bearing bearing
}

// bearing is where a hand lies against the demonstration.
type bearing struct {
	drift int  // of its middle, in semitones
	shift int  // the octaves, in semitones, by which its figures lie off
	lift  int  // the same of its last chord, whose notes a figure may take up
	leapt int  // the stroke, counted from 1, by which the tune's phrase began in another octave than the one before; 0 once it has gone on
	from  int  // the shift before that
	stray int  // the shift of the tune's last note, where it lay in another octave than its phrase; else the phrase's
	loose bool // the figure's beginning was not heard: its octave is not known
}

func newHand(s *score.Score, which pattern.Hand) *Hand {
	h := &Hand{Which: which, score: s}
	for i := range s.Wants {
		if s.Wants[i].Hand == which {
			h.wants = append(h.wants, int32(i))
		}
	}
	h.tops = tops(s, h.wants)
	h.forget()
	return h
}

// tops is, for each want, the highest key that the hand is asked for within the
// same harmony.
func tops(s *score.Score, wants []int32) []pitch.Num {
	byHarmony := map[int]pitch.Num{}
	for _, i := range wants {
		w := &s.Wants[i]
		byHarmony[w.Harmony] = max(byHarmony[w.Harmony], w.Tones[len(w.Tones)-1].Key)
	}
	all := make([]pitch.Num, len(wants))
	for n, i := range wants {
		all[n] = byHarmony[s.Wants[i].Harmony]
	}
	return all
}

// Len is how many strokes are wanted in a pass.
func (h *Hand) Len() int { return len(h.wants) }

// Free reports a hand without a row, which plays what it likes.
func (h *Hand) Free() bool { return len(h.wants) == 0 }

// Over reports that no stroke is left.
func (h *Hand) Over() bool { return h.Free() || !h.Loops && h.Cursor >= len(h.wants) }

// Pass is the pass of stroke j, from 0.
func (h *Hand) Pass(j int) int { return j / len(h.wants) }

// WantIndex is what stroke j is in the score's wants.
func (h *Hand) WantIndex(j int) int { return int(h.wants[j%len(h.wants)]) }

// Want is what is wanted of stroke j.
func (h *Hand) Want(j int) *score.Want { return &h.score.Wants[h.WantIndex(j)] }

// Stroke is stroke j, made ready where it is met for the first time.
func (h *Hand) Stroke(j int) *Stroke {
	s := &h.strokes[j%ring]
	if s.Index != j {
		*s = Stroke{Index: j}
	}
	return s
}

// StrokeOf is the stroke of a want in a pass, where it is still remembered.
func (h *Hand) StrokeOf(want, pass int) (int, bool) {
	for i := range h.strokes {
		if j := h.strokes[i].Index; j >= 0 && h.Pass(j) == pass && h.WantIndex(j) == want {
			return j, true
		}
	}
	return 0, false
}

// LastWhole is the whole chord before stroke j, where it is still remembered.
func (h *Hand) LastWhole(j int) *Stroke {
	for i := j - 1; i >= 0 && i > j-ring; i-- {
		if s := &h.strokes[i%ring]; h.Want(i).Whole && s.Index == i {
			return s
		}
	}
	return nil
}

// StrokeAt is the stroke of a place, or -1 where the hand has none there.
func (h *Hand) StrokeAt(pass int, at meter.Ticks) int {
	if h.Free() {
		return -1
	}
	i := h.FirstFrom(at)
	if i == len(h.wants) || h.Want(i).At != at {
		return -1
	}
	return pass*len(h.wants) + i
}

// FirstFrom is the first stroke of a pass at or after a place, or Len.
func (h *Hand) FirstFrom(at meter.Ticks) int {
	return sort.Search(len(h.wants), func(i int) bool { return h.Want(i).At >= at })
}

// Before reports that the hand has strokes left, and the next lies before a place.
func (h *Hand) Before(pass int, at meter.Ticks) bool {
	if h.Over() {
		return false
	}
	p := h.Pass(h.Cursor)
	return p < pass || p == pass && h.Want(h.Cursor).At < at
}

// Restart makes a place the hand's next, with nothing remembered.
func (h *Hand) Restart(pass int, at meter.Ticks) {
	if h.Free() {
		return
	}
	h.forget()
	h.bearing.loose, h.bearing.drift, h.bearing.leapt = true, 0, 0
	h.Cursor = pass*len(h.wants) + h.FirstFrom(at)
}

func (h *Hand) forget() {
	for i := range h.strokes {
		h.strokes[i].Index = -1
	}
}

// Unsettle says that the octave of the hand's figure is not known any more.
func (h *Hand) Unsettle() { h.bearing.loose = true }

// Moved notes that a stroke shows where the hand really is.
func (h *Hand) Moved(j int) {
	heard := &h.Stroke(j).Heard
	if heard.Len() == 0 {
		return
	}
	b := &h.bearing
	b.drift = 0
	b.drift = int(heard.At(0)+heard.Last())/2 - h.middle(j)
	if h.Want(j).Role == score.Block {
		b.lift = octaves(b.drift)
	}
}

// middle is the key around which the hand is expected for stroke j.
func (h *Hand) middle(j int) int {
	w := h.Want(j)
	return int(w.Tones[0].Key+w.Tones[len(w.Tones)-1].Key)/2 + h.bearing.drift
}

// snapshot is how a hand and its open stroke stood before an onset took a part
// of it.
type snapshot struct {
	valid   bool
	stroke  Stroke
	bearing bearing
}

func (h *Hand) snapshot(j int) snapshot { return snapshot{true, *h.Stroke(j), h.bearing} }

func (h *Hand) restore(b *snapshot) {
	h.strokes[b.stroke.Index%ring], h.bearing = b.stroke, b.bearing
}
