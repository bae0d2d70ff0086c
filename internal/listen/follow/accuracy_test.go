package follow

import (
	"cmp"
	"flag"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/reduced"
)

var (
	seedsFlag = flag.Int("seeds", 1, "how many seeds the accuracy table is made from")
	worstFlag = flag.Float64("worst", 0.9, "the share of onsets at their place under which -show list names a performance")
	showFlag  = flag.String("show", "", "print the onsets of one performance, told by its name; \"list\" names the worst ones")
)

// tunes to follow: the first bars of several have one chord alone, most repeat,
// and verse and chorus share their beginning.
var tunes = []string{
	"when-the-saints", "red-river-valley", "down-in-the-valley", "wayfaring-stranger", "oh-susanna",
	"skye-boat-song", "lanterns-on-the-weir", "the-five-legged-table", "auld-lang-syne",
}

var someKeys = []string{"C", "F", "A", "Eb"}

func catalogue(t testing.TB) []*pattern.Pattern {
	t.Helper()
	c := material.Catalogue(t)
	return c.Of(pattern.Accompaniment)
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
	if p.PlaysTune() && !c.HasMelody() {
		material.Sing(c)
	}
	s, err := score.Build(c, p, o)
	require.NoError(t, err)
	return s
}

// manner is a way of playing to be followed, and how well that must go.
type manner struct {
	name      string
	habits    func(*performer.Habits)
	plan      func(*score.Score, uint64) mistakes.Plan
	right     float64                     // least share of onsets at their place
	recovered float64                     // least share of breaks after which the place is found
	alter     func(*mistakes.Performance) // what is played, or nil
}

func free(walk, rubato float64) func(*performer.Habits) {
	return func(h *performer.Habits) { h.TempoWalk, h.Rubato = walk, rubato }
}

func sown(rate float64, kinds ...mistakes.Kind) func(*score.Score, uint64) mistakes.Plan {
	return func(*score.Score, uint64) mistakes.Plan { return mistakes.Random(kinds, rate) }
}

func steadyAt(share float64) func(*score.Score, uint64) mistakes.Plan {
	return func(*score.Score, uint64) mistakes.Plan {
		return mistakes.Plan{Tempo: []performer.TempoMark{{Share: share}}}
	}
}

// drifting goes evenly from one tempo to another through the piece.
func drifting(from, to float64) func(*score.Score, uint64) mistakes.Plan {
	return func(s *score.Score, _ uint64) mistakes.Plan {
		return mistakes.Plan{Tempo: []performer.TempoMark{{Share: from}, {At: s.Length, Share: to}}}
	}
}

// held has a fermata every fourth bar.
func held(s *score.Score, seed uint64) mistakes.Plan {
	var p mistakes.Plan
	for b := 3; b < len(s.Bars); b += 4 {
		p.Fermatas = append(p.Fermatas, performer.Fermata{At: s.Bars[b].At, Beats: []float64{0.6, 1.4, 2.3, 3.3}[(seed+uint64(b/4))%4]})
	}
	return p
}

// wide strikes chords spread as the widest tenth of human ones is, over 80 ms and
// more (measured on (n)ASAP human performances, CC BY-NC-SA), and rolls them at 60 ms
// a note.
func wide(h *performer.Habits) {
	h.TempoWalk, h.Spread, h.RollSpread = 0.02, 40*time.Millisecond, 240*time.Millisecond
}

// ornamented has a turn of two notes before every ninth note, 80 ms apart: one note in
// twenty of human performances stands for none of the score, and most of these are a
// step from one that does (measured on (n)ASAP human performances, CC BY-NC-SA).
func ornamented(perf *mistakes.Performance) {
	const apart = 80 * time.Millisecond
	for n, e := range perf.Events {
		if e.IsNoteOn() && n%18 == 0 && e.At > 2*apart {
			perf.Events = append(perf.Events, event.On(e.At-2*apart, e.Data1, 50), event.On(e.At-apart, e.Data1+2, 50))
		}
	}
	slices.SortStableFunc(perf.Events, func(a, b event.Event) int { return cmp.Compare(a.At, b.At) })
}

// heldLong has a fermata of ten seconds every eighth bar.
func heldLong(s *score.Score, _ uint64) mistakes.Plan {
	var p mistakes.Plan
	beat := s.Tempo.Duration(s.Meter.Beat(), s.Meter)
	for b := 7; b < len(s.Bars); b += 8 {
		p.Fermatas = append(p.Fermatas, performer.Fermata{At: s.Bars[b].At, Beats: float64(10*time.Second) / float64(beat)})
	}
	return p
}

// manners lists the ways of playing. Breaks are sown far more densely than any
// student makes them, one every dozen bars; each costs a stroke or a few until
// it can be told from a wrong chord, or until the bars that follow differ from
// those expected. The least shares are what is reached, less some room.
func manners() []manner {
	walk := free(0.02, 0.05)
	return []manner{
		{"steady", walk, sown(0), 0.999, 1, nil},
		{"rubato", free(0.04, 0.2), sown(0), 0.999, 1, nil},
		{"at 0.75 of the tempo", walk, steadyAt(0.75), 0.999, 1, nil},
		{"at 1.3 of the tempo", walk, steadyAt(1.3), 0.999, 1, nil},
		{"from 1.15 to 0.85", walk, drifting(1.15, 0.85), 0.999, 1, nil},
		{"fermatas", walk, held, 0.985, 1, nil},
		{"mistakes in notes", walk, sown(0.15, mistakes.NoteKinds()...), 0.97, 1, nil},
		{"wrong chords", walk, sown(0.1, mistakes.WrongChord), 0.96, 1, nil},
		{"pause", walk, sown(0.08, mistakes.Pause), 0.99, 0.96, nil},
		{"restart", walk, sown(0.08, mistakes.Restart), 0.95, 0.93, nil},
		{"stumble", walk, sown(0.08, mistakes.Stumble), 0.97, 0.95, nil},
		{"repeat-bar", walk, sown(0.08, mistakes.RepeatBar), 0.97, 0.97, nil},
		{"skip-bar", walk, sown(0.08, mistakes.SkipBar), 0.96, 0.95, nil},
		{"jump", walk, sown(0.08, mistakes.Jump), 0.93, 0.9, nil},
		{"all, and mistakes", free(0.03, 0.1), sown(0.15, append(mistakes.FollowKinds(), mistakes.NoteKinds()...)...), 0.94, 0.91, nil},
		{"at half the tempo", walk, steadyAt(0.5), 0.99, 1, nil},
		{"at 0.4 of the tempo", walk, steadyAt(0.4), 0.99, 1, nil},
		{"at twice the tempo", walk, steadyAt(2), 0.99, 1, nil},
		{"from half to double", walk, drifting(0.5, 2), 0.99, 1, nil},
		{"wide chords", wide, sown(0), 0.99, 1, nil},
		{"long fermatas", walk, heldLong, 0.98, 1, nil},
		{"ornaments", walk, sown(0), 0.99, 1, ornamented},
	}
}

func TestFollowAccuracy(t *testing.T) {
	if testing.Short() {
		t.Skip("a measurement, not a matter of races; it takes long under their detector")
	}
	var sum tally
	byPattern := map[string]*tally{}
	t.Log(headings)
	for n, m := range manners() {
		var a tally
		for pi, p := range catalogue(t) {
			if pi%reduced.By() > 0 {
				continue
			}
			for ti, name := range tunes {
				for seed := range *seedsFlag {
					s, perf, fits := perform(t, m, p, name, n+pi+3*ti+7*seed)
					if !fits {
						continue
					}
					one := measure(s, perf, fmt.Sprintf("%s/%s/%s/%d", m.name, p.Name, name, seed))
					a.add(one)
					if byPattern[p.Name] == nil {
						byPattern[p.Name] = &tally{}
					}
					byPattern[p.Name].add(one)
				}
			}
		}
		t.Log(a.line(m.name))
		a.rows(m.name)
		assert.GreaterOrEqual(t, share(a.right, a.onsets), m.right, m.name)
		assert.GreaterOrEqual(t, share(a.within[2], a.breaks), m.recovered, m.name)
		sum.add(a)
	}
	t.Log(sum.line("together"))
	for _, p := range catalogue(t) {
		if a := byPattern[p.Name]; a != nil {
			t.Log(a.line(p.Name))
		}
	}
	assert.GreaterOrEqual(t, share(sum.right, sum.onsets), 0.97)
	assert.GreaterOrEqual(t, share(sum.within[2], sum.breaks), 0.95)
}

// perform plays a tune in one of several keys and tempi, by one of several
// players.
func perform(t *testing.T, m manner, p *pattern.Pattern, name string, x int) (*score.Score, mistakes.Performance, bool) {
	c := material.DemoChart(t, name)
	if !p.Fits(c.Meter) {
		return nil, mistakes.Performance{}, false
	}
	levels, tempi := []string{"steady", "beginner", "fluent"}, []meter.Tempo{1, 0.8, 1.2}
	s := lay(t, c, p, someKeys[x%len(someKeys)], c.Tempo*tempi[x%len(tempi)])
	h, err := performer.Human(levels[x%len(levels)])
	require.NoError(t, err)
	m.habits(&h)
	perf, err := mistakes.Play(s, h, m.plan(s, uint64(x)), uint64(x))
	require.NoError(t, err)
	if m.alter != nil {
		m.alter(&perf)
	}
	return s, perf, true
}
