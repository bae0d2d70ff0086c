// Package performer is a pianist who plays any score, with human unevenness.
//
// A performance is a pure function of score, habits, course and seed. The chance
// in one stroke does not depend on what is struck in another: of two takes with
// one seed, of which one was altered, all else sounds alike.
package performer

import (
	"sort"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
)

// Performance is what was played.
type Performance struct {
	Events []event.Event // by time; at one time releases before strokes
	Onsets []Onset       // by time; a stroke left out has none
}

// Onset is a stroke as played.
type Onset struct {
	At   time.Duration // its first note
	Want int           // index into Score.Wants; -1 for a stroke that nobody wanted
	Pos  meter.Ticks   // its place in the score; of an unwanted stroke, where it fell
}

// Course is when the music begins and how its tempo bends. The zero value begins
// at once and keeps the score's tempo.
type Course struct {
	Start    time.Duration // when score tick 0 sounds; strokes before 0 are put at 0
	Tempo    []TempoMark   // by place; none keeps the score's tempo
	Fermatas []Fermata
}

// Play plays s as it is wanted.
func Play(s *score.Score, h Habits, c Course, seed uint64) Performance {
	return NewTake(s, h, c, seed).Play()
}

// Take is one performance in the making. Until the first question about its
// times, or until it is played, what is struck may be altered: the strokes, where
// the order is left, where the pedal stays down.
type Take struct {
	Strokes []Stroke // first the wants in their order, then those that nobody wants

	s       *score.Score
	h       Habits
	course  Course
	seed    uint64
	moments []meter.Ticks // when anything is wanted, each once, in order

	plain  []Stroke // the wants as the habits have them
	breaks []Break
	path   []segment
	blurs  []blur

	played []played
}

// NewTake sits down to s.
func NewTake(s *score.Score, h Habits, c Course, seed uint64) *Take {
	t := &Take{s: s, h: h, course: c, seed: seed}
	for i := range s.Wants {
		if at := s.Wants[i].At; len(t.moments) == 0 || at > t.moments[len(t.moments)-1] {
			t.moments = append(t.moments, at)
		}
	}
	t.plain = t.fromWants()
	t.voice()
	t.Strokes = append([]Stroke(nil), t.plain...)
	return t
}

// Play gives everything its time, once, and says what sounded.
func (t *Take) Play() Performance {
	t.layPath()
	t.perform()
	var p Performance
	for i := range t.played {
		pl := &t.played[i]
		p.Onsets = append(p.Onsets, Onset{At: pl.at(), Want: pl.stroke.Want, Pos: pl.stroke.Pos})
	}
	sort.SliceStable(p.Onsets, func(i, j int) bool {
		a, b := p.Onsets[i], p.Onsets[j]
		return a.At < b.At || a.At == b.At && a.Pos < b.Pos
	})
	p.Events = t.events()
	return p
}
