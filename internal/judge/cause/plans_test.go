package cause

import (
	"math/bits"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/play/misread"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/patterns"
)

// charts for the table: chords that change by the bar and inside it, in major and minor.
var charts = []string{
	"| C | F | G7 | C | Am | Dm7 | G7 | C | C/E | F | Bdim | Em | F | C | G7 | C |",
	"| C | C | F | C | C | C | G | G7 | C | C7 | F | F | C | G7 | C | C |",
	"| Am | Dm | E7 | Am | F | G | C | E7 | Am | G | F | E7 | Am | Dm | E7 | Am |",
	"| C | G7 | C | F | C | G7 | C | C | F | C | G7 | C | Am | F | G7 | C |",
}

// shipped are the accompaniments.
var shipped = sync.OnceValue(func() []*pattern.Pattern {
	cat, err := pattern.Load(patterns.Texts())
	if err != nil {
		panic(err)
	}
	return cat.Of(pattern.Accompaniment)
})

// wanted is a piece of music of one seed.
func wanted(t testing.TB, r *rand.Rand) *score.Score { return pieceOf(t, r, charts) }

// pieceOf is a piece of music of one seed over one of some charts.
func pieceOf(t testing.TB, r *rand.Rand, charts []string) *score.Score {
	t.Helper()
	cat := shipped()
	p := cat[r.IntN(len(cat))]
	m := p.Meter
	if p.AnyMeter() {
		m = meter.Known()[r.IntN(6)]
	}
	key := "C"
	bars := charts[r.IntN(len(charts))]
	if strings.HasPrefix(bars, "| Am") {
		key = "Am"
	}
	c := material.Chart(t, "title: T\nkey: "+key+"\nmeter: "+m.String()+"\n\n"+bars+"\n")
	if p.PlaysTune() {
		material.Sing(c)
	}
	k := pitch.KeyAt(pitch.Class(r.IntN(12)), key == "Am")
	s, err := score.Build(c, p, score.Options{Key: &k, Tempo: []meter.Tempo{60, 80, 100, 126}[r.IntN(4)]})
	require.NoError(t, err)
	return s
}

// planned is a plan of a kind for a score, with the cause that is true then; ok is false
// where the plan would change nothing that is judged.
type planned struct {
	name string
	plan func(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool)
}

const lead = 4 * time.Second // before the music begins

func (p *planned) String() string { return p.name }

// made is a plan of its kind for a piece where it can be made, out of some.
func (p *planned) made(t *testing.T, r *rand.Rand) (s *score.Score, bar int, plan misread.Plan, cause finding.Cause, ok bool) {
	for range 12 {
		s, bar = wanted(t, r), 0
		if r.IntN(2) == 0 {
			bar = 2 + r.IntN(len(s.Bars)-7)
		}
		if plan, cause, ok = p.plan(s, bar, r); ok {
			break
		}
	}
	return s, bar, plan, cause, ok
}

var plans = []planned{
	{"other-key", func(_ *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
		n := 1 + r.IntN(6)
		if r.IntN(2) == 0 {
			n = -1 - r.IntN(5)
		}
		return misread.Plan{Bar: bar, Semitones: n}, finding.Cause{Kind: finding.OtherKey, Semitones: n, Hand: finding.BothHands}, true
	}},
	{"octave", func(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
		n := []int{-1, 1, 2}[r.IntN(3)]
		p, c := misread.Plan{Bar: bar}, finding.Cause{Kind: finding.OctaveOff, Octaves: n}
		switch r.IntN(3) {
		case 0:
			p.Octaves[pattern.Left] = n
		case 1:
			p.Octaves[pattern.Right], c.Hand = n, finding.RightHand
		default:
			p.Octaves, c.Hand = [2]int{n, n}, finding.BothHands
		}
		return p, c, play(s, bar, 1) && !crossed(s, &p) && !accepted(s, &p, 1)
	}},
	{"silent", silent},
	{"nothing at all", func(_ *score.Score, bar int, _ *rand.Rand) (misread.Plan, finding.Cause, bool) {
		return misread.Plan{Bar: bar, Silent: [2]bool{true, true}}, finding.Cause{Kind: finding.Silent, Hand: finding.BothHands}, true
	}},
	{"stuck-pedal", func(s *score.Score, bar int, _ *rand.Rand) (misread.Plan, finding.Cause, bool) {
		return misread.Plan{Bar: bar, Pedal: true}, finding.Cause{Kind: finding.StuckPedal, Hand: finding.Foot}, blurs(s, bar)
	}},
	{"half-tempo", paced(finding.HalfTempo, 0.5, 0.5, 0.66, 0.75)},
	{"a bit slower", paced(finding.HalfTempo, 0.867, 0.9)},
	{"double-tempo", paced(finding.DoubleTempo, 2, 2, 1.5, 1.25)},
	{"a bit faster", paced(finding.DoubleTempo, 1.12, 1.1)},
	{"other-pattern", otherPattern},
	{"other-chart", otherChart},
	{"swapped-hands", swappedHands},
	{"restarted", restarted},
	{"skipped", skipped},
	{"early-start", moved(finding.EarlyStart, -1, -2, -1)},
	{"late-start", moved(finding.LateStart, 1, 2, 1)},
	{"delay", func(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
		off := []time.Duration{130, 160, 180, -130, -150}[r.IntN(5)] * time.Millisecond
		p := misread.Plan{Bar: bar, Shift: off}
		return p, finding.Cause{Kind: finding.Delay, Offset: off, Hand: finding.BothHands}, !accepted(s, &p, 1)
	}},
}

// blurs reports harmonies enough after a bar that differ from the one before.
func blurs(s *score.Score, bar int) bool {
	return len(s.Harmonies)-s.HarmonyAt(s.Bars[bar].At) >= 2*fewestBlurs
}

// otherPattern plans another accompaniment that is not right for the one that is asked for.
func otherPattern(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
	cat := shipped()
	p := cat[r.IntN(len(cat))]
	other, err := score.Build(s.Chart, p, score.Options{Tempo: s.Tempo})
	if err != nil || p.Name == s.Pattern.Name || len(other.Bars) != len(s.Bars) {
		return misread.Plan{}, finding.Cause{}, false
	}
	plan := misread.Plan{Bar: bar, Instead: other}
	return plan, finding.Cause{Kind: finding.OtherPattern, Name: p.Name, Hand: finding.BothHands}, !accepted(s, &plan, 2)
}

// otherChart plans another tune: chords by chance that share one note at most with those
// that are written.
func otherChart(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
	var bars []string
	for i := range s.Bars {
		written := s.Harmonies[s.HarmonyAt(s.Bars[i].At)].Chord.Set()
		for {
			name := []string{"C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"}[r.IntN(12)] + []string{"", "m"}[r.IntN(2)]
			c, err := chord.Parse(name)
			if err == nil && bits.OnesCount16(uint16(c.Set()&written)) <= 1 {
				bars = append(bars, name)
				break
			}
		}
	}
	text := "title: U\nkey: C\nmeter: " + s.Meter.String() + "\n\n| " + strings.Join(bars, " | ") + " |\n"
	c, err := chart.Parse([]byte(text), "u.chart")
	if err != nil {
		return misread.Plan{}, finding.Cause{}, false
	}
	if s.Pattern.PlaysTune() {
		material.Sing(c)
	}
	other, err := score.Build(c, s.Pattern, score.Options{Tempo: s.Tempo})
	return misread.Plan{Bar: bar, Instead: other}, finding.Cause{Kind: finding.OtherChart, Hand: finding.BothHands}, err == nil && bar == 0
}

// swappedHands plans hands that have each other's part, in their own registers.
func swappedHands(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
	p := misread.Plan{Bar: bar, Octaves: [2]int{1 + r.IntN(2), -1 - r.IntN(2)}}
	lowest, highest := pitch.Num(127), pitch.Num(0) // of the left hand's part, and the right's
	for i := range s.Wants {
		w := &s.Wants[i]
		up := pitch.Num(12 * p.Octaves[w.Hand])
		if w.Hand == pattern.Left {
			lowest = min(lowest, w.Tones[0].Key+up)
		} else {
			highest = max(highest, w.Tones[len(w.Tones)-1].Key+up)
		}
	}
	ok := play(s, bar, 5) && lowest > highest && highest <= pitch.PianoHigh && !accepted(s, &p, 2)
	return p, finding.Cause{Kind: finding.SwappedHands, Hand: finding.BothHands}, ok
}

// restarted plans a stop from the second stroke on of a bar and a step back of up to three
// bars, after some beats of the click.
func restarted(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
	bar = max(bar, 2+r.IntN(len(s.Bars)-7))
	back := r.IntN(4)
	want := -1
	for i := range s.Wants {
		if w := &s.Wants[i]; w.Bar == bar && w.At > s.Bars[bar].At && s.Wants[i-1].At != w.At && (want < 0 || r.IntN(2) == 0) {
			want = i
		}
	}
	to := bar - back
	if want < 0 || to < 0 {
		return misread.Plan{}, finding.Cause{}, false
	}
	leap := mistakes.Item{Kind: mistakes.Restart, Want: want, Beats: float64(1 + r.IntN(4)), Bars: back}
	return misread.Plan{Bar: to, Leap: leap}, finding.Cause{
		Kind: finding.Restarted, Bar: s.Bars[bar].Number, ToBar: s.Bars[to].Number, Hand: finding.BothHands,
	}, true
}

// skipped plans one to three bars left out.
func skipped(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
	bar = min(max(bar, 1+r.IntN(len(s.Bars)-9)), len(s.Bars)-9)
	out := 1 + r.IntN(3)
	want := -1
	for i := range s.Wants {
		if s.Wants[i].Bar == bar-1 && s.Wants[i].At >= s.Bars[bar-1].At {
			want = i
			break
		}
	}
	if want < 0 || bar+out+6 > len(s.Bars) {
		return misread.Plan{}, finding.Cause{}, false
	}
	leap := mistakes.Item{Kind: mistakes.Jump, Want: want, Bars: out}
	return misread.Plan{Bar: bar + out, Leap: leap}, finding.Cause{
		Kind: finding.Skipped, Bar: s.Bars[bar].Number, ToBar: s.Bars[bar+out-1].Number, Hand: finding.BothHands,
	}, true
}

// silent plans a hand of which nothing comes.
func silent(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
	p, c := misread.Plan{Bar: bar}, finding.Cause{Kind: finding.Silent}
	c.Hand = finding.Part(r.IntN(2))
	p.Silent[c.Hand] = true
	return p, c, play(s, bar, 5)
}

// play reports that both hands have so many strokes from a bar on.
func play(s *score.Score, bar, least int) bool {
	var strokes [2]int
	for i := range s.Wants {
		if w := &s.Wants[i]; w.Bar >= bar {
			strokes[w.Hand]++
		}
	}
	return min(strokes[0], strokes[1]) >= least
}

type planning = func(*score.Score, int, *rand.Rand) (misread.Plan, finding.Cause, bool)

// paced plans other tempi.
func paced(k finding.CauseKind, ratios ...float64) planning {
	return func(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
		n := ratios[r.IntN(len(ratios))]
		return misread.Plan{Bar: bar, Pace: n}, finding.Cause{Kind: k, Ratio: n, Hand: finding.BothHands}, s.Tempo < 100 || n < 1
	}
}

// moved plans music that comes beats off, from the beginning.
func moved(k finding.CauseKind, all ...float64) planning {
	return func(s *score.Score, bar int, r *rand.Rand) (misread.Plan, finding.Cause, bool) {
		n := all[r.IntN(len(all))]
		p := misread.Plan{Bar: bar, Shift: time.Duration(n * float64(s.Tempo.Duration(s.Meter.Beat(), s.Meter)))}
		return p, finding.Cause{Kind: k, Beats: n, Hand: finding.BothHands}, bar == 0 && !accepted(s, &p, 1)
	}
}

// crossed reports a plan that puts one hand among the keys of the other, which nobody
// does by mistake.
func crossed(s *score.Score, p *misread.Plan) bool {
	var low, high [2]pitch.Num
	low = [2]pitch.Num{127, 127}
	for i := range s.Wants {
		w := &s.Wants[i]
		up := pitch.Num(12 * p.Octaves[w.Hand])
		low[w.Hand] = min(low[w.Hand], w.Tones[0].Key+up)
		high[w.Hand] = max(high[w.Hand], w.Tones[len(w.Tones)-1].Key+up)
	}
	off := low[pattern.Left] < pitch.PianoLow || max(high[pattern.Left], high[pattern.Right]) > pitch.PianoHigh
	return off || high[pattern.Right] > 0 && high[pattern.Left] >= low[pattern.Right]
}

// accepted reports a plan that is right for nearly all that is written: where another
// octave is free. Exact playing of it brings fewer mistakes than so many in a bar.
func accepted(s *score.Score, p *misread.Plan, mistakesInBar int) bool {
	perf, err := misread.Play(s, performer.Habits{}, *p, mistakes.Plan{Start: lead}, 1)
	if err != nil {
		return true
	}
	wrong := 0
	e := engine.New(s, engine.Options{Level: rules.Steady, Start: lead})
	for _, ev := range perf.Events {
		for _, f := range e.Feed(ev) {
			if mistaken(f.Kind) {
				wrong++
			}
		}
	}
	return wrong < mistakesInBar*(len(s.Bars)-p.Bar)
}
