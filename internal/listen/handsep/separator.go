package handsep

import (
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Separator separates the hands of one performance. It allocates nothing after it
// was made.
type Separator struct {
	Hands [2]*Hand // left, right
	Onset Onset

	score *score.Score
	lasts func(from, to meter.Ticks) time.Duration
	owner [128]owner
}

// owner is the stroke that a sounding key belongs to.
type owner struct {
	hand   *Hand
	stroke int
}

// New makes a separator for a score; lasts is how long a stretch of it takes.
func New(s *score.Score, lasts func(from, to meter.Ticks) time.Duration) *Separator {
	return &Separator{
		Hands: [2]*Hand{newHand(s, pattern.Left), newHand(s, pattern.Right)},
		score: s, lasts: lasts,
	}
}

// Struck notes that a key was struck anew: it belongs to nothing as yet.
func (s *Separator) Struck(key pitch.Num) { s.owner[key] = owner{} }

// Release notes that a key sounds no more. It tells the stroke that it was the last
// of to sound; nil where there is none.
func (s *Separator) Release(key pitch.Num) (*Hand, int) {
	o := s.owner[key]
	s.owner[key] = owner{}
	if o.hand == nil {
		return nil, 0
	}
	st := &o.hand.strokes[o.stroke%ring]
	if st.Index != o.stroke {
		return nil, 0
	}
	st.Sounding--
	if st.Sounding != 0 {
		return nil, 0
	}
	return o.hand, o.stroke
}

// ReleaseAll forgets what sounds.
func (s *Separator) ReleaseAll() { s.owner = [128]owner{} }

// Commit gives a hand's fresh notes to its open stroke.
func (s *Separator) Commit(h *Hand) {
	j := s.Onset.Open[h.Which].Stroke
	st, w := h.Stroke(j), h.Want(j)
	if b := &s.Onset.stood[h.Which]; !b.valid {
		*b = h.snapshot(j)
	}
	if !st.Judged && s.Onset.hasFresh(h.Which) {
		st.Onsets++
	}
	for n := range s.Onset.fresh(h.Which) {
		n.Taken = true
		f, tone, octave := h.match(w, n.Key, st.Served)
		st.Heard.Insert(n.Key)
		switch f {
		case foreign:
			st.Foreign++
		case wanted:
			st.Served |= 1 << uint(tone)
			st.OtherOctave = st.OtherOctave || octave
			h.tune(w, n.Key, tone)
		}
		if f != foreign && !st.Judged {
			st.add(w, n)
		}
		s.owner[n.Key] = owner{h, j}
		st.Sounding++
	}
}

// tune finds the octave of a figure by its first note.
func (h *Hand) tune(w *score.Want, key pitch.Num, tone int) {
	if w.Role != score.Block && w.Role != score.Melody && (w.Anchor || h.bearing.loose) {
		h.bearing.shift, h.bearing.loose = int(key-w.Tones[tone].Key)/12*12, false
	}
}

// add counts a note of a stroke that was not told of yet.
func (st *Stroke) add(w *score.Want, n *Strike) {
	if st.Struck == 0 || n.At < st.FirstAt {
		st.FirstAt = n.At
	}
	st.LastAt = max(st.LastAt, n.At)
	st.SumAt += n.At
	st.Struck++
	st.Velocity += int(n.Velocity)
	if w.Role == score.Melody && st.Heard.Last() == n.Key {
		st.TopVelocity = int(n.Velocity)
	}
}

// past reports a stroke that was complete so long before the onset that this is no
// part of it.
func (s *Separator) past(st *Stroke) bool {
	return st.Complete && s.Onset.Start > st.DoneAt+afterthought
}

// afterthought is how long after a stroke was complete more of its chord still
// belongs to it.
const afterthought = 2 * keyboard.Together
