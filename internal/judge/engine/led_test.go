package engine

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

func runLed(s *score.Score, evs []event.Event, l rules.Level) ([]finding.Finding, *Engine) {
	e := New(s, Options{Level: l, Led: true})
	var all []finding.Finding
	var last time.Duration
	for _, ev := range evs {
		all = append(all, e.Feed(ev)...)
		last = ev.At
	}
	return append(all, e.Finish(last)...), e
}

func ledWrongs(s *score.Score, evs []event.Event) []string {
	found, e := runLed(s, evs, rules.Steady)
	out := []string{}
	for i := range found {
		if f := &found[i]; f.Kind != finding.Right {
			out = append(out, fmt.Sprintf("%s %s: %s", f.Part, f.Kind, voiceOf(e).Line(f)))
		}
	}
	return out
}

const ledTune = "| C | F | G7 | C | Am | F | G7 | C |"

func TestPlayerLeads(t *testing.T) {
	s := scoreOf(t, "4/4", ledTune, "two-beat")
	slower := func(evs []event.Event) []event.Event {
		for i := range evs {
			x := evs[i].At.Seconds()
			evs[i].At = time.Duration((3 + x*1.2 + 0.01*x*x) * float64(time.Second))
		}
		return evs
	}
	assert.Empty(t, ledWrongs(s, slower(exact(s).events())), "slower and slower is no mistake")

	p := exact(s).keys(left, 3, 1, 48).keys(right, 4, 4)
	assert.Equal(t, []string{
		"left wrong-bass: bar 3, beat 1: bass C, this is G7 - go down to G", "right missing: bar 4, beat 4: no chord - strike C",
	}, ledWrongs(s, slower(p.events())))

	found, _ := runLed(s, slower(exact(s).events()), rules.Steady)
	assert.Len(t, found, len(s.Wants))
}

// One stroke out of time is neither one too many nor one left out, and of chords
// that are all alike the one that never came is known by its time.
func TestPlayerWhoLeadsAndSlips(t *testing.T) {
	for _, row := range []struct {
		bar, stroke int
		late        time.Duration
	}{{3, 2, -180 * time.Millisecond}, {3, 4, 170 * time.Millisecond}, {5, 3, -170 * time.Millisecond}} {
		s := scoreOf(t, "4/4", ledTune, "two-beat")
		p := exact(s)
		for i := range p.notes {
			if n := &p.notes[i]; n.bar == row.bar && n.beat == float64(row.stroke) {
				n.at += row.late
			}
		}
		assert.Empty(t, ledWrongs(s, p.events()), "bar %d, beat %d by %s", row.bar, row.stroke, row.late)
	}
	for beat := 2.0; beat <= 4; beat++ {
		s := scoreOf(t, "4/4", ledTune, "driving-quarters")
		assert.Equal(t, []string{fmt.Sprintf("right missing: bar 4, beat %g: no chord - strike C", beat)},
			ledWrongs(s, exact(s).keys(right, 4, beat).events()))
	}
}

func TestPlayerWhoPausesIsWaitedFor(t *testing.T) {
	s := scoreOf(t, "4/4", ledTune, "two-beat")
	evs := exact(s).events()
	for i := range evs {
		if evs[i].At >= 9*beat {
			evs[i].At += 40 * time.Second
		}
	}
	assert.Empty(t, ledWrongs(s, evs))
}

func TestPlayerWhoGoesBackIsFollowed(t *testing.T) {
	s := scoreOf(t, "4/4", ledTune, "low-high-middle-high")
	evs := exact(s).events()
	var twice []event.Event
	cut := 12 * beat // three bars, then from the start
	for _, ev := range evs {
		if ev.At < cut {
			twice = append(twice, ev)
		}
	}
	for _, ev := range evs {
		ev.At += cut + 2*beat
		twice = append(twice, ev)
	}
	wrong := ledWrongs(s, twice)
	assert.LessOrEqual(t, len(wrong), 2, wrong)
}

func TestOtherMusicIsLostAndToldOnce(t *testing.T) {
	s := scoreOf(t, "4/4", ledTune, "two-beat")
	p := exact(s)
	for i := range p.notes {
		if p.notes[i].bar > 2 {
			p.notes[i].key = 49 + pitch.Num(i*i*7%31)
			p.notes[i].at += time.Duration(i*i*37%311) * time.Millisecond
		}
	}
	lost := 0
	found, _ := runLed(s, p.events(), rules.Steady)
	for i := range found {
		if found[i].Kind == finding.Lost {
			lost++
		}
	}
	assert.GreaterOrEqual(t, lost, 1)
	assert.LessOrEqual(t, lost, 3)
}

// TestLedAccuracy is TestAccuracy for a player who leads with a tempo of his own:
// mistakes in notes among faultless ones. Strokes out of time are planted too,
// which nobody should be told of.
func TestLedAccuracy(t *testing.T) {
	skipShort(t)
	human, err := performer.Human("steady")
	require.NoError(t, err)
	human.TempoWalk = 0.02
	acc := newAccuracy()
	everyPattern(t, func(p *pattern.Pattern, m meter.Meter) {
		for seed := uint64(1); seed <= uint64(*seedsFlag); seed++ {
			for class := pitch.Class(0); class < 12; class += 3 {
				s := accuracyScore(t, p, m, pitch.KeyAt(class, false), accuracyTempi[(int(class)/3+int(seed))%3])
				for n, kind := range append(mistakes.NoteKinds(), mistakes.Early, mistakes.Late) {
					perf, err := mistakes.Play(s, human, mistakes.Random([]mistakes.Kind{kind}, 0.1), seed*1000+uint64(class)*20+uint64(n))
					require.NoError(t, err)
					found, e := runLed(s, perf.Events, levelOf(class))
					acc.compare(s, perf, found, voiceOf(e), fmt.Sprintf("seed %d, %s in %s at %g, %s", seed, p.Name, s.Key, s.Tempo, kind))
				}
			}
		}
	})
	t.Logf("\n%s", acc)
	acc.tell("led")
	acc.logFailed(t)
	for _, kind := range []string{"extra", "missing", "wrong-note", "wrong-bass", "wrong-chord"} {
		r := acc.rows[kind]
		assert.GreaterOrEqual(t, ratio(r.true, r.told), 0.95, "precision of "+kind)
	}
}

func TestOneHandLeads(t *testing.T) {
	s := scoreOf(t, "4/4", ledTune, "two-beat")
	s.Only = score.RightAlone
	p := exact(s).keys(right, 4, 2, 59, 62, 67).keys(right, 6, 4)
	want := []string{
		"right wrong-chord: bar 4, beat 2: G/B, wanted C - keep G, up to C and E", "right missing: bar 6, beat 4: no chord - strike F",
	}
	assert.Equal(t, want, ledWrongs(s, p.events()), "with the left hand's part")
	alone := exact(s).keys(right, 4, 2, 59, 62, 67).keys(right, 6, 4)
	for i := range alone.notes {
		if alone.notes[i].hand == left {
			alone.notes[i].velocity = 0
		}
	}
	assert.Equal(t, want, ledWrongs(s, alone.events()), "without it")
}
