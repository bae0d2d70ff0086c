package cli

import (
	"strings"

	"github.com/spf13/cobra"

	"undersong/internal/chart"
	"undersong/internal/coach"
	"undersong/internal/meter"
	"undersong/internal/pattern"
	"undersong/internal/pitch"
	"undersong/internal/report"
	"undersong/internal/score"
)

// pieceOptions say what is played, as typed.
type pieceOptions struct {
	chart, pattern, key, tempo, bars, hand, level string

	follow bool
}

func (o *pieceOptions) bind(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.pattern, "pattern", "", "the accompaniment: a `NAME` from undersong patterns, or a file of your own")
	f.StringVar(&o.key, "key", "", "play in another `KEY`, such as G or Am")
	f.StringVar(&o.tempo, "tempo", "", "beats a minute (`BPM`; dotted quarters in 6/8, 9/8, 12/8)")
	f.StringVar(&o.bars, "bars", "", "only these `BARS`, such as 5-8")
	f.StringVar(&o.hand, "hand", "", "one hand alone: `left or right`; the other may play what it likes")
	f.BoolVar(&o.follow, "follow", false, "the player leads: no click, and a tempo that may bend and wait")
	f.StringVar(&o.level, "level", coach.Steady.Name, "how closely to listen: gentle, steady or strict")
}

// piece is what is played.
type piece struct {
	chart   *chart.Chart
	file    string // as given; empty for a tune of our own
	pattern *pattern.Pattern
	own     string // the pattern's path, where it is the player's own
	key     *pitch.Key
	tempo   meter.Tempo // 0: the chart's
	span    score.Span
	hand    string // "left" or "right"; empty for both
	only    score.Only
	follow  bool
	level   coach.Level
}

// load reads the files and checks the words. The files come last: what was
// typed is told first.
func (o *pieceOptions) load(a *App) (*piece, error) {
	p := &piece{file: o.chart, hand: o.hand, follow: o.follow}
	if err := o.words(p); err != nil {
		return nil, err
	}
	var err error
	if p.chart, err = chart.ReadFile(o.chart); err != nil {
		return nil, err
	}
	name := o.pattern
	if name == "" {
		name = p.chart.Pattern
	}
	if name == "" {
		return nil, usagef("the chart names no pattern: choose one with --pattern NAME; undersong patterns --meter %s lists what fits", p.chart.Meter)
	}
	p.pattern, p.own, err = a.findPattern(name)
	return p, err
}

func (o *pieceOptions) words(p *piece) error {
	var err error
	if p.level, err = coach.ParseLevel(o.level); err != nil {
		return asUsage(err)
	}
	if p.key, err = parseKey(o.key); err != nil {
		return err
	}
	if o.tempo != "" {
		if p.tempo, err = meter.ParseTempo(o.tempo); err != nil {
			return asUsage(err)
		}
	}
	if p.only, err = parseHand(o.hand); err != nil {
		return err
	}
	p.span, err = parseBars(o.bars)
	return err
}

// parseHand is both hands for "".
func parseHand(s string) (score.Only, error) {
	switch s {
	case "":
		return score.BothHands, nil
	case pattern.Left.String():
		return score.LeftAlone, nil
	case pattern.Right.String():
		return score.RightAlone, nil
	}
	return 0, usagef("--hand %q is not one of left, right", s)
}

// parseKey is nil for "".
func parseKey(s string) (*pitch.Key, error) {
	if s == "" {
		return nil, nil
	}
	k, err := pitch.ParseKey(s)
	if err != nil {
		return nil, asUsage(err)
	}
	return &k, nil
}

// findPattern finds a pattern and, where it comes from a file, its path.
func (a *App) findPattern(name string) (p *pattern.Pattern, own string, err error) {
	cat, err := a.catalogue()
	if err != nil {
		return nil, "", err
	}
	if p, err = cat.Find(name); err != nil {
		return nil, "", err
	}
	if strings.HasSuffix(name, pattern.FileSuffix) || name != p.Name {
		own = name
	}
	return p, own, nil
}

func (p *piece) heading(s *score.Score) report.Heading {
	h := report.HeadingOf(s, p.level)
	h.File, h.Own, h.Span, h.Hand, h.Follow = p.file, p.own, p.span, p.hand, p.follow
	h.Moved = s.Key != p.chart.Key
	return h
}
