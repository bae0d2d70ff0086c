package lines

import (
	"strings"

	"undersong/internal/judge/byear"
	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
	"undersong/internal/ui/words"
)

// TuneSchemaName names the JSON lines of a tune that is looked for by ear.
const TuneSchemaName = "undersong.tune/1"

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

// startTune writes the first line.
func (j *JSON) startTune(h *sitting.Heading) error {
	t := j.speaker.Tune().Tune
	l := startTuneLine{Type: "start", Schema: TuneSchemaName, Chart: h.Name(), File: h.File, Hint: h.Help.String()}
	for p := range t.Phrases() {
		l.Phrases = append(l.Phrases, t.Len(p))
	}
	if task := h.Task; task.Asks() {
		l.Task = &taskLine{From: taskFrom(task), SoftLoud: task.SoftLoud, Hands: task.Hands, Known: task.Known}
		if task.Range != byear.AnyRange {
			l.Task.Range = task.Range.String()
		}
	}
	return j.line(l)
}

func taskFrom(t byear.Task) string {
	switch {
	case t.From != nil:
		return t.From.String()
	case t.Another:
		return "another"
	}
	return ""
}

func firstText(n finding.First) string {
	if !n.Asked {
		return ""
	}
	return n.Note.String()
}

// tuneFinding writes a finding.
func (j *JSON) tuneFinding(i *sitting.Item) error {
	kind, f, v := i.Finding.Kind, &i.Finding.Tune, j.speaker.Tune()
	l := tuneLine{Type: "finding", AtMs: milliseconds(i.At), Kind: kind.String(), Phrase: f.Phrase + 1, From: firstText(f.From), Text: strings.ReplaceAll(v.Say(&i.Finding), "\n ", "")}
	switch kind {
	case finding.PhraseRight, finding.PhraseFound:
		ms, moved := milliseconds(i.At-i.Finding.At+f.Ended), f.Shift
		l.EndedMs, l.Row, l.Moved, l.Asked = &ms, f.Row, &moved, asked(f.Asks)
	case finding.Direction:
		l.Note, l.Direction, l.Size, l.Further = f.Note+1, "down", f.Way.Size.String(), f.Way.More
		if f.Way.Up {
			l.Direction = "up"
		}
	case finding.OtherOctave, finding.OnceMore, finding.NextNote:
		l.Note, l.LeftOut = f.Note+1, f.Gap
	case finding.Contour:
		for _, m := range v.Tune.Contour(f.Phrase) {
			l.Contour = append(l.Contour, m.String())
		}
	case finding.TuneFound, finding.TuneRight, finding.TaskBegins, finding.StartNote, finding.TaskDone:
		l.Phrase = 0
	}
	return j.line(l)
}

// asked are the verdicts by name; encoding/json sorts them.
func asked(v finding.Verdicts) map[string]string {
	all := map[string]string{}
	for ask, verdict := range v {
		if verdict != finding.NotAsked {
			all[finding.Ask(ask).String()] = verdict.String()
		}
	}
	return all
}

// tuneSummary writes the last line.
func (j *JSON) tuneSummary(s *sitting.Result) error {
	sum, v := &s.Summary.Tune, j.speaker.Tune()
	l := tuneSummaryLine{Type: "summary", Whole: sum.Whole, Phrases: []tunePhraseLine{}, LengthMs: milliseconds(s.Length), Break: words.BreakAdvice(s.Length)}
	for _, p := range sum.Phrases {
		l.Phrases = append(l.Phrases, tunePhraseLine{p.Phrase + 1, p.Found, p.Right, p.Tries, p.Wrong})
	}
	if sum.Hardest >= 0 {
		phrase, note := v.Tune.Whereabouts(sum.Hardest)
		l.Hardest = &hardestLine{phrase + 1, note + 1, sum.HardestMiss, v.MoveWords(sum.Hardest)}
	}
	if sum.Task.Begun {
		l.Task = &taskDoneLine{sum.Task.Done, sum.Task.Kept, sum.Task.Missed}
	}
	return j.line(l)
}
