package firstbass

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/test/reduced"
	"undersong/internal/test/sounding"
)

var (
	seedFlag  = flag.Uint64("seed", 0, "play this seed alone")
	seedsFlag = flag.Uint64("seeds", 2, "how many players of each kind")
)

// keysOf are all keys of a mode, one of them with -short.
func keysOf(minor bool) []string {
	all := []string{"C", "Gb", "A", "Eb", "Db", "D", "E", "F", "G", "Ab", "Bb", "B"}
	if minor {
		all = []string{"Cm", "F#m", "Am", "Ebm", "C#m", "Dm", "Em", "Fm", "Gm", "G#m", "Bbm", "Bm"}
	}
	if testing.Short() {
		return all[:1]
	}
	return all[:len(all)/reduced.By()]
}

func newPlayer(t testing.TB, name, key string, voicing Voicing, basses int, seed uint64) *player {
	s := tuneOf(t, name, key)
	r := rand.New(rand.NewPCG(seed, 7))
	p := &player{s: s, th: NewTheory(s, basses), ear: New(s, Options{Basses: basses}), voicing: voicing, r: r, rate: 0.6 + 0.7*r.Float64()}
	p.octave = []int{0, 0, 12}[r.IntN(3)]
	if p.low() < 60 {
		p.octave = 12
	}
	return p
}

func seeds() []uint64 {
	if *seedFlag > 0 {
		return []uint64{*seedFlag}
	}
	var all []uint64
	for i := uint64(1); i <= *seedsFlag && (i == 1 || !testing.Short()); i++ {
		all = append(all, i)
	}
	return all
}

// everyPlayer is players of every tune, in every key, in every voicing, with two basses
// and three, each with a listener; who says which.
func everyPlayer(t *testing.T, visit func(p *player, l *Listener, who string)) {
	for _, name := range tuneNames(t) {
		for _, key := range keysOf(tuneOf(t, name, "").Key.Minor) {
			for voicing := BassAlone; voicing <= WithTriad; voicing++ {
				for _, basses := range []int{2, 3} {
					for _, seed := range seeds() {
						p := newPlayer(t, name, key, voicing, basses, seed)
						visit(p, New(p.s, Options{voicing, basses}), fmt.Sprintf("%s in %s, %s, %d basses, seed %d", name, key, voicing, basses, seed))
					}
				}
			}
		}
	}
}

func TestFaultlessPlayersAreNotCorrected(t *testing.T) {
	told, done, players := 0, 0, 0
	everyPlayer(t, func(p *player, l *Listener, who string) {
		players++
		for _, f := range sounding.Hear(l, p.play()) {
			if f.Kind != finding.Right {
				t.Errorf("%s: %s", who, brief(l, &f))
				told++
			}
		}
		sum := l.Summary()
		if assert.True(t, sum.Basses.Done(), "%s: %+v", who, sum) {
			done++
		}
	})
	reduced.Row("faultless players not corrected", float64(players), float64(players+told))
	reduced.Row("faultless players right in every bar", float64(done), float64(players))
}

type tallied struct{ planted, found, told, true int }

type table map[string]*tallied

func (all table) row(r Voicing, k finding.Kind) *tallied {
	n := fmt.Sprintf("%s %s", r, k)
	if all[n] == nil {
		all[n] = &tallied{}
	}
	return all[n]
}

// add compares what was told with the truth, and returns what was not so.
func (all table) add(p *player, found []finding.Finding, l *Listener) (wrong []string) {
	told := map[int]finding.Kind{}
	for _, f := range found {
		if f.Kind == finding.Right {
			continue
		}
		told[f.Bar] = f.Kind
		all.row(p.voicing, f.Kind).told++
		if p.truth[f.Bar] == f.Kind {
			all.row(p.voicing, f.Kind).true++
		} else {
			wrong = append(wrong, fmt.Sprintf("told %s, was %s: %s", f.Kind, p.truth[f.Bar], brief(l, &f)))
		}
	}
	for bar, k := range p.truth {
		all.row(p.voicing, k).planted++
		if told[bar] == k {
			all.row(p.voicing, k).found++
		} else if _, any := told[bar]; !any {
			wrong = append(wrong, fmt.Sprintf("bar %d: %s not found", p.s.Bars[bar].Number, k))
		}
	}
	return wrong
}

func TestAccuracy(t *testing.T) {
	kinds := map[Voicing][]finding.Kind{
		BassAlone: {finding.Misfit, finding.Missing, finding.NotRoot, finding.NotHome},
		WithFifth: {finding.Misfit, finding.Missing, finding.NoFifth, finding.WrongFifth},
		WithTriad: {finding.Misfit, finding.Missing, finding.NoFifth, finding.WrongFifth, finding.NoThird, finding.WrongThird, finding.HighThird},
	}
	all := table{}
	everyPlayer(t, func(p *player, l *Listener, who string) {
		p.faulty, p.kinds = 0.25, kinds[p.voicing]
		for _, text := range all.add(p, sounding.Hear(l, p.play()), l) {
			t.Logf("%s: %s", who, text)
		}
	})
	enough := 0.98
	if testing.Short() {
		enough = 0.95 // of a few dozen
	}
	for n, r := range all {
		recall, precision := float64(r.found)/float64(r.planted), float64(r.true)/float64(r.told)
		reduced.Row(n+": told of what was planted", float64(r.found), float64(r.planted))
		reduced.Row(n+": right of what was told", float64(r.true), float64(r.told))
		t.Logf("%-20s planted %5d recall %.4f precision %.4f", n, r.planted, recall, precision)
		require.Greater(t, r.planted, 0, n)
		if *seedFlag == 0 {
			assert.GreaterOrEqual(t, recall, enough, n)
			assert.GreaterOrEqual(t, precision, enough, n)
		}
	}
}

// The hand that plays the tune slips once in twenty notes, and leaves one in fifty
// out; the basses fit.
func TestSlipsInTheTuneAreForgiven(t *testing.T) {
	if testing.Short() {
		t.Skip("a share of many bars; it runs without -short")
	}
	bars, wrong := 0, 0
	for _, name := range tuneNames(t) {
		for voicing := BassAlone; voicing <= WithTriad; voicing++ {
			for seed := uint64(1); seed <= 5; seed++ {
				p := newPlayer(t, name, "", voicing, 2, seed)
				p.slips = 0.05
				l := New(p.s, Options{voicing, 2})
				for _, f := range sounding.Hear(l, p.play()) {
					if f.Kind != finding.Right {
						t.Logf("%s, %s, seed %d: %s", name, voicing, seed, brief(l, &f))
						wrong++
					}
				}
				bars += len(p.s.Bars)
			}
		}
	}
	t.Logf("%d corrections in %d bars", wrong, bars)
	reduced.Row("bars with slips in the tune left alone", float64(bars-wrong), float64(bars))
	assert.Less(t, float64(wrong)/float64(bars), 0.03)
}
