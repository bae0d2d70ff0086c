package practice

import (
	"time"

	"undersong/internal/judge/cause"
	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/listen/live"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/play/together"
	"undersong/internal/session/sitting"
	"undersong/internal/session/sounds"
	"undersong/internal/sheet/score"
)

// take is one stretch of playing without a break, from a count-in on.
type take struct {
	score   *score.Score // from its first bar to the end of the piece
	first   int          // that bar's index in the piece
	wants   []int        // the engine's strokes by their places in the piece
	engine  *cause.Judge
	clicks  *sounds.Clicks    // nil where the player leads
	along   along             // what undersong plays
	partner *together.Partner // which it is where the player leads; else nil
	delay   time.Duration     // by which the engine's clock is behind ours
	loop    bool              // the engine goes round
	partial bool              // it leads into a loop, from within
	passes  int               // gone before this take
	over    bool
}

// newTake begins at the next bar of the piece, after a count-in of some bars that
// starts at a time.
func (s *Session) newTake(countIn int, at time.Duration, passes int) *take {
	part := *from(s.piece.Score, s.next)
	part.Tempo = s.tempo
	part.Untimed = part.Untimed && s.tempo == s.piece.Score.Tempo
	t := &take{
		score: &part, first: s.next, passes: passes,
		partial: s.loops() && s.next > 0,
	}
	t.loop = s.loops() && !s.apart() && !t.partial
	options := engine.Options{Level: s.o.Level, Loop: t.loop, Led: s.leads(), Sung: s.o.Heading.Sing}
	if !s.leads() {
		lead := leadIn(t.score, countIn)
		options.Start = at + t.lasts(lead)
		t.engine = cause.New(t.score, cause.Options{Options: options, Patterns: s.o.Others})
		t.clicks = sounds.NewClicks(t.score, t.engine.Click, lead)
		t.delay = min(max(s.o.Delay, -sitting.MostDelay), sitting.MostDelay)
	} else {
		options.Start = at
		t.engine = cause.New(t.score, cause.Options{Options: options, Heard: s.right+s.wrong > 0})
	}
	t.along = newAlong(t, s.o.With)
	t.wants = wantsIn(s.piece.Score, t)
	return t
}

// wantsIn are the strokes of a take by their places in the piece: those from its first
// bar on, and only those of the judged hand where the engine knows no others.
func wantsIn(piece *score.Score, t *take) []int {
	var all []int
	alone := len(t.engine.Score.Wants) < len(t.score.Wants)
	for i := range piece.Wants {
		if w := &piece.Wants[i]; w.Bar >= t.first && (!alone || piece.Only.Judges(w.Hand)) {
			all = append(all, i)
		}
	}
	return all
}

// inPiece is a finding by its places in the piece.
func (t *take) inPiece(f finding.Finding) finding.Finding {
	f.Bar += t.first
	if f.Kind.By(finding.Flow) {
		f.Flow.To += t.first
	}
	for _, w := range []*int{&f.Want, &f.Second} {
		if *w >= 0 {
			*w = t.wants[*w]
		}
	}
	return f
}

// quiet ends all that we sound.
func (t *take) quiet(sound func(event.Event)) {
	t.clicks.Stop(sound)
	t.along.Stop(sound)
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

// release is what the judge kept back, where nobody plays on.
func (t *take) release() []finding.Finding { return t.heard(t.engine.Release()) }

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
	return t.engine.Ends(t.score.Length + rest)
}

// written is what the chart has at a time; in the count-in, what comes.
func (t *take) written(now time.Duration) live.Written {
	return live.WrittenAt(t.score, t.score.HarmonyAt(max(0, t.position(now).At)))
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
