// Package simulate is a pianist who plays any score, with human unevenness and
// with mistakes planted on purpose, and who knows what was done: the truth that
// an ear can be measured against.
//
// A performance is a pure function of score, habits, plan and seed. The chance
// in one stroke does not depend on the mistakes in another: the same seed with
// and without a fault differs at the fault alone.
package performer

import (
	"sort"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
)

// Performance is what was played, and what it was meant to be.
type Performance struct {
	Events []event.Event // by time; at one time releases before strokes
	Truth  []Fault       // by time
	Onsets []Onset       // by time; a stroke left out has none
}

// Onset is a stroke as played.
type Onset struct {
	At   time.Duration // its first note
	Want int           // index into Score.Wants; -1 for a stroke that nobody wanted
	Pos  meter.Ticks   // its place in the score; of an unwanted stroke, where it fell
}

// Play plays s. Its errors are *PlantError: a fault that was asked for and
// cannot be made there. A plan without Items never fails.
func Play(s *score.Score, h Habits, plan Plan, seed uint64) (Performance, error) {
	t := newTake(s, h, plan, seed)
	if err := t.plant(); err != nil {
		return Performance{}, err
	}
	t.perform()
	return t.finish(), nil
}

// Faultless plays s without mistakes.
func Faultless(s *score.Score, h Habits, seed uint64) Performance {
	t := newTake(s, h, Plan{}, seed)
	t.layPath()
	t.perform()
	return t.finish()
}

// take is one performance in the making.
type take struct {
	s       *score.Score
	h       Habits
	plan    Plan
	seed    uint64
	moments []meter.Ticks // when anything is wanted, each once, in order

	plain   []stroke // the wants as the habits have them
	strokes []stroke // the same with faults, then the unwanted ones
	touched []bool   // wants that bear a fault
	breaks  []rupture
	path    []segment
	blurs   []blur
	made    []made

	played []played
}

func newTake(s *score.Score, h Habits, plan Plan, seed uint64) *take {
	t := &take{s: s, h: h, plan: plan, seed: seed, touched: make([]bool, len(s.Wants))}
	for i := range s.Wants {
		if at := s.Wants[i].At; len(t.moments) == 0 || at > t.moments[len(t.moments)-1] {
			t.moments = append(t.moments, at)
		}
	}
	t.plain = t.fromWants()
	t.voice()
	t.strokes = append([]stroke(nil), t.plain...)
	return t
}

// finish gathers events, onsets and truth.
func (t *take) finish() Performance {
	var p Performance
	for i := range t.played {
		pl := &t.played[i]
		p.Onsets = append(p.Onsets, Onset{At: pl.at(), Want: pl.stroke.want, Pos: pl.stroke.pos})
	}
	sort.SliceStable(p.Onsets, func(i, j int) bool {
		a, b := p.Onsets[i], p.Onsets[j]
		return a.At < b.At || a.At == b.At && a.Pos < b.Pos
	})
	p.Events = t.events()
	p.Truth = t.truth()
	return p
}
