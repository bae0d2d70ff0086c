package cli

import (
	"context"
	"errors"

	"undersong/internal/session/sitting"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/score"
)

// listen lets a sitting without a click hear a file, where one is named, or the
// keyboard.
func (a *App) listen(ctx context.Context, s sitting.Sitting, opening *sitting.Notice, file, in string, f format) error {
	if file != "" {
		return a.listenToFile(s, file, f)
	}
	return a.withKeyboard(ctx, in, func(ctx context.Context, k *keyboard) error {
		*opening = sitting.Notice{Kind: sitting.ListeningTo, Port: k.in}
		return a.watched(ctx, k, s, f)
	})
}

// listenToFile lets the same ear hear a file.
func (a *App) listenToFile(s sitting.Sitting, path string, f format) error {
	p, err := readNotes(path)
	if err != nil {
		return err
	}
	s.Begin(0)
	for _, e := range p.Events {
		s.Event(e)
	}
	s.Do(p.End, sitting.Command{Do: sitting.DoEnd})
	to := a.lines(f)
	for _, r := range s.Take() {
		if err := to.Record(r); err != nil {
			return err
		}
	}
	return nil
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
