package report

import (
	_ "embed" // for TuneSchema
	"fmt"
	"strings"
	"time"

	"undersong/internal/byear"
	"undersong/internal/pitch"
)

// TuneSchemaName names the JSON lines of a tune that is looked for by ear.
const TuneSchemaName = "undersong.tune/1"

// TuneSchema describes them.
//
//go:embed tune.md
var TuneSchema string

// TuneHeading says which tune is looked for.
type TuneHeading struct {
	Title string // of the chart; its path where it has none
	File  string // the chart's path as given
	Voice byear.Voice
	Help  byear.Help
}

// TuneItem is a finding with the time since the file or session began.
type TuneItem struct {
	Finding *byear.Finding
	Voice   *byear.Voice
	At      time.Duration
}

// TuneSession is what came of it.
type TuneSession struct {
	TuneHeading
	Length  time.Duration
	Summary byear.Summary
}

// TuneWriter takes the looking for a tune as it happens. Every line is written at
// once.
type TuneWriter interface {
	StartTune(TuneHeading) error
	TuneFinding(TuneItem) error
	Notice(at time.Duration, text string) error
	TuneSummary(TuneSession) error
}

// TuneHeadline is the tune and its phrases, on one line.
func TuneHeadline(h TuneHeading) string {
	t := h.Voice.Tune
	return fmt.Sprintf("%s: %s, %s, from any key", h.Title, count(t.Phrases(), "phrase"), count(len(t.Notes), "note"))
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// StartTune writes the heading.
func (p *Plain) StartTune(h TuneHeading) error { return p.lines(TuneHeadline(h), "") }

// TuneFinding writes a finding with its time.
func (p *Plain) TuneFinding(i TuneItem) error {
	return p.lines(fmt.Sprintf("%7.1f s  %s", i.At.Seconds(), i.Voice.Say(i.Finding)))
}

// TuneSummary writes the summary.
func (p *Plain) TuneSummary(s TuneSession) error {
	lines := []string{""}
	for _, paragraph := range TuneSummaryLines(s) {
		lines = append(lines, strings.Split(paragraph, "\n")...)
	}
	return p.lines(lines...)
}

// TuneSummaryLines is the summary in words, one paragraph each, the first a
// headline.
func TuneSummaryLines(s TuneSession) []string {
	sum := &s.Summary
	lines := []string{foundText(sum), phrasesText(s.Voice.Tune, sum)}
	if sum.Hardest >= 0 {
		t := s.Voice.Tune
		lines = append(lines, fmt.Sprintf("Hardest: %s, %s (%s)", t.MoveWords(sum.Hardest), t.Place(sum.Hardest), count(sum.HardestMiss, "wrong note")))
	}
	if sum.Task.Begun {
		lines = append(lines, fmt.Sprintf("As asked: %d of %s", sum.Task.Kept, count(s.Voice.Tune.Phrases(), "phrase")))
	}
	if s.File != "" && sum.Whole && !sum.Task.Begun {
		lines = append(lines, "Next, from another note:\n  undersong tune "+shellWord(s.File)+" --from another --known")
	}
	if s.Length >= LongSession {
		lines = append(lines, BreakAdvice)
	}
	return lines
}

func foundText(sum *byear.Summary) string {
	if sum.Whole {
		return "The whole tune is found"
	}
	return fmt.Sprintf("Found: %d of %s", sum.Found, count(len(sum.Phrases), "phrase"))
}

// phrasesText is a line for each phrase that was tried, with those that are alike.
func phrasesText(t *byear.Tune, sum *byear.Summary) string {
	var lines []string
	for _, p := range sum.Phrases {
		state := "not found yet"
		switch {
		case p.Right:
			state = "right"
		case p.Found:
			state = "found"
		case p.Tries == 0:
			continue
		}
		lines = append(lines, fmt.Sprintf("  %-14s  %-13s  %s through, %s", numbers(t, p.Phrase), state, count(p.Tries, "time"), count(p.Wrong, "wrong note")))
	}
	if lines == nil {
		return "No phrase was begun."
	}
	return strings.Join(lines, "\n")
}

// numbers are a phrase and those that are alike: "phrase 1", "phrase 1, 3".
func numbers(t *byear.Tune, phrase int) string {
	s := fmt.Sprintf("phrase %d", phrase+1)
	for p := phrase + 1; p < t.Phrases(); p++ {
		if t.Alike(p) == phrase {
			s += fmt.Sprintf(", %d", p+1)
		}
	}
	return s
}

type startTuneLine struct {
	Type    string    `json:"type"`
	Schema  string    `json:"schema"`
	Chart   string    `json:"chart"`
	File    string    `json:"file,omitempty"`
	Phrases []int     `json:"phrases"`
	Hint    string    `json:"hint,omitempty"`
	Task    *taskLine `json:"task,omitempty"`
}

type taskLine struct {
	From     string `json:"from,omitempty"`
	Range    string `json:"range,omitempty"`
	SoftLoud bool   `json:"soft_loud,omitempty"`
	Hands    bool   `json:"hands,omitempty"`
	Known    bool   `json:"known,omitempty"`
}

type tuneLine struct {
	Type      string            `json:"type"`
	AtMs      float64           `json:"at_ms"`
	Kind      string            `json:"kind"`
	Phrase    int               `json:"phrase,omitempty"`
	Note      int               `json:"note,omitempty"`
	EndedMs   *float64          `json:"ended_ms,omitempty"`
	Row       int               `json:"row,omitempty"`
	Moved     *int              `json:"moved,omitempty"`
	Direction string            `json:"direction,omitempty"`
	Size      string            `json:"size,omitempty"`
	Further   bool              `json:"further,omitempty"`
	LeftOut   bool              `json:"left_out,omitempty"`
	Contour   []string          `json:"contour,omitempty"`
	From      string            `json:"from,omitempty"`
	Asked     map[string]string `json:"asked,omitempty"`
	Text      string            `json:"text"`
}

type tuneSummaryLine struct {
	Type     string           `json:"type"`
	Whole    bool             `json:"whole"`
	Phrases  []tunePhraseLine `json:"phrases"`
	Hardest  *hardestLine     `json:"hardest,omitempty"`
	Task     *taskDoneLine    `json:"task,omitempty"`
	LengthMs float64          `json:"length_ms"`
	Break    string           `json:"take_a_break,omitempty"`
}

type tunePhraseLine struct {
	Phrase int  `json:"phrase"`
	Found  bool `json:"found"`
	Right  bool `json:"right"`
	Passes int  `json:"passes"`
	Wrong  int  `json:"wrong"`
}

type hardestLine struct {
	Phrase int    `json:"phrase"`
	Note   int    `json:"note"`
	Wrong  int    `json:"wrong"`
	Text   string `json:"text"`
}

type taskDoneLine struct {
	Done   bool `json:"done"`
	Kept   int  `json:"kept"`
	Missed int  `json:"missed"`
}

// StartTune writes the first line.
func (j *JSON) StartTune(h TuneHeading) error {
	t := h.Voice.Tune
	l := startTuneLine{Type: "start", Schema: TuneSchemaName, Chart: h.Title, File: h.File, Hint: h.Help.String()}
	for p := range t.Phrases() {
		l.Phrases = append(l.Phrases, t.Len(p))
	}
	if task := h.Voice.Task; task.Asks() {
		l.Task = &taskLine{From: fromText(task.From, task.Another), SoftLoud: task.SoftLoud, Hands: task.Hands, Known: task.Known}
		if task.Range != byear.AnyRange {
			l.Task.Range = task.Range.String()
		}
	}
	return j.line(l)
}

func fromText(n *pitch.Note, another bool) string {
	switch {
	case n != nil:
		return n.String()
	case another:
		return "another"
	}
	return ""
}

// TuneFinding writes a finding.
func (j *JSON) TuneFinding(i TuneItem) error {
	f := i.Finding
	l := tuneLine{Type: "finding", AtMs: milliseconds(i.At), Kind: f.Kind.String(), Phrase: f.Phrase + 1, From: fromText(f.From, false), Text: i.Voice.Say(f)}
	switch f.Kind {
	case byear.PhraseRight, byear.PhraseFound:
		ms, moved := milliseconds(i.At-f.At+f.Ended), f.Shift
		l.EndedMs, l.Row, l.Moved, l.Asked = &ms, f.Row, &moved, asked(f.Asks)
	case byear.Direction:
		l.Note, l.Direction, l.Size, l.Further = f.Note+1, "down", f.Way.Size.String(), f.Way.More
		if f.Way.Up {
			l.Direction = "up"
		}
	case byear.OtherOctave, byear.OnceMore, byear.NextNote:
		l.Note, l.LeftOut = f.Note+1, f.Gap
	case byear.Contour:
		for _, m := range i.Voice.Tune.Contour(f.Phrase) {
			l.Contour = append(l.Contour, m.String())
		}
	case byear.TuneFound, byear.TuneRight, byear.TaskBegins, byear.StartNote, byear.TaskDone:
		l.Phrase = 0
	}
	return j.line(l)
}

// asked are the verdicts by name; encoding/json sorts them.
func asked(v byear.Verdicts) map[string]string {
	all := map[string]string{}
	for ask, verdict := range v {
		switch verdict {
		case byear.Kept:
			all[byear.Ask(ask).String()] = "kept"
		case byear.Missed:
			all[byear.Ask(ask).String()] = "missed"
		}
	}
	return all
}

// TuneSummary writes the last line.
func (j *JSON) TuneSummary(s TuneSession) error {
	sum := &s.Summary
	l := tuneSummaryLine{Type: "summary", Whole: sum.Whole, Phrases: []tunePhraseLine{}, LengthMs: milliseconds(s.Length)}
	for _, p := range sum.Phrases {
		l.Phrases = append(l.Phrases, tunePhraseLine{p.Phrase + 1, p.Found, p.Right, p.Tries, p.Wrong})
	}
	if t := s.Voice.Tune; sum.Hardest >= 0 {
		phrase, note := t.Whereabouts(sum.Hardest)
		l.Hardest = &hardestLine{phrase + 1, note + 1, sum.HardestMiss, t.MoveWords(sum.Hardest)}
	}
	if sum.Task.Begun {
		l.Task = &taskDoneLine{sum.Task.Done, sum.Task.Kept, sum.Task.Missed}
	}
	if s.Length >= LongSession {
		l.Break = BreakAdvice
	}
	return j.line(l)
}
