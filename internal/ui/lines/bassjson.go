package lines

import (
	"undersong/internal/judge/finding"
	"undersong/internal/judge/firstbass"
	"undersong/internal/session/sitting"
	"undersong/internal/ui/words"
)

// BassSchemaName names the JSON lines of basses under a tune.
const BassSchemaName = "undersong.bass/1"

type bassStart struct {
	Type   string   `json:"type"`
	Schema string   `json:"schema"`
	Chart  string   `json:"chart"`
	File   string   `json:"file,omitempty"`
	Key    string   `json:"key"`
	Meter  string   `json:"meter"`
	Rung   string   `json:"rung"`
	Basses []string `json:"basses"`
	Bars   []int    `json:"bars,omitempty"`
}

type bassFinding struct {
	Type   string   `json:"type"`
	Bar    int      `json:"bar"`
	Beat   float64  `json:"beat"`
	Turn   int      `json:"turn"`
	AtMs   float64  `json:"at_ms"`
	Kind   string   `json:"kind"`
	Wanted string   `json:"wanted"`
	Heard  string   `json:"heard"`
	Why    string   `json:"why"`
	Fix    string   `json:"fix"`
	Fits   []string `json:"fits"`
	Again  int      `json:"again,omitempty"`
	Mended bool     `json:"mended,omitempty"`
}

type bassSummary struct {
	Type     string  `json:"type"`
	Right    int     `json:"right"`
	Bars     int     `json:"bars"`
	Counts   counts  `json:"counts"`
	Practise []int   `json:"practise"`
	Advice   string  `json:"advice,omitempty"`
	Next     string  `json:"next,omitempty"`
	LengthMs float64 `json:"length_ms"`
	Break    string  `json:"take_a_break,omitempty"`
}

// StartBass writes the first line.
func (j *JSON) StartBass(h sitting.BassHeading) error {
	j.bass = words.NewBassVoice(h.Score, len(h.Stock))
	l := bassStart{
		Type: "start", Schema: BassSchemaName, Chart: h.Title, File: h.File, Key: h.Score.Key.String(),
		Meter: h.Score.Meter.String(), Rung: h.Rung.String(), Basses: firstbass.Roots(h.Stock),
	}
	if h.Span.From > 0 {
		l.Bars = []int{h.Span.From, h.Span.To}
	}
	return j.line(l)
}

// BassFinding writes a finding.
func (j *JSON) BassFinding(i sitting.Item) error {
	f := i.Finding
	fits := j.bass.Fits(f)
	if fits == nil {
		fits = []string{}
	}
	return j.line(bassFinding{
		Type: "finding", Bar: j.bass.Bar(f), Beat: round(f.Beat, 3), Turn: f.Pass, AtMs: milliseconds(i.At), Kind: f.Kind.String(),
		Wanted: j.bass.Wanted(f), Heard: j.bass.Heard(f), Why: j.bass.Why(f), Fix: j.bass.Fix(f), Fits: fits,
		Again: f.Again, Mended: f.Mended,
	})
}

// BassSummary writes the last line.
func (j *JSON) BassSummary(s sitting.BassResult) error {
	sum := &s.Summary.Basses
	l := bassSummary{
		Type: "summary", Right: sum.Right(), Bars: sum.All, Counts: countsOf(finding.Basses, s.Summary.Count),
		Practise: append([]int{}, sum.ToPractise()...), Advice: words.BassAdvice(s), LengthMs: milliseconds(s.Length), Break: words.BreakAdvice(s.Length),
	}
	_, l.Next = words.BassNext(s)
	return j.line(l)
}
