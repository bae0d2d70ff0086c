package cause

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

const eight = "| C | F | G7 | C | Am | F | G7 | C |"

// played judges a take, tick by tick where ticks is not 0.
func played(s *score.Score, evs []event.Event, o Options, ticks time.Duration) (heard, *Judge) {
	o.Level = rules.Steady
	j := New(s, o)
	var h heard
	now, last := time.Duration(0), time.Duration(0)
	for _, ev := range evs {
		for ; ticks > 0 && now < ev.At; now += ticks {
			h.found = append(h.found, j.Tick(now)...)
			h.causes = append(h.causes, j.Causes()...)
		}
		h.found = append(h.found, j.Feed(ev)...)
		h.causes = append(h.causes, j.Causes()...)
		last = ev.At
	}
	h.found = append(h.found, j.Finish(last)...)
	h.causes = append(h.causes, j.Causes()...)
	return h, j
}

// bent is an exact take with the keys of some bars moved.
func bent(s *score.Score, first, last int, by func(n *sounding.Note)) *sounding.Take {
	p := sounding.Exact(s)
	for i := range p.Notes {
		if n := &p.Notes[i]; n.Bar >= first && n.Bar <= last {
			by(n)
		}
	}
	return p
}

func wrongs(found []finding.Finding) (all []finding.Finding) {
	for _, f := range found {
		if f.Kind != finding.Right {
			all = append(all, f)
		}
	}
	return all
}

func TestAFifthUpIsOneCause(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	p := bent(s, 1, 8, func(n *sounding.Note) { n.Key += 7 })
	p.Each(pattern.Left, 6, 1, func(n *sounding.Note) { n.Key += 2 })
	h, j := played(s, p.Events(), Options{}, 0)
	if assert.Len(t, h.causes, 1) {
		c := h.causes[0]
		assert.Equal(t, finding.OtherKey, c.Kind)
		assert.Equal(t, 7, c.Semitones+12*c.Octaves)
		assert.Equal(t, 1, c.Bar)
		assert.Less(t, c.At, 16*500*time.Millisecond, "within four bars")
	}
	if left := wrongs(h.found); assert.Len(t, left, 1) {
		assert.Equal(t, finding.WrongBass, left[0].Kind, "the mistake besides")
		assert.Equal(t, 5, left[0].Bar)
		assert.Equal(t, 7, left[0].Up)
	}
	sum := j.Summary()
	assert.Equal(t, 31, sum.Count(finding.Right))
	assert.Equal(t, 1, sum.Wrong())
	assert.Equal(t, 8, sum.Causes[0].ToBar)
}

// A key that is left again is not told once more, and what follows is right.
func TestACauseIsTakenBack(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight+eight, "two-beat")
	h, j := played(s, bent(s, 1, 8, func(n *sounding.Note) { n.Key += 2 }).Events(), Options{Options: engine.Options{}, Patient: true}, 0)
	assert.Len(t, h.causes, 1)
	assert.Empty(t, wrongs(h.found))
	sum := j.Summary()
	assert.Equal(t, 64, sum.Count(finding.Right))
	assert.Equal(t, 8, sum.Causes[0].ToBar)
}

func TestAMistakeAmongRightStrokesIsToldAtOnce(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	evs := bent(s, 3, 3, func(n *sounding.Note) {
		if n.Hand == pattern.Left && n.Beat == 1 {
			n.Key += 2
		}
	}).Events()
	plain := engine.New(s, engine.Options{Level: rules.Steady})
	j := New(s, Options{Options: engine.Options{Level: rules.Steady}})
	for _, ev := range evs {
		assert.Equal(t, append([]finding.Finding{}, plain.Feed(ev)...), append([]finding.Finding{}, j.Feed(ev)...))
	}
	assert.Equal(t, plain.Summary(), j.Summary())
}

// The same is found however often time is let pass.
func TestTicksChangeNothing(t *testing.T) {
	s := sounding.ScoreOf(t, "3/4", eight, "waltz")
	evs := bent(s, 3, 8, func(n *sounding.Note) { n.Key += 3 }).Events()
	want, _ := played(s, evs, Options{}, 0)
	assert.Len(t, want.causes, 1)
	for _, ticks := range []time.Duration{7 * time.Millisecond, 100 * time.Millisecond, 3 * time.Second} {
		got, _ := played(s, evs, Options{}, ticks)
		assert.Equal(t, want, got, ticks.String())
	}
}

// Round and round, the second time in another key.
func TestACauseInALoop(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F | G7 | C |", "two-beat")
	p := sounding.Exact(s)
	for _, n := range append([]sounding.Note(nil), p.Notes...) {
		length := s.Time(s.Length)
		n.At, n.Till, n.Key = n.At+length, n.Till+length, n.Key+4
		p.Notes = append(p.Notes, n)
	}
	h, _ := played(s, p.Events(), Options{Options: engine.Options{Loop: true}, Patient: true}, 0)
	if assert.Len(t, h.causes, 1) {
		assert.Equal(t, 4, h.causes[0].Semitones)
		assert.Equal(t, 1, h.causes[0].Pass)
		assert.Equal(t, 1, h.causes[0].Bar)
	}
	assert.Empty(t, wrongs(h.found))
}

// Every cause of time, from the beginning and from within.
func TestCausesOfTime(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight+eight, "two-beat")
	const beat, lead = 500 * time.Millisecond, 4 * time.Second
	for name, c := range map[string]struct {
		at   func(time.Duration) time.Duration // of what is at a time as it is written
		want finding.Cause
	}{
		"half as fast":      {func(t time.Duration) time.Duration { return 2 * t }, finding.Cause{Kind: finding.HalfTempo, Bar: 1, Ratio: 0.5}},
		"twice as fast":     {func(t time.Duration) time.Duration { return t / 2 }, finding.Cause{Kind: finding.DoubleTempo, Bar: 1, Ratio: 2}},
		"a beat early":      {func(t time.Duration) time.Duration { return t - beat }, finding.Cause{Kind: finding.EarlyStart, Bar: 1, Beats: -1}},
		"2 beats late":      {func(t time.Duration) time.Duration { return t + 2*beat }, finding.Cause{Kind: finding.LateStart, Bar: 1, Beats: 2}},
		"150 ms late":       {func(t time.Duration) time.Duration { return t + 150*time.Millisecond }, finding.Cause{Kind: finding.Delay, Bar: 1, Offset: 150 * time.Millisecond}},
		"a bit slower":      {func(t time.Duration) time.Duration { return t * 8 / 7 }, finding.Cause{Kind: finding.HalfTempo, Bar: 1, Ratio: 0.875}},
		"a bit faster":      {func(t time.Duration) time.Duration { return t * 8 / 9 }, finding.Cause{Kind: finding.DoubleTempo, Bar: 1, Ratio: 1.125}},
		"slower from bar 5": {func(t time.Duration) time.Duration { return t + max(0, t-16*beat)/2 }, finding.Cause{Kind: finding.HalfTempo, Bar: 5, Ratio: 0.667}},
	} {
		p := sounding.Exact(s)
		for i := range p.Notes {
			n := &p.Notes[i]
			n.At, n.Till = lead+c.at(n.At), lead+c.at(n.Till)
		}
		h, _ := played(s, p.Events(), Options{Options: engine.Options{Start: lead}, Patient: true}, 0)
		if !assert.Len(t, h.causes, 1, name) {
			continue
		}
		got := h.causes[0]
		assert.Equal(t, c.want.Kind, got.Kind, name)
		assert.Equal(t, c.want.Bar, got.Bar, name)
		assert.Equal(t, c.want.Beats, got.Beats, name)
		assert.InDelta(t, c.want.Ratio, got.Ratio, 0.01, name)
		assert.InDelta(t, c.want.Offset.Seconds(), got.Offset.Seconds(), 0.005, name)
		assert.Empty(t, wrongs(h.found), name)
	}
}

// leapt is an exact take that goes on from another place than is written, after a pause.
func leapt(s *score.Score, stop, to meter.Ticks, pause time.Duration) *sounding.Take {
	p := sounding.Exact(s)
	stopped := s.Time(stop)
	after := sounding.Exact(s).Notes
	p.Notes = slices.DeleteFunc(p.Notes, func(n sounding.Note) bool { return n.At >= stopped })
	for _, n := range after {
		if n.At < s.Time(to) {
			continue
		}
		by := stopped + pause - s.Time(to)
		n.At, n.Till = n.At+by, n.Till+by
		p.Notes = append(p.Notes, n)
	}
	return p
}

// Who goes back, or leaves bars out, while the click goes on.
func TestLeaps(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight+eight, "two-beat")
	const beat = 500 * time.Millisecond
	bar := 4 * meter.Quarter
	for name, c := range map[string]struct {
		stop, to meter.Ticks
		pause    time.Duration
		want     finding.Cause
	}{
		"stopped in bar 6, back to bar 5":       {5*bar + 2*meter.Quarter, 4 * bar, 2 * beat, finding.Cause{Kind: finding.Restarted, Bar: 6, ToBar: 5, Pause: 3 * beat}},
		"stopped in bar 6 and began it again":   {5*bar + 2*meter.Quarter, 5 * bar, 3 * beat, finding.Cause{Kind: finding.Restarted, Bar: 6, ToBar: 6, Pause: 4 * beat}},
		"bar 7 left out":                        {6 * bar, 7 * bar, 0, finding.Cause{Kind: finding.Skipped, Bar: 7, ToBar: 7}},
		"bars 4 to 6 left out":                  {3 * bar, 6 * bar, 0, finding.Cause{Kind: finding.Skipped, Bar: 4, ToBar: 6}},
		"stopped in bar 7 and played on, later": {6*bar + 2*meter.Quarter, 6*bar + 2*meter.Quarter, 2 * beat, finding.Cause{Kind: finding.LateStart, Bar: 7, Beats: 2}},
	} {
		h, j := played(s, leapt(s, c.stop, c.to, c.pause).Events(), Options{Patient: true}, 0)
		if !assert.Len(t, h.causes, 1, name) {
			continue
		}
		got := h.causes[0]
		assert.Equal(t, c.want.Kind, got.Kind, name)
		assert.Equal(t, c.want.Bar, got.Bar, name)
		assert.Equal(t, c.want.Beats, got.Beats, name)
		assert.InDelta(t, c.want.Pause.Seconds(), got.Pause.Seconds(), 0.005, name)
		if got.Kind.Leaps() {
			assert.Equal(t, c.want.ToBar, got.ToBar, name)
			assert.Equal(t, c.want.ToBar, j.Summary().Causes[0].ToBar, name)
		}
		assert.Empty(t, wrongs(h.found), name)
	}
}

func TestAHandThatIsSilent(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight+eight, "two-beat")
	p := sounding.Exact(s)
	p.Notes = slices.DeleteFunc(p.Notes, func(n sounding.Note) bool { return n.Hand == pattern.Left && n.Bar >= 3 && n.Bar <= 10 })
	h, j := played(s, p.Events(), Options{Patient: true}, 0)
	if assert.Len(t, h.causes, 1) {
		assert.Equal(t, finding.Silent, h.causes[0].Kind)
		assert.Equal(t, finding.LeftHand, h.causes[0].Hand)
		assert.Equal(t, 3, h.causes[0].Bar)
	}
	assert.Empty(t, wrongs(h.found))
	sum := j.Summary()
	assert.Equal(t, 64-16, sum.Count(finding.Right), "from bar 11 on the left hand is heard again")
	assert.GreaterOrEqual(t, sum.Causes[0].ToBar, 10)
}

// Nobody plays: that is told once, and after two bars only.
func TestNothingAtAll(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	j := New(s, Options{Options: engine.Options{Level: rules.Steady}})
	var causes []finding.Cause
	for now := time.Duration(0); now < 15*time.Second; now += 50 * time.Millisecond {
		assert.Empty(t, j.Tick(now))
		causes = append(causes, j.Causes()...)
	}
	if assert.Len(t, causes, 1) {
		assert.Equal(t, finding.Silent, causes[0].Kind)
		assert.Equal(t, finding.BothHands, causes[0].Hand)
		assert.InDelta(t, 4, causes[0].At.Seconds(), 1.5)
	}
}

func TestAPedalThatIsStuck(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "block-whole")
	evs := append(sounding.Exact(s).Events(), event.Event{At: 1100 * time.Millisecond, Status: event.ControlChange, Data1: event.Damper, Data2: 127})
	slices.SortStableFunc(evs, func(a, b event.Event) int { return int(a.At - b.At) })
	h, j := played(s, evs, Options{Patient: true}, 0)
	if assert.Len(t, h.causes, 1) {
		assert.Equal(t, finding.StuckPedal, h.causes[0].Kind)
		assert.Equal(t, 1, h.causes[0].Bar)
	}
	assert.Empty(t, wrongs(h.found))
	sum := j.Summary()
	assert.Equal(t, 8, sum.Causes[0].ToBar)

	lifted := slices.Clone(evs)
	lifted = append(lifted, event.Event{At: 5500 * time.Millisecond, Status: event.ControlChange, Data1: event.Damper})
	slices.SortStableFunc(lifted, func(a, b event.Event) int { return int(a.At - b.At) })
	h, _ = played(s, lifted, Options{Patient: true}, 0)
	assert.Empty(t, h.causes)
	assert.Len(t, wrongs(h.found), 2, "two harmonies that blurred")
}
