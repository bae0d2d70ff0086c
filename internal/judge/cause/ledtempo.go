package cause

import (
	"math"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
)

// steady watches the tempo of a player who leads. It is the player's own; where it is
// steadily another than is asked for, that is told, once, and explains nothing.
type steady struct {
	ring  [mostTimed]timedPlace
	n     int // places since playing last began anew
	told  int // as this one of all causes, from 1
	holds bool
}

// timedPlace is a place with the time at which it was struck.
type timedPlace struct {
	written float64 // seconds, as it is written, through all passes
	played  float64 // seconds
	at      meter.Ticks
	bar     int
	pass    int
}

// back is the place so many places back.
func (s *steady) back(n int) *timedPlace { return &s.ring[(s.n-1-n)%mostTimed] }

// timed takes the place that was just struck.
func (j *Judge) timed() {
	f, s := j.heard.Leader(), &j.led.steady
	est := f.Estimate()
	if est.Event < 0 || est.Lost || est.Extra || est.Confidence < surePlace {
		return
	}
	j.led.anchor(est, f.TimeOf(est.Pass, est.At), f.Beat(), j.Score)
	if j.Score.Untimed {
		return
	}
	perTick := j.Score.Tempo.Duration(meter.Whole, j.Score.Meter).Seconds() / float64(meter.Whole)
	p := timedPlace{
		written: (j.Score.Elapsed(est.At) + float64(est.Pass)*j.Score.Elapsed(j.Score.Length)) * perTick,
		played:  f.TimeOf(est.Pass, est.At).Seconds(), at: est.At, bar: est.Bar, pass: est.Pass,
	}
	bar := float64(j.Score.Meter.Bar()) * perTick
	if s.n > 0 {
		switch on := p.written - s.back(0).written; {
		case on == 0:
			return
		case on < 0 || on > longestPassed*bar:
			s.n = 0
		}
	}
	s.ring[s.n%mostTimed] = p
	s.n++
	j.paceTold(bar)
}

// paceTold tells of another tempo.
func (j *Judge) paceTold(bar float64) {
	s := &j.led.steady
	beat := bar * float64(j.Score.Meter.Beat()) / float64(j.Score.Meter.Bar())
	if s.told > 0 && !s.holds {
		return
	}
	n := s.span(max(steadyBars*bar, clearBeats*beat))
	if n == 0 {
		return
	}
	pace, begins, ok := s.line(n, beat)
	if pace > clearSlower && pace < clearFaster { // as far as free playing goes, it must be so for longer
		if n = s.span(max(steadyBars*bar, steadyBeats*beat)); n == 0 {
			return
		}
		pace, begins, ok = s.line(n, beat)
	}
	switch {
	case s.told == 0 && ok && (pace <= ledSlower || pace >= ledFaster) && s.abrupt(begins, pace, gradualBeats*beat):
		first := s.back(begins - 1)
		c := finding.Cause{
			Kind: finding.HalfTempo, Bar: j.printed(j.began(first, pace)), ToBar: j.printed(s.back(0).bar), Pass: first.pass + j.reading.pass,
			At: j.led.open.at, Hand: finding.BothHands, Ratio: whole(pace),
		}
		if pace > 1 {
			c.Kind = finding.DoubleTempo
		}
		j.causes, j.all = append(j.causes, c), append(j.all, c)
		s.told, s.holds = len(j.all), true
	case s.told > 0:
		told := &j.all[s.told-1]
		if s.holds = math.Abs(pace-told.Ratio) <= sameTempo*told.Ratio; s.holds {
			told.ToBar = j.printed(s.back(0).bar)
		}
	}
}

// abrupt reports that a tempo, in which the latest n places are, was not come to by and by:
// it is beyond what anybody strays to, it has been there from the beginning, or for so long
// before it, as it is written, another one was played.
func (s *steady) abrupt(n int, pace, written float64) bool {
	if pace <= clearSlower || pace >= clearFaster {
		return true
	}
	kept := min(s.n, mostTimed)
	latest, first := s.back(n-1), s.back(kept-1)
	for i := n; i < kept; i++ {
		if first = s.back(i); latest.written-first.written >= written {
			break
		}
	}
	if latest.written-first.written < written/2 {
		return s.n <= mostTimed
	}
	off := (latest.written - first.written) / (latest.played - first.played) / pace
	return max(off, 1/off) >= leastAbrupt
}

// began is the bar in which a tempo began: while the follower did not know of it yet, what
// was struck came in it already.
func (j *Judge) began(first *timedPlace, pace float64) (bar int) {
	bar = first.bar
	wanted := j.led.wanted(j)
	near, next, missed := closeBeats*j.heard.Leader().Beat().Seconds(), first.played, 0
	for k := len(wanted) - 1; k >= 0 && missed < 2; k-- {
		m := &wanted[k]
		if m.place >= first.at {
			continue
		}
		due := first.played - j.Score.Lasts(m.place, first.at).Seconds()/pace
		switch {
		case j.struckBetween(due+near, next-near):
			return bar
		case j.struckBetween(due-near, due+near):
			bar = m.bar
		default:
			missed++
		}
		next = due
	}
	return bar
}

// struckBetween reports a key struck between two times, in seconds.
func (j *Judge) struckBetween(from, to float64) (any bool) {
	j.kept.each(time.Duration(from*float64(time.Second)), time.Duration(to*float64(time.Second)), func(ev event.Event) {
		any = any || ev.IsNoteOn()
	})
	return any
}

// span is how many of the latest places cover a time, as it is written; 0 where there are
// too few.
func (s *steady) span(written float64) int {
	for n := 1; n < min(s.n, mostTimed); n++ {
		if s.back(0).written-s.back(n).written >= written {
			if n+1 < fewestTimed {
				continue
			}
			return n + 1
		}
	}
	return 0
}

// line is the tempo played to the tempo written over the latest n places, and how many
// places back it has been so; ok is false where it is not steady. A beat lasts so many
// seconds, as it is written.
func (s *steady) line(n int, beat float64) (pace float64, begins int, ok bool) {
	var sx, sy, sxx, sxy float64
	x0, y0 := s.back(0).written, s.back(0).played
	for i := range n {
		p := s.back(i)
		x, y := p.written-x0, p.played-y0
		sx, sy, sxx, sxy = sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	m := float64(n)
	slope := (m*sxy - sx*sy) / (m*sxx - sx*sx)
	at := (sy - slope*sx) / m
	square := 0.0
	far := func(i int) float64 {
		p := s.back(i)
		return (p.played - y0 - at - slope*(p.written-x0)) / (slope * beat)
	}
	for i := range n {
		square += far(i) * far(i)
	}
	most := max(mostUnsteady, leastUneven/(slope*beat))
	for begins = n; begins < min(s.n, mostTimed) && math.Abs(far(begins)) <= 3*most; begins++ {
	}
	return 1 / slope, begins, math.Sqrt(square/m) <= most
}
