// Package demo is a sample lesson for those without a keyboard at hand: a short
// tune, and an invented student who plays it with mistakes.
package demo

import (
	_ "embed"
	"fmt"
	"slices"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/patterns"
)

// Student is the invented student's name.
const Student = "Wanda"

//go:embed clementine.chart
var tune []byte

// ChartName is what the tune is asked for by, where a chart's file is wanted.
const ChartName = "demo"

// Chart is the tune.
func Chart() (*chart.Chart, error) { return chart.Parse(tune, ChartName) }

// Lesson is what the student plays.
type Lesson struct {
	Chart *chart.Chart
	Score *score.Score
}

// NewLesson lays out the tune, at a tempo or, where that is 0, at its own.
func NewLesson(tempo meter.Tempo) (*Lesson, error) {
	c, err := Chart()
	if err != nil {
		return nil, err
	}
	known, err := pattern.Load(patterns.Texts())
	if err != nil {
		return nil, err
	}
	p, err := known.Find(c.Pattern)
	if err != nil {
		return nil, err
	}
	s, err := score.Build(c, p, score.Options{Tempo: tempo})
	if err != nil {
		return nil, err
	}
	return &Lesson{Chart: c, Score: s}, nil
}

// planted are the student's mistakes, one bar each, with room between them to read.
var planted = []struct {
	kind mistakes.Kind
	bar  int
	beat float64
	hand pattern.Hand
}{
	{mistakes.Missing, 2, 3, pattern.Right},
	{mistakes.WrongBass, 4, 1, pattern.Left},
	{mistakes.WrongInversion, 6, 2, pattern.Right},
	{mistakes.Late, 8, 2, pattern.Right},
	{mistakes.Blurred, 10, 1, pattern.Left},
}

// Play is the student's performance, counted from score tick 0. The same seed
// plays the same.
func (l *Lesson) Play(seed uint64) ([]event.Event, error) {
	habits, err := performer.Human("steady")
	if err != nil {
		return nil, err
	}
	plan := mistakes.Plan{Start: early}
	for _, m := range planted {
		want, err := l.want(m.bar, m.beat, m.hand)
		if err != nil {
			return nil, err
		}
		if !slices.Contains(plan.Sites(l.Score, habits, m.kind), want) {
			continue // no room for it at a great tempo
		}
		plan = plan.Plant(m.kind, want)
	}
	p, err := mistakes.Play(l.Score, habits, plan, seed)
	if err != nil {
		return nil, err
	}
	for i := range p.Events {
		p.Events[i].At -= early
	}
	return p.Events, nil
}

// early leaves room for a first stroke before its beat.
const early = time.Second

func (l *Lesson) want(bar int, beat float64, h pattern.Hand) (int, error) {
	for i := range l.Score.Wants {
		w := &l.Score.Wants[i]
		if l.Score.Bars[w.Bar].Number == bar && w.Beat == beat && w.Hand == h {
			return i, nil
		}
	}
	return 0, fmt.Errorf("the demo wants nothing in bar %d, beat %g, %s hand", bar, beat, h)
}
