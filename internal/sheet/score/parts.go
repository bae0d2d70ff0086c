package score

import (
	"fmt"

	"undersong/internal/music/harmony"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/text/wording"
)

// Parts are the patterns that a chart asks for besides the one that accompanies
// most of it. The zero value asks for none. What goes round and has a turnaround
// leaves intro and ending out: the turnaround leads back to bar 1.
type Parts struct {
	Sections   []*pattern.Pattern // of the chart's sections; nil, or too short, for those without their own
	Intro      *pattern.Pattern   // goes before bar 1; an upbeat sounds in its last bar
	Turnaround *pattern.Pattern   // replaces the last bars before a repeat goes back
	Ending     *pattern.Pattern   // replaces the last bars; with its own chords the last one, and goes on
	Fills      []*pattern.Pattern // of the chart's fills
}

// PartError is a pattern that is for another part of a piece than to accompany it.
type PartError struct{ Pattern *pattern.Pattern }

func (e *PartError) Error() string {
	return fmt.Sprintf("pattern %q is %s; a chart asks for it in its headings, and another pattern accompanies the tune", e.Pattern.Name, a(e.Pattern.Part))
}

// a is a part with its article.
func a(p pattern.Part) string {
	if p == pattern.Fill || p == pattern.Turnaround {
		return "a " + p.String()
	}
	return "an " + p.String()
}

// bar is a bar as played, and what is played in it.
type bar struct {
	chart.Played             // its Bar may be another than the chart's
	own           *chart.Bar // the chart's; nil in an intro, and where an ending goes on
	pattern, fill *pattern.Pattern
	count         int  // bars since the pattern began
	added         bool // after the chart's last bar
}

// slows reports a bar of an ending with a ritardando.
func (b *bar) slows() bool {
	return b.pattern != nil && b.pattern.Part == pattern.Ending && b.pattern.Slowing > 0
}

// judged reports whether a hand that is to play alone has anything to play.
func judged(all []bar, only Only) bool {
	if only == BothHands {
		return true
	}
	h := only - LeftAlone
	for _, b := range all {
		if b.pattern.Rows[h] != nil || b.fill != nil && b.fill.Rows[h] != nil {
			return true
		}
	}
	return false
}

// accompany lays a pattern, or those of the sections, over the bars of a chart as
// they are played. Each section begins it anew.
func accompany(c *chart.Chart, p *pattern.Pattern, parts Parts) []bar {
	section := map[*chart.Bar]int{}
	for i, s := range c.Sections {
		for _, l := range s.Lines {
			for j := range l.Bars {
				section[&l.Bars[j]] = i
			}
		}
	}
	var all []bar
	for _, played := range c.Unfold() {
		b := bar{Played: played, own: played.Bar, pattern: p}
		if i := section[played.Bar]; i < len(parts.Sections) && parts.Sections[i] != nil {
			b.pattern = parts.Sections[i]
		}
		if n := len(all); n > 0 && all[n-1].Section == b.Section && all[n-1].pattern == b.pattern && all[n-1].Bar.Number != 0 {
			b.count = all[n-1].count + 1
		}
		all = append(all, b)
	}
	return all
}

// arranger puts the parts of a piece in their places.
type arranger struct {
	c     *chart.Chart
	parts Parts
	all   []bar
}

// arrange is what is played in each bar. Errors are *PartError and *source.Error.
func arrange(c *chart.Chart, p *pattern.Pattern, o *Options) ([]bar, error) {
	if p.Part != pattern.Accompaniment {
		return nil, &PartError{p}
	}
	for i, own := range o.Parts.Sections {
		if own != nil {
			if err := fits(c, own, pattern.Accompaniment, c.Sections[i].Pattern.Place); err != nil {
				return nil, err
			}
		}
	}
	ar := &arranger{c, o.Parts, accompany(c, p, o.Parts)}
	round := o.Round && o.Parts.Turnaround != nil
	before := ar.all // for an intro without chords
	if err := ar.turn(round); err != nil {
		return nil, err
	}
	if !round {
		if err := ar.end(); err != nil {
			return nil, err
		}
	}
	if err := ar.fill(); err != nil {
		return nil, err
	}
	if !round {
		if err := ar.introduce(before); err != nil {
			return nil, err
		}
	}
	return ar.all, nil
}

// fits refuses a pattern where it cannot be played.
func fits(c *chart.Chart, p *pattern.Pattern, part pattern.Part, at chart.Place) error {
	mode, other := "major", "minor"
	if c.Key.Minor {
		mode, other = other, mode
	}
	list := fmt.Sprintf("undersong patterns --part %s --meter %s lists those that fit", part, c.Meter)
	switch {
	case p.Part != part:
		return at.Fault(fmt.Sprintf("the pattern %s is %s, and %s is asked for", p.Name, a(p.Part), a(part)), list)
	case !p.Fits(c.Meter):
		return at.Fault(fmt.Sprintf("the %s %s is in %s, and the chart in %s", part, p.Name, p.Meter, c.Meter), list)
	case p.BringsChords() && p.OwnChords(c.Key.Minor) == nil:
		return at.Fault(fmt.Sprintf("the %s %s brings chords for %s keys only, and the chart is in %s", part, p.Name, other, mode), "give its file a line "+map[bool]string{true: "chords-minor:", false: "chords:"}[c.Key.Minor]+", or choose another")
	}
	return nil
}

// turn lays the turnaround before each way back, and at the end of what goes round.
func (ar *arranger) turn(round bool) error {
	p := ar.parts.Turnaround
	if p == nil {
		return nil
	}
	at := ar.c.Turnaround.Place
	if err := fits(ar.c, p, pattern.Turnaround, at); err != nil {
		return err
	}
	all := ar.all
	since := 0 // the last way back
	for i := range all {
		last := i == len(all)-1
		if last && !round || !last && all[i+1].own.Number > all[i].own.Number {
			continue
		}
		first := i + 1 - p.Bars()
		if first < since || all[first].own.Number == 0 {
			return at.Fault(fmt.Sprintf("the turnaround %s has %s, and bar %d goes back after %s", p.Name, wording.Count(p.Bars(), "bar"), all[i].own.Number, wording.Count(i+1-since, "bar")), "choose a shorter one")
		}
		ar.replace(first, p)
		since = i + 1
	}
	return nil
}

// replace lays a part over bars from one on, with its chords where it has any.
func (ar *arranger) replace(first int, p *pattern.Pattern) {
	own := p.OwnChords(ar.c.Key.Minor)
	for i := range p.Bars() {
		b := &ar.all[first+i]
		b.pattern, b.count = p, i
		if own != nil {
			changed := *b.Bar
			changed.Chords, changed.Simile = placed(own[i], ar.c.Key, ar.c.Meter), false
			b.Bar = &changed
		}
	}
}

// placed are a pattern's chords for a bar, in a key.
func placed(own pattern.Chords, k pitch.Key, m meter.Meter) []chart.Placed {
	var all []chart.Placed
	own.Each(m, func(at, dur meter.Ticks, n harmony.Numeral) {
		all = append(all, chart.Placed{At: at, Dur: dur, Chord: n.In(k)})
	})
	return all
}

// end lays the ending: over the last bars, or with its own chords from the last
// bar on.
func (ar *arranger) end() error {
	p := ar.parts.Ending
	if p == nil {
		return nil
	}
	at := ar.c.Ending.Place
	if err := fits(ar.c, p, pattern.Ending, at); err != nil {
		return err
	}
	first := len(ar.all) - p.Bars()
	if p.BringsChords() {
		first = len(ar.all) - 1
		last := ar.all[first]
		for i := 1; i < p.Bars(); i++ {
			added := &chart.Bar{Number: ar.lastNumber() + i, Len: ar.c.Meter.Bar()}
			ar.all = append(ar.all, bar{Played: chart.Played{Bar: added, Pass: last.Pass, Section: endingName}, added: true})
		}
	}
	if first < 0 || ar.all[first].Bar.Number == 0 {
		return at.Fault(fmt.Sprintf("the ending %s has %s, and the chart as it is played %s", p.Name, wording.Count(p.Bars(), "bar"), wording.Count(ar.lastNumber(), "bar")), "choose a shorter one")
	}
	ar.replace(first, p)
	return nil
}

// The names of the sections that an arrangement adds.
const (
	introName  = "Intro"
	endingName = "Ending"
)

// lastNumber is the number of the chart's last bar.
func (ar *arranger) lastNumber() int {
	last := 0
	for _, b := range ar.all {
		if b.own != nil {
			last = max(last, b.own.Number)
		}
	}
	return last
}

// fill lays the fills over the accompaniment.
func (ar *arranger) fill() error {
	for i, p := range ar.parts.Fills {
		ask := ar.c.Fills[i]
		if err := fits(ar.c, p, pattern.Fill, ask.Place); err != nil {
			return err
		}
		for _, n := range ask.Bars {
			if taken := ar.fillBar(n, p); taken != nil {
				return ask.Place.Fault(fmt.Sprintf("the fill %s comes in bar %d, which belongs to the %s %s", p.Name, n, taken.Part, taken.Name), "leave one of the two out")
			}
		}
	}
	return nil
}

// fillBar lays a fill wherever a bar comes. Where it never has an accompaniment
// it returns what has it.
func (ar *arranger) fillBar(n int, p *pattern.Pattern) (taken *pattern.Pattern) {
	done := false
	for i := range ar.all {
		b := &ar.all[i]
		switch {
		case b.own == nil || b.own.Number != n:
		case b.pattern.Part == pattern.Accompaniment:
			b.fill, done = p, true
		default:
			taken = b.pattern
		}
	}
	if done {
		return nil
	}
	return taken
}

// introduce puts the intro before bar 1. An upbeat falls into its last bar. An
// intro without chords goes over those of the tune's last bars.
func (ar *arranger) introduce(tune []bar) error {
	p := ar.parts.Intro
	if p == nil {
		return nil
	}
	at := ar.c.Intro.Place
	if err := fits(ar.c, p, pattern.Intro, at); err != nil {
		return err
	}
	upbeat := ar.all[0].Bar
	if upbeat.Number == 0 {
		ar.all, tune = ar.all[1:], tune[1:]
	}
	own := p.OwnChords(ar.c.Key.Minor)
	if own == nil && len(tune) < p.Bars() {
		return at.Fault(fmt.Sprintf("the intro %s takes the chords of the last %s, and the chart as it is played has %s", p.Name, wording.Count(p.Bars(), "bar"), wording.Count(len(tune), "bar")), "choose a shorter one, or one with chords of its own")
	}
	var intro []bar
	for i := range p.Bars() {
		b := &chart.Bar{Number: -1 - i, Len: ar.c.Meter.Bar()}
		if own != nil {
			b.Chords = placed(own[i], ar.c.Key, ar.c.Meter)
		} else {
			b.Chords = tune[len(tune)-p.Bars()+i].own.Chords
		}
		intro = append(intro, bar{Played: chart.Played{Bar: b, Pass: 1, Section: introName}, pattern: p, count: i})
	}
	if upbeat.Number == 0 {
		takeUpbeat(intro[len(intro)-1].Bar, upbeat)
	}
	ar.all = append(intro, ar.all...)
	return nil
}

// takeUpbeat lets the words and notes of an upbeat sound at a bar's end.
func takeUpbeat(b, upbeat *chart.Bar) {
	b.Lyrics = upbeat.Lyrics
	for _, n := range upbeat.Melody {
		n.At += b.Len - upbeat.Len
		b.Melody = append(b.Melody, n)
	}
}
