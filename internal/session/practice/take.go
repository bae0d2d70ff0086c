package practice

import (
	"time"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/listen/live"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
	"undersong/internal/ui/words"
)

// take is one stretch of playing without a break, from a count-in on.
type take struct {
	score  *score.Score // from its first bar to the end of the piece
	first  int          // that bar's index in the piece
	engine *engine.Engine
	voice  *words.Voice
	clicks *clicks       // nil where the player leads
	along  *passes       // what undersong plays; nil for nothing
	delay  time.Duration // by which the engine's clock is behind ours
	loop   bool          // the engine goes round
	passes int           // gone before this take
	over   bool
}

// newTake begins at a bar of the piece after a count-in that starts at a time.
func newTake(o Options, tempo meter.Tempo, first, countIn int, at time.Duration, passes int) *take {
	s := *from(o.Score, first)
	s.Tempo = tempo
	t := &take{score: &s, first: first, loop: o.Loop && !o.apart(), passes: passes}
	options := engine.Options{Level: o.Level, Loop: t.loop, Led: o.Follow}
	if !o.Follow {
		lead := leadIn(t.score, countIn)
		options.Start = at + t.lasts(lead)
		t.engine = engine.New(t.score, options)
		t.clicks = newClicks(t.score, &t.engine.Click, lead)
		t.delay = min(max(o.Delay, -MostDelay), MostDelay)
	} else {
		t.engine = engine.New(t.score, options)
	}
	t.voice = &words.Voice{Score: t.engine.Score, Ear: t.engine.Ear}
	t.along = newAlong(t, o.With)
	return t
}

// quiet ends all that we sound.
func (t *take) quiet(sound func(event.Event)) {
	t.clicks.stop(sound)
	t.along.stop(sound)
}

// feed, tick and finish are the engine's, on our clock.
func (t *take) feed(ev event.Event) []finding.Finding {
	ev.At -= t.delay
	return t.heard(t.engine.Feed(ev))
}

func (t *take) tick(now time.Duration) []finding.Finding {
	return t.heard(t.engine.Tick(now - t.delay))
}

func (t *take) finish(now time.Duration) []finding.Finding {
	return t.heard(t.engine.Finish(now - t.delay))
}

func (t *take) heard(found []finding.Finding) []finding.Finding {
	for i := range found {
		found[i].At += t.delay
	}
	return found
}

// position is the place in the take's score.
func (t *take) position(now time.Duration) follow.Position { return t.engine.Position(now) }

// lasts is how long a stretch takes at the tempo of the music.
func (t *take) lasts(ticks meter.Ticks) time.Duration {
	tempo := t.score.Tempo
	if t.engine != nil {
		tempo = t.engine.Tempo()
	}
	return tempo.Duration(ticks, t.score.Meter)
}

// end is when a take by the click is over: a bar after its last beat, or a beat
// where another pass is to follow.
func (t *take) end(another bool) time.Duration {
	rest := t.score.Meter.Bar()
	if another {
		rest = t.score.Meter.Beat()
	}
	return t.engine.Click.TimeOf(0, t.score.Length+rest)
}

// written is what the chart has at a time; in the count-in, what comes.
func (t *take) written(now time.Duration) live.Written {
	return live.WrittenAt(t.score, t.score.HarmonyAt(max(0, t.position(now).At)))
}

// resume is the bar, as an index into the piece, that practice takes up again
// after a break at a time.
func (t *take) resume(now time.Duration, o Options) int {
	if o.Loop || o.Follow {
		return 0
	}
	return t.first + t.position(now).Bar
}

// begun is how many passes a loop has begun by now: none during the count-in.
func (t *take) begun(now time.Duration) int {
	if !t.loop {
		return 0
	}
	return t.position(now).Pass + 1
}

// from is the score from a bar on. Only the last bars of a piece are ever left,
// so its harmonies and strokes keep their neighbours.
func from(s *score.Score, bar int) *score.Score { return s.Part(bar, len(s.Bars)-1) }

// leadIn is how long the count-in is: whole bars, and before an upbeat the part
// of its bar that comes before it, as a teacher counts it.
func leadIn(s *score.Score, bars int) meter.Ticks {
	if bars < 1 {
		return 0
	}
	bar := s.Meter.Bar()
	return meter.Ticks(bars)*bar + bar - s.Bars[0].Len
}
