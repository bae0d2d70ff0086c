// Package wasm has what listens and judges do its work as WebAssembly, in a
// machine without clock, files or threads, and expects the very bytes that it
// gives natively.
package wasm

import (
	"encoding/json"
	"fmt"
	"io"
	"time"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/rules"
	"undersong/internal/listen/live"
	"undersong/internal/listen/transcribe"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Lesson is what a student was given, as text, and what was played.
type Lesson struct {
	Name           string
	Chart, Pattern string
	Key            string // empty for the chart's own
	Level          string
	Led, Loop      bool
	Events         []event.Event
}

// score lays the lesson's pattern over its chart.
func (l *Lesson) score() (*score.Score, error) {
	c, err := chart.Parse([]byte(l.Chart), "lesson.chart")
	if err != nil {
		return nil, err
	}
	p, err := pattern.Parse([]byte(l.Pattern), "lesson.pattern")
	if err != nil {
		return nil, err
	}
	var o score.Options
	if l.Key != "" {
		key, err := pitch.ParseKey(l.Key)
		if err != nil {
			return nil, err
		}
		o.Key = &key
	}
	return score.Build(c, p, o)
}

// Judge reads lessons, JSON values one after another, and writes all that the
// engine knows of them: after every event each finding, the place in the score,
// the tempo and the chord that is heard; at the end the summary, and the chords
// found without the chart. Every number is written to its last bit.
func Judge(lessons io.Reader, out io.Writer) error {
	for all := json.NewDecoder(lessons); ; {
		var l Lesson
		if err := all.Decode(&l); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
		if err := l.judge(out); err != nil {
			return fmt.Errorf("%s: %w", l.Name, err)
		}
	}
}

func (l *Lesson) judge(out io.Writer) error {
	s, err := l.score()
	if err != nil {
		return err
	}
	level, err := rules.ParseLevel(l.Level)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "== %s\n", l.Name)
	e := engine.New(s, engine.Options{Level: level, Led: l.Led, Loop: l.Loop})
	ear := live.NewListener(live.Options{Key: &s.Key})
	var now time.Duration
	for _, ev := range l.Events {
		now = ev.At
		for _, f := range e.Feed(ev) {
			fmt.Fprintf(out, "%+v\n", f)
		}
		at := e.Position(now)
		ear.Expect(live.WrittenAt(s, s.HarmonyAt(max(0, at.At))))
		ear.Feed(ev)
		ear.Take()
		is := ear.Heard()
		fmt.Fprintf(out, "%+v %v %+v %v\n", at, e.Tempo(), is.Chord, is.Keys)
	}
	for _, f := range e.Finish(now + 20*time.Second) {
		fmt.Fprintf(out, "%+v\n", f)
	}
	_, err = fmt.Fprintf(out, "%+v\n%s", e.Summary(), l.chords(now))
	return err
}

// chords are those that are heard in the whole performance, and its bars, with
// nothing told of what was to be played.
func (l *Lesson) chords(end time.Duration) string {
	segments, grid := transcribe.Chords(transcribe.Performance{Notes: transcribe.FromEvents(l.Events, end), End: end}, transcribe.Options{})
	all := fmt.Sprintf("%+v\n", grid)
	for _, s := range segments {
		all += fmt.Sprintf("%+v\n", s)
	}
	return all
}
