package byear

import (
	"math/rand/v2"
	"time"

	"undersong/internal/midi/event"
)

// searcher is a simulated student who looks for a tune by ear, and the truth of
// what each key was.
type searcher struct {
	tune   *Tune
	habits habits
	r      *rand.Rand
	shift  int
	now    time.Duration
	events []event.Event
	truth  []truth // of each key
	pass   truthPass
}

// habits are how often things happen: by note where not said otherwise.
type habits struct {
	wrong   float64 // one wrong try or some before the note
	retry   float64 // a note played twice
	slip    float64 // the note in another octave
	restart float64 // from the beginning of the phrase, after a wrong try
	leap    float64 // another phrase than the next, by phrase
	again   float64 // the same phrase once more, by phrase
	move    float64 // the next phrase in another octave, by phrase
	newKey  float64 // the phrase on another key, by phrase
}

// truth is what a key was: pos is the note found, or -1.
type truth struct {
	pos, shift int
	ended      bool // a phrase ended, with every note in order
	clean      bool
	firm       bool // some notes of a phrase out of its turn were heard: its place can be known
}

type truthPass struct {
	clean  bool
	notes  int
	turned bool // the phrase came out of its turn
}

var searching = habits{wrong: 0.12, retry: 0.03, slip: 0.02, restart: 0.3, leap: 0.08, again: 0.25, move: 0.15, newKey: 0.04}

func newSearcher(t *Tune, h habits, seed uint64) *searcher {
	s := &searcher{tune: t, habits: h, r: rand.New(rand.NewPCG(seed, 17))}
	low, high := 127, 0
	for _, k := range t.keys {
		low, high = min(low, k), max(high, k)
	}
	s.shift = 36 + s.r.IntN(96-36-(high-low)) - low
	return s
}

func (s *searcher) chance(p float64) bool { return s.r.Float64() < p }

func (s *searcher) strike(key int, t truth) {
	gap := 150 + s.r.ExpFloat64()*400
	s.now += time.Duration(gap) * time.Millisecond
	k := uint8(max(0, min(127, key)))
	s.events = append(s.events, event.On(s.now, k, uint8(50+s.r.IntN(30))), event.Off(s.now+120*time.Millisecond, k))
	s.truth = append(s.truth, t)
}

// wholeTune plays the phrases in their order, with detours.
func (s *searcher) wholeTune() {
	last := -1
	for p := 0; p < s.tune.Phrases(); p++ {
		s.phrase(p, last)
		last = p
		for s.chance(s.habits.again) {
			s.phrase(p, last)
		}
		if s.chance(s.habits.leap) {
			q := s.r.IntN(s.tune.Phrases())
			s.phrase(q, last)
			s.phrase(p, q)
		}
	}
}

// phrase plays one until its end was reached.
func (s *searcher) phrase(p, after int) {
	turned := p != after+1 && s.tune.Alike(p) != s.tune.Alike(max(0, after))
	switch {
	case after >= 0 && s.chance(s.habits.newKey):
		s.shift += 1 + s.r.IntN(5) - 6*s.r.IntN(2)
		turned = true
	case after >= 0 && s.chance(s.habits.move):
		s.shift += 12 - 24*s.r.IntN(2)
		if low := s.tune.keys[0] + s.shift; low < 30 || low > 90 {
			s.shift += 12 * (1 - 2*min(1, max(0, (low-60)/30)))
		}
	}
	s.pass = truthPass{clean: true, turned: turned}
	start, end := s.tune.starts[p], s.tune.starts[p+1]
	for pos := start; pos < end; pos++ {
		if pos > start && s.chance(s.habits.wrong) {
			s.tries(pos)
			s.pass.clean = false
			if s.chance(s.habits.restart) {
				s.pass = truthPass{clean: true, turned: s.pass.turned && s.pass.notes < 3}
				pos = start
			}
		}
		s.right(pos, end)
	}
}

// tries plays wrong notes: neighbours of the right one, or the other way.
func (s *searcher) tries(pos int) {
	wanted := s.tune.keys[pos] + s.shift
	for range 1 + s.r.IntN(3) {
		off := 1 + s.r.IntN(4)
		if s.chance(0.5) {
			off = -off
		}
		if s.chance(0.2) {
			off = 2*(s.tune.keys[pos-1]-s.tune.keys[pos]) + off
		}
		if off%12 == 0 {
			off++
		}
		s.strike(wanted+off, truth{pos: -1, shift: s.shift})
	}
}

func (s *searcher) right(pos, end int) {
	key := s.tune.keys[pos] + s.shift
	s.pass.notes++
	t := truth{pos: pos, shift: s.shift, firm: !s.pass.turned || s.pass.notes > 4}
	if s.pass.notes > 1 && s.chance(s.habits.slip) {
		key += 12 - 24*s.r.IntN(2)
		s.pass.clean = false
	}
	t.ended, t.clean = pos+1 == end, s.pass.clean
	s.strike(key, t)
	// A note played twice is told from a tune that has it twice only in this.
	twice := pos > 0 && s.tune.keys[pos-1] == s.tune.keys[pos] || pos+1 < len(s.tune.keys) && s.tune.keys[pos+1] == s.tune.keys[pos]
	if s.pass.notes > 1 && !t.ended && !twice && s.chance(s.habits.retry) {
		s.pass.clean = false
		s.strike(s.tune.keys[pos]+s.shift, truth{pos: pos, shift: s.shift, firm: t.firm})
	}
}
