package follow

import (
	"math"
	"sort"
	"time"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// FollowOptions say how a Follower listens. The zero value follows one pass at
// about the score's tempo.
type FollowOptions struct {
	Loop bool        // after the end the score begins again
	From meter.Ticks // the place that is played first, most likely: 0 or more, before the end of the score
}

// Follower finds the place in the score of a player who leads: no click, a
// tempo that bends, pauses, mistakes, bars left out or played again, jumps.
//
// It is a hidden Markov model over the events of the score that goes on with each
// note. The idea is that of the outer-product hidden Markov model (Nakamura,
// Nakamura, Saito, Ono and Sagayama 2014, arXiv 1404.2313): a player either goes on
// to a place near by, or goes on anywhere, and where to does not depend much on
// where from; so all jumps together cost one step for each place they may lead to,
// and not one for each pair of places. Unlike there, the time between onsets counts:
// each path keeps the time of its last stroke and its own estimate of the tempo, a
// Kalman filter of one number. Places are weighed by the best path to them alone
// (Viterbi), which is what makes that possible, and of the paths only the best few
// are followed (beam search).
//
// A note belongs to the stroke of its place as long as that lacks it, however the
// chord is spread; one that comes when the next has begun belongs to the stroke
// before. What lacks when a path goes on has been left out. A hand that rests is
// noticed once.
//
// What nobody could hear it cannot know: of bars that sound alike one may be left
// out unheard, and the place told is then behind until the music differs. A jump
// to a place farther away is taken for a wrong chord until more than one stroke
// speaks for it, the longer the more there is in a bar; and where it has not won soon,
// its place fades, so that trifles do not add up to a jump. Where several places are
// about as likely, Lost says so.
//
// A Follower reads no clock and allocates nothing after it was made.
type Follower struct {
	score            *score.Score
	loop             bool
	from             int // the event that is played first, most likely
	events           []scoreEvent
	strokes          []stroke
	fits             [128][]fit // per key and stroke
	tune             [128]float64
	entry            []float64    // per bar, the cost of jumping there because a section begins; else toAny
	openings         [128][]int32 // per key, the bars that begin with it
	written          float64      // the score's tempo, in seconds a tick
	slowest, fastest float64      // seconds a tick at the tempi that the program takes
	leap             float64      // the cost of a jump, anywhere
	length           float64      // of the score, in elapsed ticks
	beat             float64      // a felt beat, in ticks
	first            []int32      // per bar, its first event or the first after it

	// Before the note just struck.
	paths    []path
	bestPath int32
	restart  int32 // where playing last began anew
	mean     float64
	recent   [recentKeys]pitch.Num // struck last
	recentAt [recentKeys]float64

	// The note.
	key      pitch.Num
	ornament float64 // its cost, if it stands for nothing
	row      []fit   // how it fits each stroke
	steps    []step
	bestStep float64
	head     []int32  // per event, the last step to it, plus 1, where stamp says
	stamp    []uint32 // per event, the note that head is of
	now      uint32   // notes so far
	next     []path   // room for the paths to come

	// The open onset: notes struck within 50 ms, and what completes their chord.
	open        bool
	start       float64
	last        float64 // its last note
	startBefore float64 // of the onset before
	cost        float64 // of its notes
	told        float64 // the same before the last

	place   path  // the best
	before  int32 // the event told after the onset before
	best    int32 // the event at which the onset before left the music
	jumped  bool
	lost    bool
	weighed bool // whether sure is up to date
	sure    float64
	heard   []float64 // per event, when it was last struck
}

// NewFollower makes a follower that waits for the first stroke of s.
func NewFollower(s *score.Score, o FollowOptions) *Follower {
	f := &Follower{score: s, loop: o.Loop, before: -1}
	perTick := func(t meter.Tempo) float64 { return seconds(t.Duration(meter.Whole, s.Meter)) / float64(meter.Whole) }
	f.written, f.slowest, f.fastest = perTick(s.Tempo), perTick(meter.SlowestTempo), perTick(meter.FastestTempo)
	f.length, f.beat = s.Elapsed(s.Length), float64(s.Meter.Beat())
	if len(s.Wants) == 0 {
		return f
	}
	f.layEvents()
	f.tune = tuneCosts(s)
	n := len(f.events)
	f.leap = costJump + costDense*math.Log(max(1, float64(n)/float64(len(s.Bars))/fewEvents))
	f.heard, f.head, f.stamp = make([]float64, n), make([]int32, n), make([]uint32, n)
	f.paths, f.next = make([]path, 0, mostPaths), make([]path, 0, mostPaths)
	f.steps = make([]step, 0, 8*n+8*mostPaths)
	f.from = sort.Search(n, func(i int) bool { return f.events[i].at >= o.From })
	f.layBars()
	f.layEntries()
	f.layOpenings()
	return f
}

func (f *Follower) layBars() {
	f.first = make([]int32, len(f.score.Bars))
	m := 0
	for b := range f.score.Bars {
		for m < len(f.events) && f.events[m].at < f.score.Bars[b].At {
			m++
		}
		f.first[b] = int32(min(m, len(f.events)-1))
	}
}

// layEntries says how likely a jump leads to each bar for what the bar is.
func (f *Follower) layEntries() {
	f.entry = make([]float64, len(f.first))
	for b := range f.entry {
		f.entry[b] = toAny
		switch {
		case b == 0 || b == 1 && f.score.Bars[0].Len < f.score.Meter.Bar():
			f.entry[b] = toTop
		case f.opensSection(b):
			f.entry[b] = toSection
		}
	}
}

// opensSection reports the first bar of a section, or of a repeat.
func (f *Follower) opensSection(bar int) bool {
	a, b := &f.score.Bars[bar-1], &f.score.Bars[bar]
	return a.Section != b.Section || b.Number > 0 && b.Number <= a.Number
}

// Strike takes a key struck. Times that run backwards are taken as the last one.
func (f *Follower) Strike(key pitch.Num, velocity uint8, at time.Duration) {
	if !key.Valid() || velocity == 0 || len(f.events) == 0 {
		return
	}
	t := max(seconds(at), f.last)
	before := f.place
	f.hear(key, t)
	f.place = f.paths[f.bestPath]
	if !f.open || !f.sounds(t) {
		if f.open {
			f.commit(&before)
		}
		f.open, f.start, f.cost = true, t, f.cost-f.told
	}
	f.told = f.cost
	f.last = t
	f.recent[f.now%recentKeys], f.recentAt[f.now%recentKeys] = key, t
	f.decide()
}

// hear follows all paths on to a note.
func (f *Follower) hear(key pitch.Num, t float64) {
	f.now++
	f.key, f.row = key, f.fits[key]
	f.ornament = f.ornamental(t)
	f.steps, f.bestStep = f.steps[:0], math.Inf(-1)
	if !f.open {
		f.enterAnywhere(t)
	} else {
		if t-f.last > together {
			f.fadeOut()
		}
		f.goOn(f.bestPath, t) // first: what is far behind it is not even offered
		for i := range f.paths {
			if int32(i) != f.bestPath {
				f.goOn(int32(i), t)
			}
		}
		f.jumpAnywhere(t)
	}
	f.take(t)
}

// sounds reports whether the note at t belongs to the open onset.
func (f *Follower) sounds(t float64) bool {
	return t-f.start <= together || f.place.lastAt == t && f.place.begunAt == f.start && t-f.last <= rollGap
}

// commit takes in that the open onset is over.
func (f *Follower) commit(p *path) {
	f.mean = min(lostMost, f.mean+memory*(f.told-f.mean))
	f.note(p)
	f.before, f.startBefore = p.event, f.start
	f.best = p.event
}

// decide tells the best place.
func (f *Follower) decide() {
	p := &f.place
	f.jumped = f.before >= 0 && (!f.close(f.before, p.event) || p.by == jump && p.event == f.before && p.begunAt >= f.start)
	f.weighed = false
	f.judgeSurely()
}

// close reports that b is a or one of the events after it.
func (f *Follower) close(a, b int32) bool {
	d := b - a
	if d < 0 && f.loop {
		d += int32(len(f.events))
	}
	return d >= 0 && int(d) <= reach
}

// seconds is a time as the model counts it.
func seconds(d time.Duration) float64 { return float64(d) / float64(time.Second) }

func duration(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }
