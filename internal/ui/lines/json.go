package lines

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
	"undersong/internal/ui/words"
)

// JSON writes JSON lines; ui/manual/json.md tells what they hold.
type JSON struct {
	w       io.Writer
	speaker *words.Speaker // of what is played
	piece   *sitting.Piece
	begun   bool
}

// NewJSON writes to w, one write a line.
func NewJSON(w io.Writer) *JSON { return &JSON{w: w} }

type startLine struct {
	Type    string  `json:"type"`
	Schema  string  `json:"schema"`
	Chart   string  `json:"chart"`
	File    string  `json:"file,omitempty"`
	Pattern string  `json:"pattern"`
	Key     string  `json:"key"`
	Meter   string  `json:"meter"`
	Tempo   float64 `json:"tempo"`
	Mean    bool    `json:"tempo_mean,omitempty"`
	Level   string  `json:"level"`
	Bars    []int   `json:"bars,omitempty"`
	Hand    string  `json:"hand,omitempty"`
	With    string  `json:"with,omitempty"`
	Loop    bool    `json:"loop"`
	Follow  bool    `json:"follow,omitempty"`
	Sing    bool    `json:"sing,omitempty"`
}

// changeLine is what is played from now on, where something else was asked for.
type changeLine struct {
	Type string  `json:"type"`
	AtMs float64 `json:"at_ms"`
	Bars []int   `json:"bars,omitempty"`
	Hand string  `json:"hand,omitempty"`
	Loop bool    `json:"loop"`
}

type findingLine struct {
	Type     string   `json:"type"`
	Pass     int      `json:"pass"`
	Bar      int      `json:"bar"`
	Beat     float64  `json:"beat"`
	AtMs     float64  `json:"at_ms"`
	Hand     string   `json:"hand"`
	Kind     string   `json:"kind"`
	Wanted   string   `json:"wanted"`
	Heard    string   `json:"heard"`
	Fix      string   `json:"fix"`
	OffsetMs *float64 `json:"offset_ms,omitempty"`
	PauseMs  *float64 `json:"pause_ms,omitempty"`
	ToBar    *int     `json:"to_bar,omitempty"`
	Beats    int      `json:"beats,omitempty"`
	Time     int      `json:"time,omitempty"`
	Again    int      `json:"again,omitempty"`
}

type countInLine struct {
	Type    string  `json:"type"`
	AtMs    float64 `json:"at_ms"`
	MusicMs float64 `json:"music_at_ms"`
	Bar     int     `json:"bar"`
	Tempo   float64 `json:"tempo"`
}

type noticeLine struct {
	Type string  `json:"type"`
	AtMs float64 `json:"at_ms"`
	Text string  `json:"text"`
}

type summaryLine struct {
	Type     string       `json:"type"`
	Causes   []causeLine  `json:"causes,omitempty"`
	Right    int          `json:"right"`
	Wrong    int          `json:"wrong"`
	Counts   counts       `json:"counts"`
	Bars     []barLine    `json:"bars"`
	Timing   timingLines  `json:"timing"`
	Practise []adviceLine `json:"practise"`
	LengthMs float64      `json:"length_ms"`
	Break    string       `json:"take_a_break,omitempty"`
}

type barLine struct {
	Bar    int    `json:"bar"`
	Counts counts `json:"counts"`
	Last   string `json:"last,omitempty"`
}

type timingLines struct {
	Left  timingLine `json:"left"`
	Right timingLine `json:"right"`
}

type timingLine struct {
	Strokes  int     `json:"strokes"`
	MeanMs   float64 `json:"mean_ms"`
	SpreadMs float64 `json:"spread_ms"`
	DriftMs  float64 `json:"drift_ms"`
}

type adviceLine struct {
	Text    string `json:"text"`
	Bars    []int  `json:"bars"`
	Hand    string `json:"hand"`
	Command string `json:"command,omitempty"`
}

// counts are kinds of finding and how many there were, in their order of
// importance, which a map would not keep.
type counts []kindCount

type kindCount struct {
	kind string
	n    int
}

func countsOf(by finding.Judge, count func(finding.Kind) int) counts {
	var all counts
	for _, k := range finding.Kinds(by) {
		all = append(all, kindCount{k.String(), count(k)})
	}
	return all
}

// MarshalJSON is an object with every kind.
func (c counts) MarshalJSON() ([]byte, error) {
	var parts []string
	for _, k := range c {
		parts = append(parts, fmt.Sprintf("%q:%d", k.kind, k.n))
	}
	return []byte("{" + strings.Join(parts, ",") + "}"), nil
}

func (j *JSON) line(v any) error {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false) // nothing here is shown as HTML, and symbols stay readable
	if err := e.Encode(v); err != nil {
		return err
	}
	_, err := j.w.Write(b.Bytes())
	return err
}

// Record writes what is told.
func (j *JSON) Record(r sitting.Record) error {
	switch {
	case r.Piece != nil:
		return j.start(r)
	case r.Cause != nil:
		return j.cause(r.Cause)
	case r.Findings != nil:
		return j.findings(r.Findings)
	case r.CountIn != nil:
		c := r.CountIn
		return j.line(countInLine{"count-in", milliseconds(r.At), milliseconds(c.Music), c.Bar, round(float64(c.Tempo), 3)})
	case r.Notice != nil && r.Notice.Kind != sitting.BarRight: // every stroke is told
		return j.line(noticeLine{"notice", milliseconds(r.At), j.speaker.Notice(r.Notice)})
	case r.Result != nil:
		return j.summary(r.Result)
	}
	return nil
}

// start writes the first line, or what has changed of it.
func (j *JSON) start(r sitting.Record) error {
	h := &r.Piece.Heading
	j.piece, j.speaker = r.Piece, words.NewSpeaker(r.Piece)
	switch {
	case j.begun:
		return j.line(changeLine{"change", milliseconds(r.At), barsOf(h), h.Hand(), h.Loop})
	case h.Kind == sitting.Tune:
		j.begun = true
		return j.startTune(h)
	case h.Kind == sitting.Basses:
		j.begun = true
		return j.startBass(h)
	}
	j.begun = true
	return j.line(startLine{
		Type: "start", Schema: SchemaName, Chart: h.Name(), File: h.File, Pattern: h.Pattern, Key: h.Key.String(),
		Meter: h.Meter.String(), Tempo: round(float64(h.Tempo), 3), Mean: h.Source == sitting.MeanOfFile, Level: h.Level,
		Bars: barsOf(h), Hand: h.Hand(), With: h.With, Loop: h.Loop, Follow: h.Follow, Sing: h.Sing,
	})
}

func barsOf(h *sitting.Heading) []int {
	if h.Span.From > 0 {
		return []int{h.Span.From, h.Span.To}
	}
	return nil
}

// findings writes findings of any kind.
func (j *JSON) findings(found []sitting.Item) error {
	write := j.finding
	switch j.piece.Heading.Kind {
	case sitting.Tune:
		write = j.tuneFinding
	case sitting.Basses:
		write = j.bassFinding
	}
	for i := range found {
		if err := write(&found[i]); err != nil {
			return err
		}
	}
	return nil
}

func (j *JSON) finding(i *sitting.Item) error {
	f, v := &i.Finding, j.speaker.Strokes(&i.Finding)
	l := findingLine{
		Type: "finding", Pass: i.Pass, Bar: v.Bar(f), Beat: round(f.Beat, 3), AtMs: milliseconds(i.At),
		Hand: f.Part.String(), Kind: f.Kind.String(), Wanted: v.Wanted(f), Heard: v.Heard(f), Fix: v.Fix(f),
		Again: f.Again,
	}
	if timed(f.Kind) {
		ms := milliseconds(f.Offset)
		l.OffsetMs = &ms
	}
	if f.Kind.By(finding.Flow) {
		ms, to := milliseconds(f.Offset), j.piece.Score.Bars[f.Flow.To].Number
		l.PauseMs, l.ToBar, l.Beats = &ms, &to, f.Flow.Beats
	}
	if pass := j.piece.Score.Bars[f.Bar].Pass; pass > 1 {
		l.Time = pass
	}
	return j.line(l)
}

// counts are the kinds that are listened for.
func (j *JSON) counts(count func(finding.Kind) int) counts {
	all := countsOf(finding.Strokes, count)
	if j.piece.Heading.Sing {
		all = append(countsOf(finding.Flow, count), all...)
	}
	return all
}

func timed(k finding.Kind) bool { return k == finding.Right || k == finding.Early || k == finding.Late }

// summary writes the last line.
func (j *JSON) summary(s *sitting.Result) error {
	switch s.Kind {
	case sitting.Tune:
		return j.tuneSummary(s)
	case sitting.Basses:
		return j.bassSummary(s)
	}
	sum := &s.Summary
	l := summaryLine{
		Type: "summary", Right: sum.Count(finding.Right), Wrong: sum.Wrong(), Counts: j.counts(sum.Count),
		Bars: []barLine{}, Practise: []adviceLine{}, LengthMs: milliseconds(s.Length), Break: words.BreakAdvice(s.Length),
		Timing: timingLines{timingOf(sum.Timing[0]), timingOf(sum.Timing[1])},
	}
	for i := range sum.Causes {
		l.Causes = append(l.Causes, j.causeOf(&sum.Causes[i]))
	}
	for _, b := range sum.Bars {
		line := barLine{Bar: b.Bar, Counts: j.counts(func(k finding.Kind) int { return b.Counts[k] })}
		if worst, judged := s.Picture.Last(b.Bar); judged {
			line.Last = worst.String()
		}
		l.Bars = append(l.Bars, line)
	}
	for _, a := range words.Practise(s) {
		l.Practise = append(l.Practise, adviceLine(a))
	}
	return j.line(l)
}

func timingOf(t finding.Timing) timingLine {
	return timingLine{t.Strokes, round(t.MeanMs, 1), round(t.SpreadMs, 1), round(t.DriftMs, 1)}
}

// milliseconds has at most three decimals.
func milliseconds(d time.Duration) float64 {
	return float64(d.Round(time.Microsecond)/time.Microsecond) / 1000
}

// round keeps some decimals, and no negative zero.
func round(v float64, decimals int) float64 {
	p := math.Pow10(decimals)
	return math.Round(v*p)/p + 0
}

// SchemaName names the JSON lines and their version.
const SchemaName = "undersong.findings/1"
