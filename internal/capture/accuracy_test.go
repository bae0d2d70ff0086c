package capture

import (
	"fmt"
	"math"
	"os"
	"sort"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/chart"
	"undersong/internal/chord"
	"undersong/internal/coach"
	"undersong/internal/engine"
	"undersong/internal/event"
	"undersong/internal/meter"
	"undersong/internal/pattern"
	"undersong/internal/pitch"
	"undersong/internal/score"
	"undersong/internal/simulate"
	"undersong/patterns"
)

// What is captured is measured against what was meant: a simulated player plays a
// shipped pattern over known chords, and the captured pattern must ask for the
// same.
//
// Equivalent means, over testTune in a key in which nothing was played:
//   - the same strokes: each hand strikes at the same places (within a tenth of a
//     beat, so that a swing of 3:2 heard as 2:1 counts as the same place);
//   - a demonstration of the captured pattern, judged as the shipped one, brings no
//     correction but about lengths and balance;
//   - a demonstration of the shipped pattern, judged as the captured one, neither.

const testTune = "C F G7 Am Dm7 E7 Cmaj7 C"

func mustChords(t testing.TB, s string) []chord.Chord {
	t.Helper()
	var all []chord.Chord
	for _, name := range strings.Fields(s) {
		c, err := chord.Parse(name)
		require.NoError(t, err)
		all = append(all, c)
	}
	return all
}

// tuneOf is a chart of chords, each for so many bars.
func tuneOf(t testing.TB, chords string, m meter.Meter, bars int) *chart.Chart {
	t.Helper()
	text := fmt.Sprintf("title: T\nkey: C\nmeter: %s\n\n", m)
	for _, c := range strings.Fields(chords) {
		text += strings.Repeat("| "+c+" ", bars)
	}
	c, err := chart.Parse([]byte(text+"|\n"), "t.chart")
	require.NoError(t, err)
	return c
}

// shipped are the accompaniments. What plays the chart's tune, and intros, fills,
// turnarounds and endings, are no answer to chords alone, and are left out; so is
// what is longer than a capture.
func shipped(t testing.TB) []*pattern.Pattern {
	t.Helper()
	cat, err := pattern.Load(patterns.Files)
	require.NoError(t, err)
	var all []*pattern.Pattern
	for _, p := range cat.All() {
		if p.Part == pattern.Accompaniment && !p.PlaysTune() && p.Length <= MostBars {
			all = append(all, p)
		}
	}
	return all
}

func meterOf(p *pattern.Pattern) meter.Meter {
	if p.AnyMeter() {
		return meter.Meter{Num: 4, Den: 4}
	}
	return p.Meter
}

// played is a pattern as a player with human unevenness plays it.
type played struct {
	p      *pattern.Pattern
	events []event.Event
	o      Options // the chords and the key
}

func playing(t testing.TB, p *pattern.Pattern, chords string, times int, key string, tempo meter.Tempo, level string, seed uint64) played {
	t.Helper()
	row := strings.Fields(chords)
	all := strings.Join(row, " ")
	bars := 1
	if len(row) == 1 {
		all = strings.TrimSpace(strings.Repeat(chords+" ", times))
		bars = p.Length
	} else {
		all = strings.TrimSpace(strings.Repeat(all+" ", times))
		bars = p.Length
	}
	c := tuneOf(t, all, meterOf(p), bars)
	k, err := pitch.ParseKey(key)
	require.NoError(t, err)
	s, err := score.Build(c, p, score.Options{Key: &k, Tempo: tempo})
	require.NoError(t, err)
	h, err := simulate.Human(level)
	require.NoError(t, err)
	var o Options
	for _, b := range c.In(k).Bars() {
		o.Chords = append(o.Chords, b.Chords[0].Chord)
	}
	if len(row) == 1 {
		o.Chords = o.Chords[:1]
	}
	o.Name, o.Key = "captured", &k
	return played{p, simulate.Faultless(s, h, seed).Events, o}
}

// differs says what keeps a captured pattern from being equivalent; "" where it is.
func differs(t testing.TB, got, want *pattern.Pattern) string {
	t.Helper()
	m := meterOf(want)
	if got.Meter != m {
		return fmt.Sprintf("meter %s", got.Meter)
	}
	key := pitch.Key{Tonic: pitch.NoteAtFifths(-1)} // F
	tune := tuneOf(t, testTune, m, 1)
	a, err := score.Build(tune, want, score.Options{Key: &key, Tempo: 100})
	require.NoError(t, err)
	b, err := score.Build(tune, got, score.Options{Key: &key, Tempo: 100})
	if err != nil {
		return err.Error()
	}
	if d := otherPlaces(a, b); d != "" {
		return d
	}
	if d := corrections(a, b); d != "" {
		return "judged as shipped: " + d
	}
	if d := corrections(b, a); d != "" {
		return "shipped judged as captured: " + d
	}
	return ""
}

func otherPlaces(a, b *score.Score) string {
	if len(a.Wants) != len(b.Wants) {
		return fmt.Sprintf("%d strokes for %d", len(b.Wants), len(a.Wants))
	}
	for i := range a.Wants {
		x, y := &a.Wants[i], &b.Wants[i]
		if x.Hand != y.Hand || math.Abs(float64(x.At-y.At)) > float64(a.Meter.Beat())/10 {
			return fmt.Sprintf("bar %d: a stroke at beat %g of the %s hand for %g of the %s", x.Bar+1, y.Beat, y.Hand, x.Beat, x.Hand)
		}
	}
	return ""
}

// corrections is the first thing that is told of a demonstration of played when it
// is judged as wanted.
func corrections(wanted, demonstrated *score.Score) string {
	e := engine.New(wanted, engine.Options{Level: coach.Gentle, Start: time.Second})
	p, err := simulate.Play(demonstrated, simulate.Habits{}, simulate.Plan{Start: time.Second}, 1)
	if err != nil {
		return err.Error()
	}
	var told string
	look := func(all []coach.Finding) {
		for i := range all {
			switch f := &all[i]; f.Kind {
			case coach.Right, coach.Short, coach.Blurred, coach.Balance:
			default:
				if told == "" {
					told = e.Voice().Line(f)
				}
			}
		}
	}
	for _, ev := range p.Events {
		look(e.Feed(ev))
	}
	look(e.Finish(time.Hour))
	return told
}

// tally counts successes and keeps the reasons of failures.
type tally struct {
	good, all int
	why       map[string]int
}

func (y *tally) add(name, reason string) {
	y.all++
	if reason == "" {
		y.good++
		return
	}
	if y.why == nil {
		y.why = map[string]int{}
	}
	y.why[name+": "+reason]++
}

func (y *tally) share() float64 { return float64(y.good) / float64(max(1, y.all)) }

func (y *tally) print(t *testing.T, title string) {
	t.Logf("%s: %d of %d (%.1f %%)", title, y.good, y.all, 100*y.share())
	var lines []string
	for w, n := range y.why {
		lines = append(lines, fmt.Sprintf("  %3d  %s", n, w))
	}
	sort.Strings(lines)
	for _, l := range lines {
		t.Log(l)
	}
}

// told is what the player has said beforehand.
type told struct {
	name         string
	meter, tempo bool
}

func runs(t *testing.T, chords string, w told, visit func(pl played, tempo meter.Tempo, c *Captured, err error)) {
	for _, p := range shipped(t) {
		for times := 1; times <= 4; times++ {
			for i, key := range []string{"C", "D", "F", "G"} {
				tempo := []meter.Tempo{72, 88, 100, 120}[(i+times)%4]
				level := []string{"steady", "beginner", "fluent"}[(i+times)%3]
				pl := playing(t, p, chords, times, key, tempo, level, uint64(10*times+i))
				o := pl.o
				if w.meter {
					o.Meter = meterOf(p)
				}
				if w.tempo {
					o.Tempo = tempo
				}
				c, err := Capture(pl.events, o)
				visit(pl, tempo, c, err)
			}
		}
	}
}

func TestTry(t *testing.T) {
	for _, chords := range strings.Split(os.Getenv("ROWS"), ",") {
		for _, w := range []told{{"meter and tempo", true, true}, {"meter", true, false}, {"nothing", false, false}} {
			var y tally
			start := time.Now()
			runs(t, chords, w, func(pl played, tempo meter.Tempo, c *Captured, err error) {
				if err != nil {
					y.add(pl.p.Name, "error: "+err.Error())
					return
				}
				y.add(pl.p.Name, differs(t, c.Pattern, pl.p))
			})
			y.print(t, chords+", told "+w.name+" "+time.Since(start).String())
		}
	}
	assert.True(t, true)
}
