package score

import (
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
)

// Excerpt lays a pattern alone over the first bars of c: to look at. A part that
// brings its chords goes over those, in the chart's key; a fill begins each bar
// with rests where the accompaniment would go on. Errors are those of Build.
func Excerpt(c *chart.Chart, p *pattern.Pattern, o Options) (*Score, error) {
	if p.Part == pattern.Accompaniment {
		return Build(c, p, o)
	}
	if !p.Fits(c.Meter) {
		return nil, &MeterError{Pattern: p, Meter: c.Meter}
	}
	if o.Key != nil {
		c = c.In(*o.Key)
	}
	if err := fits(c, p, p.Part, chart.Place{}); err != nil {
		return nil, err
	}
	s := &Score{Title: c.Title, Key: c.Key, Meter: c.Meter, Tempo: c.Tempo, Pattern: p}
	ar := &arranger{c: c, all: accompany(c, p, Parts{})}
	if p.Part != pattern.Fill {
		if ar.all[0].Bar.Number == 0 {
			ar.all = ar.all[1:]
		}
		ar.fitTo(p.Bars())
		ar.replace(0, p)
	}
	s.layBars(c, ar.all)
	return s, s.layHands()
}

// fitTo makes the tune so many bars long, over its last chord where it is shorter.
func (ar *arranger) fitTo(bars int) {
	ar.all = ar.all[:min(len(ar.all), bars)]
	for n := len(ar.all); n < bars; n++ {
		b := ar.all[n-1]
		next := &chart.Bar{Number: n + 1, Len: b.Bar.Len}
		for _, p := range b.Bar.Chords[len(b.Bar.Chords)-1:] {
			next.Chords = []chart.Placed{{Dur: next.Len, Chord: p.Chord}}
		}
		b.Bar, b.own = next, nil
		ar.all = append(ar.all, b)
	}
}
