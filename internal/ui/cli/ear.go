package cli

import (
	"context"
	"errors"

	"undersong/internal/session/practice"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/score"
	"undersong/internal/ui/lines"
)

// earLesson is a lesson without a click: practice.ByEar or practice.FirstBass.
type earLesson interface {
	practice.Lesson
	Tell(w sitting.EarWriter, opening string)
	Retell(sitting.EarWriter) error
}

// listen lets a lesson hear a file, where one is named, or the keyboard.
func (a *App) listen(ctx context.Context, l earLesson, file, in string, f format) error {
	if file != "" {
		return a.listenToFile(l, file, f)
	}
	return a.withKeyboard(ctx, in, func(ctx context.Context, k *keyboard) error {
		return a.listenLive(ctx, l, k, f)
	})
}

// listenToFile lets the same ear hear a file.
func (a *App) listenToFile(l earLesson, path string, f format) error {
	p, err := readNotes(path)
	if err != nil {
		return err
	}
	l.Tell(a.earWriter(f), "")
	if err := l.Begin(0); err != nil {
		return err
	}
	for _, e := range p.Events {
		if err := l.Event(e); err != nil {
			return err
		}
	}
	return l.Stop(p.End)
}

// listenLive prints the summary when the screen is off.
func (a *App) listenLive(ctx context.Context, l earLesson, k *keyboard, f format) error {
	program := a.screenFor(f)
	w := a.earWriter(f)
	if program != nil {
		w = sitting.Silent{}
	}
	l.Tell(w, "listening to "+k.in)
	if err := k.run(ctx, a, practice.NewLoop(l, k.clock, k.after), program); err != nil {
		return err
	}
	if program == nil || !l.Done() {
		return nil
	}
	return l.Retell(a.plainWriter())
}

func (a *App) earWriter(f format) sitting.EarWriter {
	if f == jsonLines {
		return lines.NewJSON(a.Out)
	}
	return a.plainWriter()
}

// tuneOf is the tune of a chart's bars, and what to call it.
func tuneOf(c *chart.Chart, path string, bars score.Span) (s *score.Score, title string, err error) {
	s, err = score.Tune(c, score.Options{Span: bars})
	if errors.Is(err, score.ErrNoTune) {
		return nil, "", errorf("%w, %s: write one with m: lines, as in m: C2 D2 | E4 |", err, path)
	}
	if err != nil {
		return nil, "", err
	}
	if c.Title == "" {
		return s, path, nil
	}
	return s, c.Title, nil
}

// onlyLive refuses --in beside a file.
func onlyLive(file, in string) error {
	if file != "" && in != "" {
		return usagef("--in is for live playing; the file %s is heard as it is", file)
	}
	return nil
}
