package transcribe

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/test/reduced"
)

var seedsFlag = flag.Int("seeds", 1, "how many times 24 takes of each style the accuracy table is made from")

// scores are shares of time, as the chord estimation task of MIREX counts them:
// the root alone, the root with major or minor (where the truth is either), the
// bass, and the whole label.
type scores struct{ root, majmin, bass, whole, time, triads float64 }

func (s scores) String() string {
	return fmt.Sprintf("%.3f  %.3f  %.3f  %.3f", s.root/s.time, s.majmin/s.triads, s.bass/s.time, s.whole/s.time)
}

func (s *scores) add(o scores) {
	s.root += o.root
	s.majmin += o.majmin
	s.bass += o.bass
	s.whole += o.whole
	s.time += o.time
	s.triads += o.triads
}

// rows tells what make sensitivity compares.
func (s *scores) rows(name string) {
	reduced.Row(name+": root", s.root, s.time)
	reduced.Row(name+": major or minor", s.majmin, s.triads)
	reduced.Row(name+": bass", s.bass, s.time)
	reduced.Row(name+": whole label", s.whole, s.time)
}

// labelled is a chord from one time to another, in seconds.
type labelled struct {
	from, to float64
	chord    chord.Chord
}

func third(c chord.Chord) int {
	set := c.Type.Set()
	switch {
	case set.Has(4):
		return 4
	case set.Has(3):
		return 3
	}
	return 0
}

func isTriadic(c chord.Chord) bool {
	return third(c) != 0 && c.Type.Set().Has(7)
}

// compare adds up how long the guess agrees with the truth.
func compare(truth, guess []labelled) scores {
	var s scores
	i := 0
	for _, t := range truth {
		for i > 0 && guess[i-1].to > t.from {
			i--
		}
		for ; i < len(guess) && guess[i].from < t.to; i++ {
			s.addSpan(t.chord, guess[i].chord, min(t.to, guess[i].to)-max(t.from, guess[i].from))
		}
		missing := t.to - t.from
		s.time += missing
		if isTriadic(t.chord) {
			s.triads += missing
		}
	}
	return s
}

func (s *scores) addSpan(t, g chord.Chord, d float64) {
	if d <= 0 || g.IsNone() != t.IsNone() {
		return
	}
	if t.Root.Class() == g.Root.Class() {
		s.root += d
		if isTriadic(t) && third(t) == third(g) {
			s.majmin += d
		}
		if t.Type == g.Type && t.Bass.Class() == g.Bass.Class() {
			s.whole += d
		}
	}
	if t.Bass.Class() == g.Bass.Class() {
		s.bass += d
	}
}

func guesses(segments []Segment) []labelled {
	out := make([]labelled, len(segments))
	for i, s := range segments {
		out[i] = labelled{s.Start.Seconds(), s.End.Seconds(), s.Chord}
	}
	return out
}

// take is one simulated performance with its truth.
type take struct {
	perf  Performance
	truth []labelled
	beats []float64
	about string
}

var styles = []string{
	"block", "half-bar", "quarters", "broken", "alberti", "arpeggio",
	"sixteenths", "root-fifth", "walking", "octave-pop", "rolled",
}

// times of playing, in turn: what the file's tempo map has to do with it.
const (
	exact     = iota // quantised
	toAClick         // human, the map right
	lateStart        // human, the map right in tempo but not in phase
	free             // the tempo drifts and the map knows nothing of it
	timingKinds
)

var timingNames = [...]string{"exact", "click", "shifted", "free"}

// record simulates a performance: a decent accompanist's, or one who pedals
// carelessly, leaves thirds and sevenths out and hits wrong keys.
func record(t testing.TB, style string, seed uint64, timing int, melody, hard bool) take {
	r := rand.New(rand.NewPCG(seed, 7))
	perBar := 4
	if style != "octave-pop" && style != "root-fifth" && r.IntN(6) == 0 {
		perBar = 3
	}
	changes, key := randomTune(t, r, perBar)
	p := &player{
		r: r, style: style, perBar: perBar, changes: changes, key: key,
		register: pitch.Num(33 + r.IntN(10)), octaves: r.IntN(3) == 0, density: 2 + r.IntN(3),
		colour: []float64{0, 0, 0.15, 0.5}[r.IntN(4)], bare: []float64{0, 0, 0.1, 0.25}[r.IntN(4)],
		anticipate: []float64{0, 0, 0.15, 0.4}[r.IntN(4)], melody: melody, pedal: r.IntN(4),
		jitter: 0.005 + 0.015*r.Float64(), spread: 0.03 * r.Float64(),
		wrong: []float64{0, 0, 0.01, 0.02}[r.IntN(4)], dropped: []float64{0, 0, 0.03, 0.06}[r.IntN(4)],
	}
	if !hard {
		p.pedal = min(p.pedal, 2)
		p.colour, p.bare, p.anticipate = p.colour/3, p.bare/3, p.anticipate/2
		p.wrong, p.dropped = p.wrong/4, p.dropped/4
		p.complete = true
	}
	if timing == exact {
		p.jitter, p.spread = 0, 0
	}
	period := 60 / (62 + 80*r.Float64())
	at, file := timeOf(r, timing, period, perBar, changes)
	p.play()
	tk := take{about: fmt.Sprintf("%s seed %d %s key %s per bar %d pedal %d", style, seed, timingNames[timing], key, perBar, p.pedal)}
	tk.perf.Notes = p.perform(at)
	tk.perf.Beats = file
	last := 0
	for _, c := range changes {
		tk.truth = append(tk.truth, labelled{at(float64(c.beat)), at(float64(c.beat + c.beats)), c.chord})
		last = c.beat + c.beats
	}
	for b := 0; b <= last; b++ {
		tk.beats = append(tk.beats, at(float64(b)))
	}
	tk.perf.End = seconds(at(float64(last)))
	return tk
}

// timeOf is how beats become seconds, and the file's own idea of it.
func timeOf(r *rand.Rand, timing int, period float64, perBar int, changes []change) (clock, []Beat) {
	last := changes[len(changes)-1]
	total := last.beat + last.beats
	steady := func(period, from float64) []Beat {
		var out []Beat
		for b := 0; float64(b)*period < float64(total+8)*period; b++ {
			out = append(out, Beat{At: seconds(from + float64(b)*period), Bar: b%perBar == 0, Cells: 2})
		}
		return out
	}
	switch timing {
	case lateStart:
		off := period * (0.3 + 3*r.Float64())
		return func(b float64) float64 { return off + b*period }, steady(period, 0)
	case free:
		speed, phase := 0.12*r.Float64(), 6*r.Float64()
		curve := []float64{0.7}
		for b := 0; b < 2*total+16; b++ {
			p := period * (1 + speed*math.Sin(phase+float64(b)/30) + 0.015*r.NormFloat64())
			curve = append(curve, curve[b]+p/2)
		}
		return func(b float64) float64 {
			i := min(max(int(2*b), 0), len(curve)-2)
			return curve[i] + (2*b-float64(i))*(curve[i+1]-curve[i])
		}, steady(0.5, 0)
	}
	return func(b float64) float64 { return b * period }, steady(period, 0)
}

// What must be reached at least over all styles: a little under what is reached.
// The plain matcher, beat by beat, has 0.89 0.84 0.83 0.67.
var least = scores{root: 0.97, majmin: 0.96, bass: 0.95, whole: 0.91, time: 1, triads: 1}

// leastCareless is the same for careless playing, where the plain matcher has
// 0.84 0.79 0.79 0.59.
var leastCareless = scores{root: 0.94, majmin: 0.92, bass: 0.89, whole: 0.80, time: 1, triads: 1}

func (s scores) assertLeast(t *testing.T, l scores) {
	assert.GreaterOrEqual(t, s.root/s.time, l.root, "root")
	assert.GreaterOrEqual(t, s.majmin/s.triads, l.majmin, "root with major or minor")
	assert.GreaterOrEqual(t, s.bass/s.time, l.bass, "bass")
	assert.GreaterOrEqual(t, s.whole/s.time, l.whole, "whole label")
}
