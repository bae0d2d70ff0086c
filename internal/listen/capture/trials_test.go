package capture

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/reduced"
)

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
	return material.Chart(t, text+"|\n")
}

// shipped are the accompaniments. What plays the chart's tune, and intros, fills,
// turnarounds and endings, are no answer to chords alone, and are left out; so is
// what is longer than a capture.
func shipped(t testing.TB) []*pattern.Pattern {
	t.Helper()
	var all []*pattern.Pattern
	for _, p := range material.Catalogue(t).All() {
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

// told is what the player has said beforehand.
type told struct {
	chords       string
	meter, tempo bool
}

func (w told) String() string {
	switch {
	case w.tempo:
		return "over " + w.chords + ", meter and tempo told"
	case w.meter:
		return "over " + w.chords + ", the meter told"
	}
	return "over " + w.chords + ", nothing told"
}

// oneChordHides are the patterns that a single triad cannot tell, and why: what
// they leave unsaid shows when the chord changes, or over a seventh.
var oneChordHides = map[string]string{
	"pedal-tonic":         "the root of one chord may be the key's",
	"pedal-dominant":      "its fifth, too",
	"bagpipe-drone":       "the same",
	"walking-half-steps":  "a step to the same root is a half step in any case",
	"block-root":          "an inversion may be meant, or chance",
	"block-first":         "the same",
	"block-second":        "the same",
	"octave-above":        "the same",
	"inversions-climb":    "the same",
	"inversions-rock":     "the same",
	"spread-whole":        "a bass under a whole chord",
	"dropped-halves":      "an open chord in three notes",
	"rootless-charleston": "two notes of a triad; over a seventh it has its ninth",
}

// trial is a capture of one playing.
type trial struct {
	played
	told  told
	times int
	tempo meter.Tempo
	level string
	got   *Captured
	err   error
}

// seasons is how many performances of each pattern, each played one to four times,
// are captured: go test -args -seasons 4 measures more.
var seasons = flag.Int("seasons", 1, "how many performances of each pattern are captured")

// firstSeason seeds the first; the weights were fitted on seasons 1 to 5.
const firstSeason = 101

// each plays every pattern one to four times, in a key and a tempo and by a player
// that chance chooses, and captures it.
func each(t *testing.T, all []*pattern.Pattern, w told, visit func(r *trial)) {
	for s := firstSeason; s < firstSeason+*seasons; s++ {
		for n, p := range all {
			if testing.Short() && n%5 > 0 || n%reduced.By() > 0 {
				continue
			}
			for times := 1; times <= 4; times++ {
				r := play(t, p, w.chords, times, s, uint64(n*10+times))
				r.told = w
				o := r.o
				if w.meter {
					o.Meter = meterOf(p)
				}
				if w.tempo {
					o.Tempo = r.tempo
				}
				r.got, r.err = Capture(r.events, o)
				visit(r)
			}
		}
	}
}

// play is one performance of a pattern.
func play(t *testing.T, p *pattern.Pattern, chords string, times, season int, which uint64) *trial {
	t.Helper()
	r := rand.New(rand.NewPCG(uint64(season), which))
	key := []string{"C", "D", "F", "G"}[r.IntN(4)]
	tempo := []meter.Tempo{72, 88, 100, 120}[r.IntN(4)]
	level := []string{"steady", "beginner", "fluent"}[r.IntN(3)]
	c := tuneOf(t, strings.TrimSpace(strings.Repeat(chords+" ", times)), meterOf(p), p.Length)
	k, err := pitch.ParseKey(key)
	require.NoError(t, err)
	s, err := score.Build(c, p, score.Options{Key: &k, Tempo: tempo})
	require.NoError(t, err)
	h, err := performer.Human(level)
	require.NoError(t, err)
	o := Options{Name: "captured", Key: &k}
	for _, b := range c.In(k).Bars() {
		o.Chords = append(o.Chords, b.Chords[0].Chord)
	}
	if !strings.Contains(chords, " ") {
		o.Chords = o.Chords[:1]
	}
	events := performer.Play(s, h, performer.Course{}, uint64(1000*season+10*times)).Events
	return &trial{played: played{p, events, o}, times: times, tempo: tempo, level: level}
}

func (r *trial) String() string {
	return fmt.Sprintf("%s, %d times by the %s player at %.0f", r.p.Name, r.times, r.level, float64(r.tempo))
}

// judge knows what was found of patterns that were captured the same before.
type judge map[string]string

// fault is what keeps a trial from being right; "" where it is.
func (j judge) fault(t *testing.T, r *trial) string {
	if r.err != nil {
		return "error: " + r.err.Error()
	}
	here, there := barsAlike(r)
	name := fmt.Sprint(r.p.Name, here, there, r.got.Pattern.Text())
	if _, ok := j[name]; !ok {
		j[name] = r.differs(t)
	}
	return j[name]
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

// fewSlack is by how much a few patterns may fall short of all.
const fewSlack = 0.1

func (y *tally) atLeast(t *testing.T, share float64, w told, what string) {
	t.Helper()
	if testing.Short() {
		share -= fewSlack
	}
	assert.GreaterOrEqual(t, y.share(), share, "%s: %s", w, what)
}

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
