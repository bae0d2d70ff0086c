package byear

import (
	"math"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/melody"
	"undersong/internal/music/pitch"
)

// Range is a part of the keyboard.
type Range uint8

// The ranges, by the mean of a phrase's notes: below middle C, around the octave
// above it, and above that octave. They overlap.
const (
	AnyRange Range = iota
	Low
	Middle
	High
)

func (r Range) String() string { return [...]string{"any", "low", "middle", "high"}[r] }

// holds reports that a phrase with that mean key lies in the range.
func (r Range) holds(mean float64) bool {
	const c = float64(pitch.MiddleC)
	switch r {
	case Low:
		return mean <= c
	case Middle:
		return mean >= c-overlap && mean <= c+12+overlap
	case High:
		return mean >= c+12
	}
	return true
}

// Task is what is asked of a tune that was found. The zero value asks nothing.
type Task struct {
	From     *pitch.Note // its first note; nil: any
	Another  bool        // its first note is chosen here
	Range    Range
	SoftLoud bool // phrases soft and loud in turn, the first soft
	Hands    bool // phrases from hand to hand
	Known    bool // it is asked at once, and not when the tune has been found
}

// Asks reports a task that asks something.
func (t Task) Asks() bool {
	return t.From != nil || t.Another || t.Range != AnyRange || t.SoftLoud || t.Hands
}

// round is the playing of a task: phrase by phrase, each until it is as asked or
// the next one is played.
type round struct {
	asked     Task
	on, begun bool
	from      finding.First // the first note
	startTold bool
	want      int // the phrase that comes
	played    []played
	force     spread // of every key struck
}

// played is a phrase of a round as it was played last.
type played struct {
	judged, kept bool
	force        float64 // mean velocity
	shift        int
}

// Asked is the first note that the task asks for; on tells that the task is under
// way.
func (e *Ear) Asked() (from finding.First, on bool) { return e.round.from, e.round.on }

// beginTask begins the round. Another first note is a fourth above the one that
// the tune was found from, which changes the fewest keys.
func (e *Ear) beginTask(at time.Duration) {
	r := &e.round
	r.on, r.begun = true, true
	r.played = make([]played, e.Tune.Phrases())
	switch {
	case r.asked.Another:
		r.from = finding.First{Asked: true, Note: e.Tune.Spell(0, e.place.Shift+aFourth).Note}
	case r.asked.From != nil:
		r.from = finding.First{Asked: true, Note: *r.asked.From}
	}
	if r.from.Asked {
		e.heard.start, e.heard.asked = r.from.Note.Class(), true
	}
	e.add(finding.TaskBegins, at, finding.TuneDetail{From: r.from})
}

const aFourth = 5 // semitones

// judge judges a phrase that was played to its end by what is asked, and numbers
// it by its turn. It reports that the task is done.
func (e *Ear) judge(f *finding.TuneDetail, d completion) (done bool) {
	r := &e.round
	class := e.Tune.alike[d.phrase]
	if class != e.Tune.alike[r.want] {
		next := r.want + 1
		if !r.played[r.want].judged || next == e.Tune.Phrases() || class != e.Tune.alike[next] {
			return false
		}
		r.want = next // the student leaves it as it was
	}
	p := &r.played[r.want]
	*p = played{judged: true, force: float64(d.pass.force) / float64(d.pass.notes), shift: d.shift}
	f.Phrase, f.From, f.Asks = r.want, r.from, e.verdicts(p)
	p.kept = !f.Asks.Missed()
	if !p.kept {
		return false
	}
	e.heard.asked = false
	if r.want+1 == e.Tune.Phrases() {
		r.on = false
		return true
	}
	r.want++
	return false
}

func (e *Ear) verdicts(p *played) (v finding.Verdicts) {
	r := &e.round
	set := func(a finding.Ask, ok bool) {
		v[a] = finding.Missed
		if ok {
			v[a] = finding.Kept
		}
	}
	if r.from.Asked {
		set(finding.AskStart, pitch.ClassOf(e.Tune.keys[0]+p.shift) == r.from.Note.Class())
	}
	if r.asked.Range != AnyRange {
		set(finding.AskRange, r.asked.Range.holds(e.Tune.mean(r.want)+float64(p.shift)))
	}
	if r.want == 0 || !r.played[r.want-1].judged {
		return v // there is nothing to compare with
	}
	if r.asked.SoftLoud {
		set(finding.AskSoftLoud, r.differs(p))
	}
	if r.asked.Hands {
		set(finding.AskHands, r.changesHands(p))
	}
	return v
}

// differs reports that a phrase is louder or softer than the one before, as its
// turn is.
func (r *round) differs(p *played) bool {
	more := p.force - r.played[r.want-1].force
	if r.want%2 == 0 {
		more = -more
	}
	return more > 0 && more >= clearly*r.force.deviation()
}

// changesHands reports that a phrase lies in the other hand's place. A keyboard
// does not tell which hand plays: the lower phrases are taken for the left one's.
func (r *round) changesHands(p *played) bool {
	move := p.shift - r.played[r.want-1].shift
	if abs(move) < otherHand {
		return false
	}
	if r.want < 2 || !r.played[r.want-2].judged {
		return true
	}
	before := r.played[r.want-1].shift - r.played[r.want-2].shift
	return abs(before) < otherHand || (before > 0) != (move > 0)
}

func (r *round) summary() finding.TaskSummary {
	s := finding.TaskSummary{Begun: r.begun, Done: r.begun && !r.on}
	for _, p := range r.played {
		switch {
		case p.kept:
			s.Kept++
		case p.judged:
			s.Missed++
		}
	}
	return s
}

// spread is the mean and deviation of numbers, kept as they come (Welford 1962).
type spread struct {
	n             int
	mean, squares float64
}

func (s *spread) add(v int) {
	s.n++
	off := float64(v) - s.mean
	s.mean += off / float64(s.n)
	s.squares += off * (float64(v) - s.mean)
}

func (s *spread) deviation() float64 {
	if s.n == 0 {
		return 0
	}
	return math.Sqrt(s.squares / float64(s.n))
}

// Spell is the note at pos where the tune lies shift keys above the written ones,
// spelled in the key that it is in there.
func (t *Tune) Spell(pos, shift int) pitch.Pitch {
	var up pitch.Interval
	if shift%12 != 0 {
		up = t.Key.To(pitch.KeyAt(t.Key.Tonic.Class().Up(shift), t.Key.Minor))
	}
	n := melody.Note{Pitch: t.Notes[pos].Pitch}
	return n.Transpose(up, (shift-up.Semitones)/12).Pitch
}
