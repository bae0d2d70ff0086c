package practice

import (
	"math"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/music/meter"
	"undersong/internal/session/sitting"
)

// shown is what is to be read, from one moment to the next.
type shown struct {
	found   [][]sitting.Item // corrections of the latest bars, those of one moment together
	cause   sitting.Cause    // of what went wrong last
	heeded  time.Duration    // when it has been read
	until   []time.Duration  // when each of those moments has been read
	good    sitting.Notice   // the praise; none when the last was a correction
	praised time.Duration
	read    []sitting.Item // the corrections of the pass that is over
	notice  sitting.Notice // to be read until the music begins
}

// correct shows the corrections of a moment until the bar after the present one is over.
// States share what was found: it is added to, and never written over.
func (v *shown) correct(t *take, items []sitting.Item, now time.Duration) {
	if len(items) == 0 {
		return
	}
	v.found, v.until = append(v.found, items), append(v.until, now+t.lasts(t.score.Meter.Bar()*3/2))
	old := len(v.found)
	for bars := 0; old > 0; old-- {
		if old == len(v.found) || v.found[old-1][0].During != v.found[old][0].During {
			bars++
		}
		if bars > sitting.Remembered {
			break
		}
	}
	v.found, v.until = v.found[old:], v.until[old:]
}

// toRead is how long a cause is shown at least: it is longer than a correction.
const toRead = 6 * time.Second

// explain shows a cause for two bars.
func (v *shown) explain(t *take, c sitting.Cause, now time.Duration) {
	v.cause, v.heeded = c, now+max(toRead, t.lasts(t.score.Meter.Bar()*2))
}

// fresh is how many of the moments, the latest, are to be read still.
func (v *shown) fresh(now time.Duration) int {
	for n, until := range v.until {
		if now < until {
			return len(v.until) - n
		}
	}
	return 0
}

// clear forgets what was said before a break.
func (v *shown) clear() { *v = shown{praised: v.praised, read: v.read, notice: v.kept()} }

// kept is the notice that is still to be read when the next count-in begins.
func (v *shown) kept() sitting.Notice {
	switch v.notice.Kind {
	case sitting.NowFaster, sitting.OnceMore, sitting.NowAtTempo:
		return v.notice
	}
	return sitting.Notice{}
}

// praiseTime is how long praise stays.
const praiseTime = 1500 * time.Millisecond

// praise praises strokes; other praise stays until it has been read.
func (v *shown) praise(items []sitting.Item, now time.Duration) {
	for i := range items {
		switch {
		case items[i].Finding.Kind != finding.Right:
			v.good = sitting.Notice{}
		case v.good.Kind == sitting.NoNotice || v.good.Kind == sitting.WellDone || now >= v.praised+praiseTime:
			v.cheer(sitting.Notice{Kind: sitting.WellDone}, now)
		}
	}
}

func (v *shown) cheer(n sitting.Notice, now time.Duration) { v.good, v.praised = n, now }

// State is what there is to see.
func (s *Session) State() sitting.State {
	st := sitting.NewState(s.piece)
	menu := s.menu()
	st.Menu = &menu
	st.Where.Tempo = s.tempo
	s.sound(st.Sound)
	st.Told.Right, st.Told.Wrong = s.right, s.wrong
	switch s.stage {
	case ready, paused, away:
		s.standing(&st)
	case reading:
		st.Where.Phase = sitting.Reading
		sum := s.result()
		sum.Summary = s.take.engine.Summary()
		st.Result, st.Told.Read, st.Told.Notice = sum, s.shown.read, s.shown.notice
	case playing:
		s.moving(&st)
	case over, ended:
		st.Where.Phase = sitting.Finished
		st.Result, st.Told.Read, st.Told.Notice = s.result(), s.shown.read, s.shown.notice
	}
	return st
}

// standing is what stands there while nothing moves.
func (s *Session) standing(st *sitting.State) {
	w := st.Where
	switch s.stage {
	case ready:
		w.Phase = sitting.Waiting
	case paused:
		w.Phase, st.Told.Notice = sitting.Paused, s.shown.notice
	case away:
		w.Phase, w.Port = sitting.Away, s.port
	}
	if s.take != nil && !s.leads() {
		w.Bar, w.Plays = s.next, s.piece.Score.Bars[s.next].Playing()
	}
}

// sound is what is held and heard.
func (s *Session) sound(to *sitting.Sound) {
	is := s.ear.Heard()
	to.Down, to.Chord, to.Key = s.ear.Down(), is.Chord, is.Spelling()
	for _, k := range is.Keys {
		to.Notes.Add(k)
	}
}

// moving is where the music is and what comes.
func (s *Session) moving(st *sitting.State) {
	t, w := s.take, st.Where
	p := t.position(s.known())
	w.SetPosition(s.piece.Score, t.first, &p)
	switch {
	case p.Pass < 0 && t.clicks != nil:
		w.Phase, w.Left, w.Beat = sitting.CountingIn, t.countLeft(s.Now), 0
		st.Told.Notice = s.shown.notice
	case s.lost:
		w.Phase = sitting.PlaceLost
	}
	if s.loops() {
		w.Pass = t.passes + max(0, p.Pass) + 1
	}
	if s.leads() {
		w.Tempo = meter.Tempo(math.Round(float64(t.engine.Tempo())))
	}
	if s.o.Heading.After {
		s.onlyListening(&p, st)
		return
	}
	if p.Ended {
		w.Beat = 0
	} else {
		s.wanted(st.Wanted)
		st.Wanted.Ahead(t.score, max(0, p.At))
		st.Wanted.Up = t.engine.Up()
	}
	s.words(st)
}

// countLeft is how many beats of the count-in are still to come, this one
// included.
func (t *take) countLeft(now time.Duration) int {
	left := t.engine.Click.Start - now
	return min(int(math.Ceil(float64(left)/float64(t.engine.Click.Beat()))), t.clicks.CountIn())
}

// onlyListening leaves the player alone until the pass is over. One who leads
// round and round gets no pause to read in: the worst is told in the next first bar.
func (s *Session) onlyListening(p *follow.Position, st *sitting.State) {
	st.Told.Right, st.Told.Wrong = 0, 0
	if s.take.loop && p.Pass > 0 && p.Bar == 0 && len(s.shown.read) > 0 {
		st.Told.Found, st.Told.Fresh = [][]sitting.Item{s.shown.read}, 1
	}
}

// words are corrections and praise. Where the place is lost, what was said last stays.
func (s *Session) words(st *sitting.State) {
	v := &s.shown
	st.Told.Found, st.Told.Fresh = v.found, v.fresh(s.Now)
	if s.lost {
		st.Told.Fresh = len(v.found)
	}
	if s.Now < v.heeded {
		st.Told.Cause = v.cause
	}
	if v.good.Kind != sitting.NoNotice && s.Now < v.praised+praiseTime {
		st.Told.Praise = v.good
	}
}

// grace is the part of a beat for which a stroke stays wanted after its time.
const grace = 0.25

// wanted is the next stroke, or the one that is just due.
func (s *Session) wanted(to *sitting.Wanted) {
	t := s.take
	since := s.Now - time.Duration(grace*float64(t.lasts(t.score.Meter.Beat())))
	if t.clicks != nil {
		since = max(since, t.engine.Click.Start)
	}
	at, found := t.position(since).At, meter.Ticks(-1)
	for i, n := range t.wants {
		w := &t.engine.Score.Wants[i]
		if w.At < at || found >= 0 && w.At != found || !t.score.Only.Judges(w.Hand) {
			continue
		}
		if found < 0 {
			found, to.Chord, to.Wants[0] = w.At, w.Chord, n
		} else {
			to.Wants[1] = n
		}
	}
}
