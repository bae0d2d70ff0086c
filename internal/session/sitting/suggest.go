package sitting

import (
	"math"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
)

// LongSession is how long one practises before a break is due (common practice,
// no source).
const LongSession = 25 * time.Minute

// Suggestion is something worth practising next: some bars, slower unless time is
// the trouble, and one hand alone where one hand is concerned.
type Suggestion struct {
	Trouble finding.Trouble
	Span    score.Span // the bars to practise
	Hands   score.Only
	Tempo   meter.Tempo
}

// Suggest lists at most three things to practise, the most worthwhile first.
func (s *Result) Suggest() []Suggestion {
	var all []Suggestion
	for i := range s.Summary.Troubles {
		t := &s.Summary.Troubles[i]
		all = append(all, Suggestion{Trouble: *t, Span: span(s, t), Hands: handAlone(s, t), Tempo: practiceTempo(s, t)})
	}
	return all
}

// SpanBars is how many bars one practises at a time.
const SpanBars = 4

// span is the run of at most four bars with the most of a trouble, led into by
// the bar before and followed by the one after where there is room: what is hard
// is mostly the way into a bar and out of it.
func span(s *Result, t *finding.Trouble) score.Span {
	in := map[int]int{}
	for _, b := range s.Summary.Bars {
		in[b.Bar] = b.Counts[t.Kind]
	}
	intro, most, from, to := 0, -1, 0, 0
	for _, first := range t.Bars {
		if first < 0 {
			intro += in[first]
			continue
		}
		n, last := 0, first
		for b := first; b < first+SpanBars; b++ {
			if in[b] > 0 {
				n += in[b]
				last = b
			}
		}
		if n > most {
			most, from, to = n, first, last
		}
	}
	if intro > max(most, 0) {
		return score.IntroBars
	}
	from, to = max(from, 1), max(to, 1) // an upbeat cannot be played alone
	if to-from+1 < SpanBars && from > max(1, s.Span.From) {
		from--
	}
	if to-from+1 < SpanBars && to < s.Last {
		to++
	}
	return score.Span{From: from, To: to}
}

// slower is the part of the tempo at which trouble is practised; in time
// trouble the tempo stays, since there the tempo is the task.
const slower = 0.8

func practiceTempo(s *Result, t *finding.Trouble) meter.Tempo {
	tempo := s.Tempo
	if t.Kind != finding.Early && t.Kind != finding.Late {
		tempo *= slower
	}
	return min(max(meter.Tempo(math.Round(float64(tempo))), meter.SlowestTempo), meter.FastestTempo)
}

// handAlone is the hand that practises a trouble alone: the one that it concerns,
// where hands apart help. They do not where one hand's loudness is measured by
// the other's, nor where a hand with nothing to play strikes something.
func handAlone(s *Result, t *finding.Trouble) score.Only {
	if s.Hands != score.BothHands || t.Kind == finding.Balance || t.Kind == finding.Extra {
		return s.Hands
	}
	switch t.Part {
	case finding.LeftHand:
		return score.LeftAlone
	case finding.RightHand:
		return score.RightAlone
	}
	return s.Hands
}
