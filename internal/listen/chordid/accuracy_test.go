package chordid

import (
	"math/bits"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/reduced"
)

// tally counts names by what of them was right: the root, the root with a major
// or a minor third where the truth has one, and the whole chord with its bass.
type tally struct{ root, third, whole, all int }

func (a *tally) add(want chord.Chord, got Candidate) {
	a.all++
	if !got.Named() || got.Root != want.Root.Class() {
		return
	}
	a.root++
	if thirds := chord.Set(0).With(3).With(4); got.Type.Set()&thirds == want.Type.Set()&thirds {
		a.third++
	}
	if got.Type == want.Type && got.Bass == want.Bass.Class() {
		a.whole++
	}
}

func (a *tally) share(n int) float64 { return float64(n) / float64(max(1, a.all)) }

func (a *tally) tell(t *testing.T, name string) {
	t.Logf("%-44s %7d  root %.4f  third %.4f  whole %.4f", name, a.all, a.share(a.root), a.share(a.third), a.share(a.whole))
	reduced.Row(name+": root", float64(a.root), float64(a.all))
	reduced.Row(name+": third", float64(a.third), float64(a.all))
	reduced.Row(name+": whole", float64(a.whole), float64(a.all))
}

// family is the types that a row of the table is about.
func family(c chord.Type) string {
	switch n := len(c.Tones()); {
	case n == 2:
		return "open fifths"
	case c == chord.Sus4 || c == chord.Sus2 || c == chord.DominantSus4 || c == chord.NinthSus4:
		return "suspensions"
	case n == 3:
		return "triads"
	case c == chord.Sixth || c == chord.MinorSixth || c == chord.SixNine || c == chord.MinorSixNine:
		return "sixths"
	case c == chord.Add9 || c == chord.MinorAdd9 || c == chord.Add4:
		return "added tones"
	case n == 4:
		return "sevenths"
	case n == 5:
		return "ninths and altered"
	}
	return "elevenths and thirteenths"
}

// Every type on every root in C major, from each of its tones and over each step
// that it has not; whole, with each tone left out that players leave out, and with
// each foreign tone struck besides. Not all can be right: C6 over A is Am7.
func TestAccuracyOfChordsAlone(t *testing.T) {
	r := New()
	x := Context{Key: &pitch.Key{}}
	rows := map[string]*tally{}
	var order []string
	count := func(row string, want chord.Chord, set chord.Set) {
		if rows[row] == nil {
			rows[row] = &tally{}
			order = append(order, row)
		}
		rows[row].add(want, r.InContext(set, want.Bass.Class(), &x))
	}
	for _, typ := range chord.Types() {
		for root := pitch.Class(0); root < 12; root++ {
			alone(typ, root, func(how string, want chord.Chord, set chord.Set) { count(family(typ)+", "+how, want, set) })
		}
	}
	var all tally
	for _, name := range order {
		rows[name].tell(t, name)
		all.root += rows[name].root
		all.all += rows[name].all
	}
	least := func(row string, share float64) {
		assert.GreaterOrEqual(t, rows[row].share(rows[row].whole), share, row)
	}
	least("triads, from the root", 0.95) // an augmented triad has its root where the key puts it
	least("triads, on another tone", 0.75)
	least("sevenths, from the root", 0.97)
	least("sevenths, on another tone", 0.75)
	least("ninths and altered, on another tone", 1)
	assert.GreaterOrEqual(t, all.share(all.root), 0.5)
}

// alone lists the ways in which a chord is struck.
func alone(typ chord.Type, root pitch.Class, visit func(how string, want chord.Chord, set chord.Set)) {
	k := pitch.Key{}
	c := chord.New(k.Spell(root), typ)
	set := typ.Set().Up(int(root))
	for bass := pitch.Class(0); bass < 12; bass++ {
		over := c.Over(k.Spell(bass))
		switch {
		case bass == root:
			visit("from the root", over, set)
		case set.Has(bass):
			visit("on another tone", over, set)
		default:
			visit("over a foreign bass", over, set.With(bass))
		}
	}
	for other := pitch.Class(0); other < 12; other++ {
		switch {
		case other == root:
		case !set.Has(other):
			visit("with a foreign tone", c, set.With(other))
		case typ.Optional().Up(int(root)).Has(other):
			visit("a tone left out", c, set&^(1<<uint(other)))
		}
	}
}

// ways are what is known beside the notes that sound.
var ways = []string{"in the key", "after the chord before", "with the bass before", "with the chart known"}

const withBass = 2

// How the charts of the demonstration, played in the shipped patterns, are named
// from stroke to stroke: in the key; after the chord before; with the bass that
// was struck last; and with the chart known besides.
func TestAccuracyOfChartsAsPlayed(t *testing.T) {
	if testing.Short() {
		t.Skip("a measurement, not a matter of races")
	}
	sums := make([]tally, len(ways))
	n := 0
	for name, c := range material.DemoCharts(t) {
		for _, p := range material.Catalogue(t).Of(pattern.Accompaniment) {
			if n++; n%(7*reduced.By()) > 0 || p.PlaysTune() || !p.Fits(c.Meter) {
				continue
			}
			asPlayed(t, c, p, uint64(n), sums, name)
		}
	}
	for i, way := range ways {
		sums[i].tell(t, "as played, "+way)
	}
	for i, least := range []float64{0.975, 0.975, 0.95, 0.98} {
		assert.GreaterOrEqual(t, sums[i].share(sums[i].root), least, ways[i])
	}
}

// asPlayed names what sounds after each stroke of a player in all ways.
func asPlayed(t *testing.T, c *chart.Chart, p *pattern.Pattern, seed uint64, sums []tally, name string) {
	s, err := score.Build(c, p, score.Options{})
	require.NoError(t, err, name)
	h, err := performer.Human([]string{"steady", "beginner", "fluent"}[seed%3])
	require.NoError(t, err)
	h.Pedal = []performer.PedalHabit{performer.NoPedal, performer.LegatoPedal}[seed%2]
	perf := performer.Play(s, h, performer.Course{}, seed)
	l, next := listener{r: New(), s: s}, 0
	for i, e := range perf.Events {
		l.feed(e)
		const apart = 60 * time.Millisecond // later notes are another stroke
		if !e.IsNoteOn() || i+1 < len(perf.Events) && perf.Events[i+1].At-e.At <= apart {
			continue
		}
		for next+1 < len(perf.Onsets) && perf.Onsets[next+1].At <= e.At {
			next++
		}
		l.name(s.Wants[perf.Onsets[next].Want].Chord, sums)
	}
}

// listener hears one performance in several ways at once.
type listener struct {
	r      *Recognizer
	s      *score.Score
	keys   keyboard.Keys
	bass   pitch.Num // the last note struck with nothing below it
	before [4]Candidate
}

func (l *listener) feed(e event.Event) {
	l.keys.Feed(e)
	if s := l.keys.Sounding(); e.IsNoteOn() && s.Lowest() == pitch.Num(e.Data1) {
		l.bass = s.Lowest()
	}
}

func (l *listener) name(want chord.Chord, sums []tally) {
	sounding := l.keys.Sounding()
	set, low := chord.Set(sounding.Classes()), sounding.Lowest()
	if low < 0 || want.IsNone() {
		return
	}
	lately := chord.Set(0).With(l.bass.Class())
	contexts := []Context{
		{Key: &l.s.Key},
		{Key: &l.s.Key, Before: l.before[1]},
		{Key: &l.s.Key, Before: l.before[2], Lately: lately},
		{Key: &l.s.Key, Before: l.before[3], Wanted: want},
	}
	for i := range contexts {
		heard, bass := set, low.Class()
		if i == withBass && l.bass < low {
			heard, bass = set.With(l.bass.Class()), l.bass.Class()
		}
		if bits.OnesCount16(uint16(heard)) < 3 {
			continue // a note or two name no chord
		}
		got := l.r.InContext(heard, bass, &contexts[i])
		sums[i].add(want, got)
		l.before[i] = got
	}
}
