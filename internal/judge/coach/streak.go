package coach

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// streak gathers wrong notes of a broken chord. One wrong note is a slip; when
// a second comes under the same harmony, with no more right ones than wrong, the
// player has another chord in mind, and is told so once.
type streak struct {
	harmony, bar, pass int
	wrongs, rights     int
	told               bool
	heard              finding.Keys
}

func (s *streak) at(w *score.Want, pass int) {
	if s.harmony != w.Harmony || s.bar != w.Bar || s.pass != pass {
		*s = streak{harmony: w.Harmony, bar: w.Bar, pass: pass}
	}
}

func (s *streak) right(w *score.Want, pass int) {
	s.at(w, pass)
	s.rights++
}

// wrong takes a wrong note of a broken chord. It may turn the finding into a
// wrong chord, and reports whether it is to be told at all.
func (s *streak) wrong(f *finding.Finding, w *score.Want) bool {
	s.at(w, f.Pass)
	s.wrongs++
	for i := 0; i < f.Heard.Len(); i++ {
		s.heard.Insert(f.Heard.At(i))
	}
	switch {
	case s.told:
		return false
	case s.wrongs < 2 || s.rights > s.wrongs || w.Role == score.Bass:
		return true
	}
	s.told = true
	f.Kind, f.Heard = finding.WrongChord, s.heard
	return true
}

// shortQueue holds strokes that were let go too early for a moment, in case the
// same key is struck again: that is a repetition, not a short note. Releases come
// in the order of time, so that the queue needs no sorting.
type shortQueue struct {
	list [8]finding.Finding
	n    int
}

// repetition is how soon after its release a key may be struck again for the
// release to be part of that stroke.
const repetition = 80 * time.Millisecond

func (q *shortQueue) push(f finding.Finding) {
	f.At += repetition
	if q.n < len(q.list) {
		q.list[q.n] = f
		q.n++
	}
}

func (q *shortQueue) due() time.Duration {
	if q.n == 0 {
		return never
	}
	return q.list[0].At
}

func (q *shortQueue) pop() finding.Finding {
	f := q.list[0]
	q.remove(0)
	return f
}

func (q *shortQueue) remove(i int) {
	copy(q.list[i:], q.list[i+1:q.n])
	q.n--
}

func (q *shortQueue) restruck(key pitch.Num) {
	for i := q.n - 1; i >= 0; i-- {
		if q.list[i].Heard.Has(key) {
			q.remove(i)
		}
	}
}
