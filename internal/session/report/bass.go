package report

import (
	"fmt"
	"strings"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/firstbass"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/ui/words"
)

// BassSchemaName names the JSON lines of basses under a tune.
const BassSchemaName = "undersong.bass/1"

// BassWriter takes the playing as it happens. Every line is written at once.
type BassWriter interface {
	StartBass(sitting.BassHeading) error
	BassFinding(sitting.Item) error
	Notice(at time.Duration, text string) error
	BassSummary(sitting.BassResult) error
}

// asks say what is to be done on a rung.
var asks = map[firstbass.Rung]string{
	firstbass.BassAlone: "one bass in each bar: ",
	firstbass.WithFifth: "a bass in each bar and the fifth above it: ",
	firstbass.WithTriad: "a bass in each bar, the fifth above it, the third in the middle: ",
}

// BassHeadline is the tune and what is asked for, on one line.
func BassHeadline(h sitting.BassHeading) string {
	return fmt.Sprintf("%s in %s, %s%s", h.Title, h.Score.Key, asks[h.Rung], strings.Join(firstbass.Roots(h.Stock), ", "))
}

// StartBass writes the heading.
func (p *Plain) StartBass(h sitting.BassHeading) error {
	p.bass = words.NewBassVoice(h.Score, len(h.Stock))
	return p.lines(BassHeadline(h), "")
}

// BassLine is a finding in one sentence. A correction that was made before is a
// short reminder.
func BassLine(v *words.BassVoice, f *finding.Finding) string {
	switch {
	case f.Mended:
		return v.Line(f) + " (mended)"
	case f.Again == 0 || f.Kind == finding.Lost:
		return v.Line(f)
	}
	return v.Place(f) + ": " + bassSlip(v, f) + " again" + timeName(f.Again+1)
}

// bassSlip is what went wrong, in a few words.
func bassSlip(v *words.BassVoice, f *finding.Finding) string {
	switch f.Kind {
	case finding.Missing:
		return "no bass"
	case finding.NoFifth:
		return "no fifth"
	case finding.NoThird:
		return "no third"
	}
	return v.Heard(f)
}

// BassFinding writes a finding.
func (p *Plain) BassFinding(i sitting.Item) error { return p.lines(BassLine(p.bass, i.Finding)) }

// BassSummary writes the summary.
func (p *Plain) BassSummary(s sitting.BassResult) error { return p.paragraphs(BassSummaryLines(s)) }

// BassSummaryLines is the summary in words, one paragraph each, the first a
// headline.
func BassSummaryLines(s sitting.BassResult) []string {
	sum := &s.Summary.Basses
	head := fmt.Sprintf("Right: %d of %d bars", sum.Right(), sum.All)
	if sum.Done() {
		head = fmt.Sprintf("All right: %d bars", sum.All)
	}
	lines := []string{head}
	if text := bassAdvice(s); text != "" {
		lines = append(lines, text)
	}
	if what, command := bassNext(s); command != "" {
		lines = append(lines, what+":\n  "+command)
	} else if what != "" {
		lines = append(lines, what)
	}
	return closing(s.Length, lines)
}

// bassAdvice is what may be done better where all is right.
func bassAdvice(s sitting.BassResult) string {
	if s.Summary.Basses.Leading < 0 {
		return ""
	}
	return fmt.Sprintf("Try %s in bar %d: the dominant leads home more strongly.", s.Stock[firstbass.Dominant].Root, s.Summary.Basses.Leading)
}

// bassNext is the next step and the command for it: the bars that were not right,
// the second key, the next rung, the third bass.
func bassNext(s sitting.BassResult) (what, command string) {
	next := s
	next.Span = score.Span{}
	bars := s.Summary.Basses.ToPractise()
	switch {
	case len(bars) > 0:
		next.Span = bassSpan(s, bars)
		return "To practise, " + barsText(bars), bassCommand(next, s.Moved)
	case !s.Summary.Basses.Done():
		return "", ""
	case s.Span != (score.Span{}):
		return "Now the whole tune", bassCommand(next, s.Moved)
	case !s.Moved:
		second := *s.Score
		second.Key = s.Score.Key.FifthUp()
		next.Score = &second
		return "Now in a second key", bassCommand(next, true)
	case s.Rung < firstbass.WithTriad:
		next.Rung++
		return "In two keys: up to the next rung", bassCommand(next, false)
	case len(s.Stock) == 2:
		next.Rung, next.Stock = firstbass.BassAlone, firstbass.Stock(s.Score.Key, 3)
		return "In two keys: now with a third bass, the subdominant", bassCommand(next, false)
	}
	return "That is the whole ladder: bass, fifth and triad, in two keys.", ""
}

// bassSpan is the first run of bars to practise, led into by the bar before.
func bassSpan(s sitting.BassResult, bars []int) score.Span {
	from, to := bars[0], bars[0]
	for _, b := range bars[1:] {
		if b > to+1 || b-from >= sitting.SpanBars {
			break
		}
		to = b
	}
	if from > max(1, s.Span.From) {
		from--
	}
	return score.Span{From: from, To: max(from, to)}
}

func bassCommand(s sitting.BassResult, moved bool) string {
	args := []string{"undersong bass", shellWord(s.File)}
	if s.Rung != firstbass.BassAlone {
		args = append(args, "--rung "+s.Rung.String())
	}
	if len(s.Stock) != 2 {
		args = append(args, fmt.Sprintf("--with %d", len(s.Stock)))
	}
	if moved {
		args = append(args, "--key "+shellWord(s.Score.Key.String()))
	}
	if s.Span != (score.Span{}) {
		args = append(args, fmt.Sprintf("--bars %d-%d", s.Span.From, s.Span.To))
	}
	return strings.Join(args, " ")
}
