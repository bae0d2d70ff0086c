package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/text/source"
	"undersong/internal/ui/words"
)

// chartsPatterns finds all that the chart asks for; p.pattern stays nil where that is
// no accompaniment for all of it.
func (a *App) chartsPatterns(p *piece) error {
	p.asChart = p.chart.Asks()
	if err := a.chartsParts(p); err != nil {
		return err
	}
	if p.chart.Pattern != "" {
		var err error
		p.pattern, p.own, err = a.chartsPattern(p.file, p.chart.Pattern)
		return err
	}
	for i, s := range p.chart.Sections {
		if s.Pattern.Name == "" {
			break
		}
		if i == len(p.chart.Sections)-1 {
			p.pattern = p.parts.Sections[0]
		}
	}
	return nil
}

// checkAsked checks that what a chart asks for is there and can be played in it.
func (a *App) checkAsked(c *chart.Chart, file string) error {
	p := &piece{chart: c, file: file}
	if err := a.chartsPatterns(p); err != nil || p.pattern == nil {
		return err
	}
	_, err := p.build(false)
	return err
}

// chartsParts finds the patterns of sections, and intro, fills and endings.
func (a *App) chartsParts(p *piece) error {
	c := p.chart
	cat, err := a.catalogue()
	if err != nil {
		return err
	}
	find := func(ask chart.Ask) (*pattern.Pattern, error) {
		if ask.Name == "" {
			return nil, nil
		}
		return asked(cat, p.file, ask)
	}
	p.parts.Sections = make([]*pattern.Pattern, len(c.Sections))
	p.parts.Fills = make([]*pattern.Pattern, len(c.Fills))
	for i := range c.Sections {
		if p.parts.Sections[i], err = find(c.Sections[i].Pattern); err != nil {
			return err
		}
	}
	for i := range c.Fills {
		if p.parts.Fills[i], err = find(c.Fills[i].Ask); err != nil {
			return err
		}
	}
	if p.parts.Intro, err = find(c.Intro); err != nil {
		return err
	}
	if p.parts.Turnaround, err = find(c.Turnaround); err != nil {
		return err
	}
	p.parts.Ending, err = find(c.Ending)
	return err
}

// asked is a pattern that a chart asks for by a heading of its own. An error tells
// where, but for a fault in the pattern's own file.
func asked(cat *pattern.Catalogue, chartFile string, ask chart.Ask) (*pattern.Pattern, error) {
	p, err := findIn(cat, beside(chartFile, ask.Name))
	var src *source.Error
	var path *fs.PathError
	switch {
	case err == nil || errors.As(err, &src):
		return p, err
	case errors.As(err, &path) && errors.Is(err, fs.ErrNotExist):
		return nil, ask.Place.Fault(fmt.Sprintf("there is no file %s beside the chart", ask.Name), "a file is looked for from the chart's folder; undersong patterns lists those that need no file")
	case errors.As(err, &path):
		return nil, ask.Place.Fault(fmt.Sprintf("%s: %s", ask.Name, reason(path.Err)), "")
	}
	return nil, ask.Place.Fault(err.Error(), "")
}

// beside is the path of a pattern that a chart names. A file is looked for beside
// the chart, and then from here.
func beside(chart, name string) string {
	if !isPath(name) || filepath.IsAbs(name) {
		return name
	}
	path := filepath.Join(filepath.Dir(chart), name)
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return name
	}
	return path
}

// isPath tells a pattern's file from a name in the catalogue.
func isPath(name string) bool {
	return strings.HasSuffix(name, pattern.FileSuffix) || strings.ContainsAny(name, `/\`)
}

// chartsPattern is the pattern that a chart asks for at its top.
func (a *App) chartsPattern(file, name string) (p *pattern.Pattern, own string, err error) {
	p, own, err = a.findPattern(beside(file, name))
	var src *source.Error
	var path *fs.PathError
	switch {
	case err == nil || errors.As(err, &src): // a fault in the pattern has a place of its own
		return p, own, err
	case errors.As(err, &path) && errors.Is(err, fs.ErrNotExist):
		err = errorf("the chart %s asks for the pattern %s, and there is no such file beside it; --pattern NAME chooses another", file, name)
	case errors.As(err, &path):
		err = errorf("the chart %s asks for a pattern: %w", file, path)
	default:
		err = errorf("the chart %s asks for its pattern: %w", file, err)
	}
	return nil, "", err
}

// build lays the piece out; round says that it is to go round and round.
func (p *piece) build(round bool) (*score.Score, error) { return p.lay(p.span, p.only, round) }

// built is build, and tells what a keyboard with fewer keys has elsewhere.
func (a *App) built(p *piece, round bool) (*score.Score, error) {
	s, err := p.build(round)
	if err == nil && len(s.Moved) > 0 {
		fmt.Fprintln(a.Err, strings.Join(words.OnKeyboard(s, p.keyboard), "\n"))
	}
	return s, err
}

// lay lays some bars for some hands.
func (p *piece) lay(bars score.Span, hands score.Only, round bool) (*score.Score, error) {
	return score.Build(p.chart, p.pattern, score.Options{
		Key: p.key, Tempo: p.tempo, Span: bars, Only: hands, Parts: p.parts, Round: round && bars == (score.Span{}), Keyboard: p.keyboard,
	})
}

// swing plays the accompaniment in another feel.
func (p *piece) swing(s pattern.Swing) error {
	var err error
	if p.pattern, err = p.pattern.Swung(s); err != nil {
		return err
	}
	for i, own := range p.parts.Sections {
		if own == nil {
			continue
		}
		if p.parts.Sections[i], err = own.Swung(s); err != nil {
			return err
		}
	}
	return nil
}
