package lines

import (
	"undersong/internal/judge/finding"
	"undersong/internal/judge/firstbass"
	"undersong/internal/session/sitting"
	"undersong/internal/ui/words"
)

// BassSchemaName names the JSON lines of basses under a tune.
const BassSchemaName = "undersong.bass/2"

type bassStart struct {
	Type    string   `json:"type"`
	Schema  string   `json:"schema"`
	Chart   string   `json:"chart"`
	File    string   `json:"file,omitempty"`
	Key     string   `json:"key"`
	Meter   string   `json:"meter"`
	Voicing string   `json:"voicing"`
	Basses  []string `json:"basses"`
	Bars    []int    `json:"bars,omitempty"`
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

// startBass writes the first line.
func (j *JSON) startBass(h *sitting.Heading) error {
	l := bassStart{
		Type: "start", Schema: BassSchemaName, Chart: h.Name(), File: h.File, Key: h.Key.String(),
		Meter: h.Meter.String(), Voicing: h.Voicing.String(), Basses: firstbass.Roots(firstbass.Primary(h.Key, h.Choice)), Bars: barsOf(h),
	}
	return j.line(l)
}

// bassFinding writes a finding.
func (j *JSON) bassFinding(i *sitting.Item) error {
	f, v := &i.Finding, j.speaker.Basses()
	fits := v.Fits(f)
	if fits == nil {
		fits = []string{}
	}
	return j.line(bassFinding{
		Type: "finding", Bar: v.Bar(f), Beat: round(f.Beat, 3), Turn: f.Pass, AtMs: milliseconds(i.At), Kind: f.Kind.String(),
		Wanted: v.Wanted(f), Heard: v.Heard(f), Why: v.Why(f), Fix: v.Fix(f), Fits: fits,
		Again: f.Again, Mended: f.Mended,
	})
}

// bassSummary writes the last line.
func (j *JSON) bassSummary(s *sitting.Result) error {
	sum := &s.Summary.Basses
	l := bassSummary{
		Type: "summary", Right: sum.Right(), Bars: sum.All, Counts: countsOf(finding.Basses, s.Summary.Count),
		Practise: append([]int{}, sum.ToPractise()...), Advice: words.BassAdvice(s), LengthMs: milliseconds(s.Length), Break: words.BreakAdvice(s.Length),
	}
	_, l.Next = words.BassNext(s)
	return j.line(l)
}
