// Package review judges a recorded performance: a MIDI file, through the same
// engine as live playing. It reads no clock; the same file gives the same
// findings.
package review

import (
	"time"

	"undersong/internal/judge/cause"
	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/midi/smf"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Options say what a performance is held against.
type Options struct {
	Chart   *chart.Chart
	Pattern *pattern.Pattern
	Others  []*pattern.Pattern // accompaniments that may be heard in its place
	Parts   score.Parts        // that the chart asks for besides
	Key     *pitch.Key         // nil for the chart's own
	// Tempo, where it is not 0, is the tempo at which the file was played; its
	// times are then taken as real time and its own beats do not count.
	Tempo    meter.Tempo
	Span     score.Span
	Only     score.Only // one hand alone
	Level    rules.Level
	SkipBars int // bars of count-in at the start of the file, 0 or more
	// Follow takes the file as led by the player: its times are real time, its
	// own beats and SkipBars do not count, and the tempo is only a hint.
	Follow   bool
	Keyboard pitch.Keyboard // on which it was played
}

// Review is a performance laid beside a score, ready to be judged.
type Review struct {
	Score  *score.Score
	Source sitting.Source // of the score's tempo

	performance *smf.Performance
	level       rules.Level
	led         bool
	others      []*pattern.Pattern
	warp        warp
	start       time.Duration // of the score, on the engine's clock
	cut         *cut          // nil where every stroke is judged
}

// New lays p beside a score.
//
// The file's first tick is the first beat of the chart: of bar 1, or of the
// upbeat; SkipBars moves it by whole bars. Of a span's bars, those are judged that
// come where the span first comes when the chart is played through, and nothing
// else is. With Follow the file begins with the span. The file's tempo map says
// where its beats lie, and the score takes its tempo: where there are several
// tempi, their mean. A file in film frames knows no beats; it is taken as played at
// Options.Tempo, or else at the chart's.
//
// Errors are those of score.Build, and *ShortError.
func New(p *smf.Performance, o Options) (*Review, error) {
	s, err := score.Build(o.Chart, o.Pattern, score.Options{Key: o.Key, Tempo: o.Tempo, Span: o.Span, Only: o.Only, Parts: o.Parts, Keyboard: o.Keyboard})
	if err != nil {
		return nil, err
	}
	r := &Review{Score: s, performance: p, level: o.Level, led: o.Follow, others: o.Others}
	if o.Follow {
		r.warp = straight(0)
		return r, nil
	}
	pass := passage{score: s, whole: s}
	if o.Span != (score.Span{}) {
		if pass, err = passageOf(s, o); err != nil {
			return nil, err
		}
	}
	r.Score = pass.score
	r.lay(pass, o)
	return r, r.short(o)
}

// lay finds when the passage sounds in the file.
func (r *Review) lay(pass passage, o Options) {
	p, s := r.performance, r.Score
	skip := meter.Ticks(o.SkipBars) * s.Meter.Bar()
	sounds := func(at meter.Ticks) time.Duration { return pass.whole.Lasts(-skip, at) }
	switch {
	case p.TicksPerQuarter == 0 && o.Tempo == 0:
		r.Source = sitting.FromChart
		fallthrough
	case o.Tempo != 0:
		r.warp = straight(sounds(pass.start))
	default:
		m := mapOf(p)
		r.followMap(m, quarters(skip+pass.start))
		sounds = func(at meter.Ticks) time.Duration { return m.at(quarters(skip + at)) }
	}
	r.start = r.warp.toEngine(sounds(pass.start))
	r.cut = pass.cut(sounds)
}

func quarters(t meter.Ticks) float64 { return float64(t) / float64(meter.Quarter) }

// followMap takes tempo and beats from the file, from a place in quarters on.
func (r *Review) followMap(m tempoMap, from float64) {
	tempo, several := m.tempoOver(r.Score, from)
	r.Source = sitting.FromFile
	switch {
	case several:
		r.Source = sitting.MeanOfFile
	case len(r.performance.Tempos) == 0:
		r.Source = sitting.UsualOfFile
	}
	r.Score.Tempo = min(max(tempo, meter.SlowestTempo), meter.FastestTempo)
	if !several && r.Score.Slows() { // the file's beats do not slow down: its times say when the player did
		r.warp = straight(m.at(from))
		return
	}
	r.warp = byTempoMap(r.Score, m, from)
}

// Run judges the performance and tells it, record by record, to a face, whose error
// it returns.
func (r *Review) Run(h sitting.Heading, tell func(sitting.Record) error) error {
	e := cause.New(r.Score, cause.Options{Options: engine.Options{Level: r.level, Start: r.start, Led: r.led}, Patient: true, Patterns: r.others})
	h.Source, h.Recorded = r.Source, true
	t := teller{review: r, engine: e, turns: sitting.Turns{Led: r.led}, to: tell}
	if err := t.begin(h); err != nil {
		return err
	}
	for _, ev := range r.performance.Events {
		// A recorded click or rhythm is nothing that hands did.
		if ev.Channel() == event.Percussion || ev.IsNoteOn() && r.cut.drops(ev.At) {
			continue
		}
		if err := t.tell(e.Feed(r.onEngine(ev))); err != nil {
			return err
		}
	}
	if err := t.tell(e.Finish(r.warp.toEngine(r.performance.End))); err != nil {
		return err
	}
	end := r.performance.End
	return tell(sitting.Record{At: end, Result: &sitting.Result{Heading: h, Length: end, Summary: e.Summary(), Picture: t.picture}})
}

// teller passes findings on.
type teller struct {
	review  *Review
	engine  *cause.Judge
	turns   sitting.Turns
	picture sitting.Picture
	to      func(sitting.Record) error
}

// begin tells what is played and, where that is not plainly the beginning, where its
// first note is expected.
func (t *teller) begin(h sitting.Heading) error {
	piece := sitting.NewPiece(h, t.engine.Score, t.engine.Score.Chart)
	if err := t.to(sitting.Record{Piece: piece}); err != nil {
		return err
	}
	if n, ok := piece.FirstNote(); ok && !t.review.led {
		return t.to(sitting.Record{Notice: &n})
	}
	return nil
}

func (t *teller) tell(found []finding.Finding) error {
	for _, c := range t.engine.Causes() {
		told := sitting.Cause{Cause: c, At: t.review.warp.toFile(c.At), Pass: c.Pass + 1}
		if err := t.to(sitting.Record{At: told.At, Cause: &told}); err != nil {
			return err
		}
	}
	if len(found) == 0 {
		return nil
	}
	items := make([]sitting.Item, len(found))
	for i, f := range found {
		t.picture.Add(t.engine.Score.Bars[f.Bar].Number, t.turns.Of(&f, f.Pass), f.Kind)
		items[i] = sitting.Item{Finding: f, At: t.review.warp.toFile(f.At), Pass: f.Pass + 1}
	}
	return t.to(sitting.Record{At: items[0].At, Findings: items})
}

func (r *Review) onEngine(ev event.Event) event.Event {
	ev.At = r.warp.toEngine(ev.At)
	return ev
}
