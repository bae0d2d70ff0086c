package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"undersong/internal/judge/rules"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/text/file"
)

// pieceOptions say what is played, as typed.
type pieceOptions struct {
	chart, pattern, tempo, bars, hand, level, keys string
	key                                            wantedKey

	follow bool
}

// bindMusic binds the flags that say what is played.
func (o *pieceOptions) bindMusic(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&o.pattern, "pattern", "", "the accompaniment, from the first bar to the last: a `NAME` from undersong patterns, or a file of your own")
	o.key.bind(f)
	f.StringVar(&o.tempo, "tempo", "", "beats a minute (`BPM`; dotted quarters in 6/8, 9/8, 12/8), or a share of the chart's tempo, such as 60%")
	f.StringVar(&o.bars, "bars", "", "only these `BARS`, such as 5-8 (their first time, where they repeat) or intro")
	f.StringVar(&o.hand, "hand", "", "one hand alone: `left or right`")
	f.StringVar(&o.keys, "keys", "", "how many `KEYS` the keyboard has: 49, 61, 76 or 88; without it those remembered with the port")
}

// bind binds those too that say how it is listened to.
func (o *pieceOptions) bind(c *cobra.Command) {
	o.bindMusic(c)
	f := c.Flags()
	f.BoolVar(&o.follow, "follow", false, "the player leads: no click, and a tempo that may bend and wait")
	f.StringVar(&o.level, "level", rules.Steady.Name, "how closely to listen: `gentle, steady or strict`")
}

// piece is what is played.
type piece struct {
	chart    *chart.Chart
	file     string // as given; empty for a tune of our own
	pattern  *pattern.Pattern
	own      string             // the pattern's path, where it is the player's own
	others   []*pattern.Pattern // accompaniments that may be heard in its place
	parts    score.Parts
	asChart  bool // the chart says what is played where
	key      *pitch.Key
	keyboard pitch.Keyboard
	tempo    meter.Tempo // 0: the chart's
	share    float64     // of the chart's tempo, as it was asked for; 0 where it was not
	span     score.Span
	only     score.Only
	follow   bool
	level    rules.Level
}

// load reads the files and checks the words. The files come last: what was
// typed is told first.
func (o *pieceOptions) load(a *App) (*piece, error) {
	p := &piece{file: o.chart, follow: o.follow}
	if err := o.words(p); err != nil {
		return nil, err
	}
	var err error
	if p.keyboard, err = a.keyboardOf(o.keys); err != nil {
		return nil, err
	}
	cat, err := a.catalogue()
	if err != nil {
		return nil, err
	}
	p.others = cat.Of(pattern.Accompaniment)
	if p.chart, err = a.chartOf(o.chart); err != nil {
		return nil, err
	}
	if p.key, err = o.key.of(a, p.chart); err != nil {
		return nil, err
	}
	if err := p.takeShare(); err != nil {
		return nil, err
	}
	if o.pattern != "" { // plainly through the whole chart
		p.pattern, p.own, err = a.findPattern(o.pattern)
		return p, err
	}
	if err := a.chartsPatterns(p); err != nil {
		return nil, err
	}
	if p.pattern == nil {
		return p, asUsage(&noPatternError{p.chart.Meter})
	}
	return p, nil
}

// noPatternError is a chart that leaves open what is played.
type noPatternError struct{ meter meter.Meter }

func (e *noPatternError) Error() string {
	return fmt.Sprintf("the chart names no pattern: choose one with --pattern NAME; undersong patterns --meter %s lists what fits", e.meter)
}

func (o *pieceOptions) words(p *piece) error {
	var err error
	if p.level, err = rules.ParseLevel(o.level); err != nil {
		return asUsage(err)
	}
	if err = o.key.read(); err != nil {
		return err
	}
	if o.tempo != "" {
		if p.tempo, p.share, err = parseTempo(o.tempo); err != nil {
			return err
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

// findPattern finds a pattern and, where it comes from a file, its path.
func (a *App) findPattern(name string) (p *pattern.Pattern, own string, err error) {
	cat, err := a.catalogue()
	if err != nil {
		return nil, "", err
	}
	if p, err = findIn(cat, name); err != nil {
		return nil, "", err
	}
	if isPath(name) {
		own = name
	}
	return p, own, nil
}

// findIn finds a pattern by its name in the catalogue, or in a file by its path.
func findIn(cat *pattern.Catalogue, nameOrPath string) (*pattern.Pattern, error) {
	if isPath(nameOrPath) {
		return file.Parse(nameOrPath, pattern.MaxSize, pattern.Parse)
	}
	return cat.Find(nameOrPath)
}

func (p *piece) heading(s *score.Score) sitting.Heading {
	h := sitting.HeadingOf(s, p.level.Name)
	h.File, h.Own, h.Span, h.Follow, h.AsChart = p.file, p.own, p.span, p.follow, p.asChart
	h.Moved = s.Key != p.chart.Key
	return h
}
