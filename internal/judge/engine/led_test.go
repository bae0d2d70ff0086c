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
	"undersong/internal/test/sounding"
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
	s := sounding.ScoreOf(t, "4/4", ledTune, "two-beat")
	slower := func(evs []event.Event) []event.Event {
		for i := range evs {
			x := evs[i].At.Seconds()
			evs[i].At = time.Duration((3 + x*1.2 + 0.01*x*x) * float64(time.Second))
		}
		return evs
	}
	assert.Empty(t, ledWrongs(s, slower(sounding.Exact(s).Events())), "slower and slower is no mistake")

	p := sounding.Exact(s).Keys(left, 3, 1, 48).Keys(right, 4, 4)
	assert.Equal(t, []string{
		"left wrong-bass: bar 3, beat 1: bass C, this is G7 - go down to G", "right missing: bar 4, beat 4: no chord - strike C",
	}, ledWrongs(s, slower(p.Events())))

	found, _ := runLed(s, slower(sounding.Exact(s).Events()), rules.Steady)
	assert.Len(t, found, len(s.Wants))
}

func TestTheTempo(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", ledTune, "two-beat")
	evs := sounding.Exact(s).Events()
	for i := range evs {
		evs[i].At = evs[i].At * 5 / 4
	}
	_, clicked := run(s, evs, rules.Steady)
	assert.Equal(t, meter.Tempo(120), clicked.Tempo(), "the click's")
	assert.Equal(t, meter.Tempo(120), New(s, Options{Led: true}).Tempo(), "before the player begins")
	_, led := runLed(s, evs, rules.Steady)
	assert.InDelta(t, 96, float64(led.Tempo()), 1, "the player's own")
}

// One stroke out of time is neither one too many nor one left out, and of chords
// that are all alike the one that never came is known by its time.
func TestPlayerWhoLeadsAndSlips(t *testing.T) {
	for _, row := range []struct {
		bar, stroke int
		late        time.Duration
	}{{3, 2, -180 * time.Millisecond}, {3, 4, 170 * time.Millisecond}, {5, 3, -170 * time.Millisecond}} {
		s := sounding.ScoreOf(t, "4/4", ledTune, "two-beat")
		p := sounding.Exact(s)
		for i := range p.Notes {
			if n := &p.Notes[i]; n.Bar == row.bar && n.Beat == float64(row.stroke) {
				n.At += row.late
			}
		}
		assert.Empty(t, ledWrongs(s, p.Events()), "bar %d, beat %d by %s", row.bar, row.stroke, row.late)
	}
	for beat := 2.0; beat <= 4; beat++ {
		s := sounding.ScoreOf(t, "4/4", ledTune, "driving-quarters")
		assert.Equal(t, []string{fmt.Sprintf("right missing: bar 4, beat %g: no chord - strike C", beat)},
			ledWrongs(s, sounding.Exact(s).Keys(right, 4, beat).Events()))
	}
}

func TestPlayerWhoPausesIsWaitedFor(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", ledTune, "two-beat")
	evs := sounding.Exact(s).Events()
	for i := range evs {
		if evs[i].At >= 9*beat {
			evs[i].At += 40 * time.Second
		}
	}
	assert.Empty(t, ledWrongs(s, evs))
}

func TestPlayerWhoGoesBackIsFollowed(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", ledTune, "low-high-middle-high")
	evs := sounding.Exact(s).Events()
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
	s := sounding.ScoreOf(t, "4/4", ledTune, "two-beat")
	p := sounding.Exact(s)
	for i := range p.Notes {
		if p.Notes[i].Bar > 2 {
			p.Notes[i].Key = 49 + pitch.Num(i*i*7%31)
			p.Notes[i].At += time.Duration(i*i*37%311) * time.Millisecond
		}
	}
	lost := 0
	found, _ := runLed(s, p.Events(), rules.Steady)
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
	s := sounding.ScoreOf(t, "4/4", ledTune, "two-beat")
	s.Only = score.RightAlone
	p := sounding.Exact(s).Keys(right, 4, 2, 59, 62, 67).Keys(right, 6, 4)
	want := []string{
		"right wrong-chord: bar 4, beat 2: G/B, wanted C - keep G, up to C and E", "right missing: bar 6, beat 4: no chord - strike F",
	}
	assert.Equal(t, want, ledWrongs(s, p.Events()), "with the left hand's part")
	alone := sounding.Exact(s).Keys(right, 4, 2, 59, 62, 67).Keys(right, 6, 4)
	for i := range alone.Notes {
		if alone.Notes[i].Hand == left {
			alone.Notes[i].Velocity = 0
		}
	}
	assert.Equal(t, want, ledWrongs(s, alone.Events()), "without it")
}
