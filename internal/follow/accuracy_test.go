package follow

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/chart"
	"undersong/internal/meter"
	"undersong/internal/pattern"
	"undersong/internal/pitch"
	"undersong/internal/score"
	"undersong/internal/simulate"
	"undersong/patterns"
)

var (
	seedsFlag = flag.Int("seeds", 1, "how many seeds the accuracy table is made from")
	debugFlag = flag.String("debug", "", "print each onset of the performances whose name holds this")
)

// tunes to follow: the first bars of several have one chord alone, most repeat,
// and verse and chorus share their beginning.
var tunes = []string{
	"when-the-saints", "red-river-valley", "down-in-the-valley", "wayfaring-stranger", "oh-susanna",
	"skye-boat-song", "lanterns-on-the-weir", "the-five-legged-table", "auld-lang-syne",
}

var someKeys = []string{"C", "F", "A", "Eb"}

func tune(t testing.TB, name string) *chart.Chart {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("..", "..", "testdata", "charts", name+".chart"))
	require.NoError(t, err)
	c, err := chart.Parse(src, name)
	require.NoError(t, err)
	return c
}

func catalogue(t testing.TB) []*pattern.Pattern {
	t.Helper()
	c, err := pattern.Load(patterns.Files)
	require.NoError(t, err)
	return c.All()
}

func lay(t testing.TB, c *chart.Chart, p *pattern.Pattern, key string, tempo meter.Tempo) *score.Score {
	t.Helper()
	o := score.Options{Tempo: tempo}
	if key != "" {
		k, err := pitch.ParseKey(key)
		require.NoError(t, err)
		if k.Minor != c.Key.Minor {
			k = c.Key
		}
		o.Key = &k
	}
	s, err := score.Build(c, p, o)
	require.NoError(t, err)
	return s
}

// manner is a way of playing to be followed.
type manner struct {
	name   string
	habits func(*simulate.Habits)
	plan   func(*score.Score, uint64) simulate.Plan
}

func free(walk, rubato float64) func(*simulate.Habits) {
	return func(h *simulate.Habits) { h.TempoWalk, h.Rubato = walk, rubato }
}

func sown(rate float64, kinds ...simulate.Kind) func(*score.Score, uint64) simulate.Plan {
	return func(*score.Score, uint64) simulate.Plan { return simulate.Random(kinds, rate) }
}

func steadyAt(share float64) func(*score.Score, uint64) simulate.Plan {
	return func(*score.Score, uint64) simulate.Plan {
		return simulate.Plan{Tempo: []simulate.TempoMark{{Share: share}}}
	}
}

// drifting goes evenly from one tempo to another through the piece.
func drifting(from, to float64) func(*score.Score, uint64) simulate.Plan {
	return func(s *score.Score, _ uint64) simulate.Plan {
		return simulate.Plan{Tempo: []simulate.TempoMark{{Share: from}, {At: s.Length, Share: to}}}
	}
}

// held has a fermata every fourth bar.
func held(s *score.Score, seed uint64) simulate.Plan {
	var p simulate.Plan
	for b := 3; b < len(s.Bars); b += 4 {
		p.Fermatas = append(p.Fermatas, simulate.Fermata{At: s.Bars[b].At, Beats: []float64{0.6, 1.4, 2.3, 3.3}[(seed+uint64(b/4))%4]})
	}
	return p
}

func manners() []manner {
	walk := free(0.02, 0.05)
	return []manner{
		{"steady", walk, sown(0)},
		{"rubato", free(0.04, 0.2), sown(0)},
		{"at 0.75 of the tempo", walk, steadyAt(0.75)},
		{"at 1.3 of the tempo", walk, steadyAt(1.3)},
		{"from 1.15 to 0.85", walk, drifting(1.15, 0.85)},
		{"fermatas", walk, held},
		{"mistakes in notes", walk, sown(0.15, simulate.NoteKinds()...)},
		{"wrong chords", walk, sown(0.1, simulate.WrongChord)},
		{"pause", walk, sown(0.08, simulate.Pause)},
		{"restart", walk, sown(0.08, simulate.Restart)},
		{"stumble", walk, sown(0.08, simulate.Stumble)},
		{"repeat-bar", walk, sown(0.08, simulate.RepeatBar)},
		{"skip-bar", walk, sown(0.08, simulate.SkipBar)},
		{"jump", walk, sown(0.08, simulate.Jump)},
		{"all, and mistakes", free(0.03, 0.1), sown(0.15, append(simulate.FollowKinds(), simulate.NoteKinds()...)...)},
	}
}

// tally is what came of one manner.
type tally struct {
	onsets, right, atOnce, lost, wrong, unheard int // unheard: of the wrong ones, those that nobody could hear
	breaks, recovered, audible                  int // audible: recovered, but for what nobody could hear
	worst                                       float64
}

func (a *tally) add(b tally) {
	a.onsets += b.onsets
	a.right += b.right
	a.atOnce += b.atOnce
	a.lost += b.lost
	a.wrong += b.wrong
	a.unheard += b.unheard
	a.audible += b.audible
	a.breaks += b.breaks
	a.recovered += b.recovered
	a.worst = max(a.worst, b.worst)
}

func share(a, b int) float64 {
	if b == 0 {
		return 1
	}
	return float64(a) / float64(b)
}

// beat is the strokes of both hands at one moment, as played.
type beat struct {
	at     time.Duration
	moment int
	run    int // the moment at which playing last went on out of order; -1 if never
}

// truth lists the moments played. Strokes that nobody wanted are left out.
func truth(f *Follower, perf simulate.Performance) []beat {
	byAt := map[meter.Ticks]int{}
	for i := range f.moments {
		byAt[f.moments[i].at] = i
	}
	var beats []beat
	run, next := -1, 0
	for _, o := range perf.Onsets {
		if o.Want < 0 {
			continue
		}
		m := byAt[f.score.Wants[o.Want].At]
		for next < len(perf.Truth) && (!outOfOrder(perf.Truth[next].Kind) || perf.Truth[next].At <= o.At+80*time.Millisecond) {
			if outOfOrder(perf.Truth[next].Kind) {
				run = m
			}
			next++
		}
		if n := len(beats); n > 0 && beats[n-1].moment == m && o.At-beats[n-1].at < 130*time.Millisecond {
			continue
		}
		beats = append(beats, beat{o.At, m, run})
	}
	return beats
}

func outOfOrder(k simulate.Kind) bool {
	switch k {
	case simulate.Restart, simulate.Stumble, simulate.RepeatBar, simulate.SkipBar, simulate.Jump:
		return true
	}
	return false
}

func isBreak(k simulate.Kind) bool { return k == simulate.Pause || outOfOrder(k) }

// alike reports that place e sounds like the true place so far: all that was
// wanted since playing last went on out of order is the same, at the same places
// in the bar. Nobody could hear the difference, and what is wanted is the same.
func alike(f *Follower, e int, b beat) bool { return same(f, e, b, true) }

// same is alike, or where the place in the bar does not count only the same to
// the ear: three beats of a chord that is struck on every beat, say.
func same(f *Follower, e int, b beat, inBar bool) bool {
	if e == b.moment {
		return true
	}
	if b.run < 0 || b.moment < b.run {
		return false
	}
	for d := 0; d <= b.moment-b.run; d++ {
		i, j := b.moment-d, e-d
		if j < 0 {
			return false
		}
		x, y := &f.moments[i], &f.moments[j]
		if x.stroke != y.stroke || inBar && x.at-f.score.Bars[x.bar].At != y.at-f.score.Bars[y.bar].At {
			return false
		}
	}
	return true
}

// measure follows one performance.
func measure(s *score.Score, perf simulate.Performance, debug bool) tally {
	f := NewFollower(s, FollowOptions{})
	var a tally
	beats := truth(f, perf)
	var ons []int
	for i := range perf.Events {
		if perf.Events[i].IsNoteOn() {
			ons = append(ons, i)
		}
	}
	ok, deaf := make([]bool, len(beats)), make([]bool, len(beats))
	n := 0
	for i, b := range beats {
		until := b.at + 50*time.Millisecond
		if i+1 < len(beats) {
			until = min(until, beats[i+1].at-1)
		}
		first := true
		for n < len(ons) && perf.Events[ons[n]].At <= until {
			e := perf.Events[ons[n]]
			f.Strike(pitch.Num(e.Data1), e.Data2, e.At)
			if e.At >= b.at && first {
				first = false
				if est := f.Estimate(); alike(f, est.Moment, b) && !est.Lost {
					a.atOnce++
				}
			}
			n++
		}
		est := f.Estimate()
		a.onsets++
		switch {
		case est.Lost:
			a.lost++
		case alike(f, est.Moment, b):
			a.right++
			ok[i] = true
		default:
			a.wrong++
			if same(f, est.Moment, b, false) {
				a.unheard++
				deaf[i] = true
			}
		}
		if debug {
			m := &f.moments[b.moment]
			e := &f.moments[max(0, est.Moment)]
			mark := " "
			if !ok[i] {
				mark = "x"
			}
			fmt.Printf("%s %8.3f true %d:%.2f (%s)  heard %d:%.2f  conf %.2f lost %v tempo %.0f mean %.2f w %.1f extra %v\n", mark, b.at.Seconds(), m.bar, s.Meter.BeatAt(m.at-s.Bars[m.bar].At),
				s.Harmonies[s.HarmonyAt(m.at)].Chord, e.bar, s.Meter.BeatAt(e.at-s.Bars[e.bar].At), est.Confidence, est.Lost, float64(est.Tempo), f.mean, f.place.weight, est.Extra)
		}
	}
	a.afterBreaks(s, f, perf, beats, ok, deaf, debug)
	return a
}

// afterBreaks counts the bars that were played out of place between each break
// and the next.
func (a *tally) afterBreaks(s *score.Score, f *Follower, perf simulate.Performance, beats []beat, ok, deaf []bool, debug bool) {
	var at []time.Duration
	var kinds []simulate.Kind
	for _, t := range perf.Truth {
		if isBreak(t.Kind) {
			at = append(at, t.At-80*time.Millisecond)
			kinds = append(kinds, t.Kind)
		}
	}
	i := 0
	for k, from := range at {
		var astray, mute, played meter.Ticks
		for i < len(beats) && beats[i].at < from {
			i++
		}
		for j := i; j < len(beats) && (k+1 == len(at) || beats[j].at < at[k+1]); j++ {
			d := f.untilNextOf(beats[j].moment)
			played += d
			if !ok[j] {
				astray += d
				if deaf[j] {
					mute += d
				}
			}
		}
		if played < 3*s.Meter.Bar() {
			continue // broken off again before anybody could know
		}
		bars := float64(astray) / float64(s.Meter.Bar())
		a.breaks++
		a.worst = max(a.worst, bars)
		if bars <= 2 {
			a.recovered++
		}
		if float64(astray-mute)/float64(s.Meter.Bar()) <= 2 {
			a.audible++
		}
		if debug {
			fmt.Printf("%s at %.2f: astray %.2f bars\n", kinds[k], from.Seconds(), bars)
		}
	}
}

func (f *Follower) untilNextOf(m int) meter.Ticks {
	if m+1 < len(f.moments) {
		return f.moments[m+1].gap
	}
	return f.moments[m].left
}

func TestFollowAccuracy(t *testing.T) {
	levels := []string{"steady", "beginner", "fluent"}
	var sum tally
	byPattern := map[string]*tally{}
	t.Logf("%-24s %7s %7s %7s %7s %7s %7s %7s %9s %9s %6s", "manner", "onsets", "right", "at once", "lost", "wrong", "unheard", "breaks", "recovered", "audible", "worst")
	for n, m := range manners() {
		var a tally
		for pi, p := range catalogue(t) {
			for ti, name := range tunes {
				c := tune(t, name)
				if !p.Fits(c.Meter) {
					continue
				}
				for seed := range *seedsFlag {
					x := n + pi + 3*ti + 7*seed
					s := lay(t, c, p, someKeys[x%len(someKeys)], c.Tempo*meter.Tempo([]float64{1, 0.8, 1.2}[x%3]))
					h, err := simulate.Human(levels[x%len(levels)])
					require.NoError(t, err)
					m.habits(&h)
					perf, err := simulate.Play(s, h, m.plan(s, uint64(x)), uint64(x))
					require.NoError(t, err)
					label := fmt.Sprintf("%s/%s/%s/%d", m.name, p.Name, name, seed)
					debug := *debugFlag == label
					one := measure(s, perf, debug)
					a.add(one)
					if byPattern[p.Name] == nil {
						byPattern[p.Name] = &tally{}
					}
					byPattern[p.Name].add(one)
					if *debugFlag == "list" && (share(one.right, one.onsets) < 0.9 || one.breaks > one.recovered) {
						t.Logf("%s: %.3f, lost %d, breaks %d of %d", label, share(one.right, one.onsets), one.lost, one.recovered, one.breaks)
					}
				}
			}
		}
		t.Log(line(m.name, a))
		sum.add(a)
	}
	t.Log(line("together", sum))
	for _, p := range catalogue(t) {
		if a := byPattern[p.Name]; a != nil {
			t.Log(line(p.Name, *a))
		}
	}
	assert.GreaterOrEqual(t, share(sum.right, sum.onsets), 0.97)
	assert.GreaterOrEqual(t, share(sum.recovered, sum.breaks), 0.95)
}

func line(name string, a tally) string {
	return fmt.Sprintf("%-24s %7d %7.4f %7.4f %7.4f %7.4f %7.4f %7d %9.4f %9.4f %6.1f", name, a.onsets,
		share(a.right, a.onsets), share(a.atOnce, a.onsets), share(a.lost, a.onsets), share(a.wrong, a.onsets), share(a.unheard, a.onsets),
		a.breaks, share(a.recovered, a.breaks), share(a.audible, a.breaks), a.worst)
}
