package score

import (
	"errors"

	"undersong/internal/sheet/chart"
)

// ErrNoTune is a chart in which no tune is written.
var ErrNoTune = errors.New("no tune is written in this chart")

// Tune is the chart's tune and chords alone: a score without a pattern, in which
// nothing is wanted. Of the options, Only means nothing. Its errors are ErrNoTune
// and *SpanError.
func Tune(c *chart.Chart, o Options) (*Score, error) {
	if o.Key != nil {
		c = c.In(*o.Key)
	}
	s := &Score{Title: c.Title, Key: c.Key, Meter: c.Meter, Tempo: c.Tempo}
	if o.Tempo != 0 {
		s.Tempo = o.Tempo
	}
	all, err := cut(accompany(c, nil, Parts{}), o.Span)
	if err != nil {
		return nil, err
	}
	s.layBars(c, all)
	s.layMelody(c, all)
	if len(s.Melody) == 0 {
		return nil, ErrNoTune
	}
	return s, nil
}
