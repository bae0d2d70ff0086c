package cause

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

const sixteen = "| C | F | G7 | C | Am | Dm | G7 | C | F | C | D7 | G | C | F | G7 | C |"

// leading is how a player who leads is listened to.
var leading = Options{Options: engine.Options{Led: true}, Patient: true}

// slowly is a take that slows down more and more, and begins after three seconds.
func slowly(p *sounding.Take) []event.Event {
	evs := p.Events()
	for i := range evs {
		x := evs[i].At.Seconds()
		evs[i].At = time.Duration((3 + x*1.1 + 0.002*x*x) * float64(time.Second))
	}
	return evs
}

// rearranged is an exact take of bars in an order, each a list of bars, with a pause
// of so many beats of 500 ms between the lists.
func rearranged(s *score.Score, beats float64, lists ...[]int) *sounding.Take {
	whole := sounding.Exact(s)
	var p sounding.Take
	at := time.Duration(0)
	for n, list := range lists {
		if n > 0 {
			at += time.Duration(beats * float64(500*time.Millisecond))
		}
		for _, bar := range list {
			begins := s.Time(s.Bars[bar-1].At)
			for _, note := range whole.Notes {
				if note.Bar == bar {
					note.At, note.Till = note.At-begins+at, note.Till-begins+at
					p.Notes = append(p.Notes, note)
				}
			}
			at += s.Time(s.Bars[bar-1].Len)
		}
	}
	return &p
}

func bars(from, to int) (all []int) {
	for bar := from; bar <= to; bar++ {
		all = append(all, bar)
	}
	return all
}

func TestWhoLeadsInAnotherKey(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", sixteen, "two-beat")
	for name, c := range map[string]struct {
		up, first, last int
	}{
		"a fifth up from the beginning": {7, 1, 16},
		"a half step down":              {-1, 1, 16},
		"a third up from bar 6":         {4, 6, 16},
		"a whole step up for ten bars":  {2, 1, 10},
	} {
		p := bent(s, c.first, c.last, func(n *sounding.Note) { n.Key += pitch.Num(c.up) })
		h, j := played(s, slowly(p), leading, 0)
		require.Len(t, h.causes, 1, name)
		assert.Equal(t, finding.OtherKey, h.causes[0].Kind, name)
		assert.Equal(t, c.up, h.causes[0].Semitones+12*h.causes[0].Octaves, name)
		assert.Equal(t, c.first, h.causes[0].Bar, name)
		assert.Empty(t, wrongs(h.found), name)
		sum := j.Summary()
		assert.Equal(t, len(s.Wants), sum.Count(finding.Right), name)
		assert.Equal(t, c.last, sum.Causes[0].ToBar, name)
	}
}

func TestWhoLeadsIsSilentInAHand(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", sixteen, "two-beat")
	p := sounding.Exact(s)
	p.Notes = slices.DeleteFunc(p.Notes, func(n sounding.Note) bool { return n.Hand == pattern.Left && n.Bar >= 3 && n.Bar <= 10 })
	p.Keys(pattern.Right, 6, 2)
	h, j := played(s, slowly(p), leading, 0)
	require.Len(t, h.causes, 1)
	assert.Equal(t, finding.Silent, h.causes[0].Kind)
	assert.Equal(t, finding.LeftHand, h.causes[0].Hand)
	assert.Equal(t, 3, h.causes[0].Bar)
	if left := wrongs(h.found); assert.Len(t, left, 1) {
		assert.Equal(t, finding.Missing, left[0].Kind)
		assert.Equal(t, finding.RightHand, left[0].Part, "the mistake besides")
		assert.Equal(t, 5, left[0].Bar)
	}
	sum := j.Summary()
	assert.Equal(t, 64-16-1, sum.Count(finding.Right), "from bar 11 on the left hand is heard again")
}

func TestWhoLeadsGoesElsewhere(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", sixteen, "two-beat")
	for name, c := range map[string]struct {
		played *sounding.Take
		want   finding.Cause
	}{
		"back two bars after a pause": {
			rearranged(s, 3, bars(1, 6), bars(5, 16)), finding.Cause{Kind: finding.Restarted, Bar: 6, ToBar: 5, Pause: 2 * time.Second},
		},
		"back to the beginning": {
			rearranged(s, 2, bars(1, 7), bars(1, 16)), finding.Cause{Kind: finding.Restarted, Bar: 7, ToBar: 1, Pause: 1500 * time.Millisecond},
		},
		"a bar left out":      {rearranged(s, 0, bars(1, 4), bars(6, 16)), finding.Cause{Kind: finding.Skipped, Bar: 5, ToBar: 5}},
		"three bars left out": {rearranged(s, 0, bars(1, 4), bars(8, 16)), finding.Cause{Kind: finding.Skipped, Bar: 5, ToBar: 7}},
	} {
		h, _ := played(s, c.played.Events(), leading, 0)
		if !assert.Len(t, h.causes, 1, name) {
			continue
		}
		got := h.causes[0]
		assert.InDelta(t, c.want.Pause.Seconds(), got.Pause.Seconds(), 0.01, name)
		assert.Equal(t, c.want, finding.Cause{Kind: got.Kind, Bar: got.Bar, ToBar: got.ToBar, Pause: c.want.Pause}, name)
		assert.Empty(t, wrongs(h.found), name)
	}
}

// The tempo of who leads is free; where it is steadily another, that is told, and hides
// nothing.
func TestWhoLeadsAtAnotherTempo(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", sixteen, "two-beat")
	p := sounding.Exact(s).Keys(pattern.Left, 10, 1, 50)
	evs := p.Events()
	for i := range evs {
		evs[i].At = evs[i].At * 4 / 3
	}
	h, _ := played(s, evs, leading, 0)
	if assert.Len(t, h.causes, 1) {
		assert.Equal(t, finding.HalfTempo, h.causes[0].Kind)
		assert.InDelta(t, 0.75, h.causes[0].Ratio, 0.01)
		assert.Equal(t, 1, h.causes[0].Bar)
	}
	if left := wrongs(h.found); assert.Len(t, left, 1) {
		assert.Equal(t, finding.WrongBass, left[0].Kind)
	}

	free := *s
	free.Untimed = true
	h, _ = played(&free, evs, leading, 0)
	assert.Empty(t, h.causes, "no tempo was asked for")
	h, _ = played(s, slowly(sounding.Exact(s)), leading, 0)
	assert.Empty(t, h.causes, "not steady")
}

func TestWhoLeadsAPedalThatIsStuck(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "block-whole")
	evs := append(sounding.Exact(s).Events(), event.Event{At: 3100 * time.Millisecond, Status: event.ControlChange, Data1: event.Damper, Data2: 127})
	slices.SortStableFunc(evs, func(a, b event.Event) int { return int(a.At - b.At) })
	h, j := played(s, evs, leading, 0)
	if assert.Len(t, h.causes, 1) {
		assert.Equal(t, finding.StuckPedal, h.causes[0].Kind)
		assert.Equal(t, 2, h.causes[0].Bar)
	}
	assert.Empty(t, wrongs(h.found))
	assert.Equal(t, 8, j.Summary().Causes[0].ToBar)
}

// In a recording without a key; while playing, only after a while, once, and not where
// something was played before.
func TestWhoLeadsPlaysNothingAtAll(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	h, _ := played(s, nil, leading, 0)
	if assert.Len(t, h.causes, 1) {
		c := h.causes[0]
		assert.Equal(t, finding.Cause{Kind: finding.Silent, Bar: 1, ToBar: 8, Hand: finding.BothHands}, c)
	}
	for heard, want := range map[bool]int{false: 1, true: 0} {
		j := New(s, Options{Options: engine.Options{Level: rules.Steady, Led: true, Start: 5 * time.Second}, Heard: heard})
		var causes []finding.Cause
		for now := time.Duration(0); now < time.Minute; now += 100 * time.Millisecond {
			assert.Empty(t, j.Tick(now))
			if causes = append(causes, j.Causes()...); len(causes) > 0 {
				assert.GreaterOrEqual(t, now, 25*time.Second)
			}
		}
		assert.Len(t, causes, want)
	}
}

// Who sings is told of what breaks the flow, and of no causes.
func TestWhoSingsHearsNoCauses(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", sixteen, "two-beat")
	h, _ := played(s, rearranged(s, 3, bars(1, 6), bars(5, 16)).Events(), Options{Options: engine.Options{Led: true, Sung: true}}, 0)
	assert.Empty(t, h.causes)
	assert.True(t, slices.ContainsFunc(h.found, func(f finding.Finding) bool { return f.Kind == finding.WentBack }))
}

// The same is found however often time is let pass.
func TestTicksChangeNothingWhereThePlayerLeads(t *testing.T) {
	s := sounding.ScoreOf(t, "3/4", sixteen, "waltz")
	p := rearranged(s, 2, bars(1, 9), bars(8, 16))
	for i := range p.Notes {
		p.Notes[i].Key += 3
	}
	want, _ := played(s, slowly(p), leading, 0)
	assert.Len(t, want.causes, 2)
	for _, ticks := range []time.Duration{7 * time.Millisecond, 100 * time.Millisecond, 3 * time.Second} {
		got, _ := played(s, slowly(p), leading, ticks)
		assert.Equal(t, want, got, ticks.String())
	}
}

// Who goes on in the same bar, or in the next, has left nothing out.
func TestALeapAheadWithinABarIsNone(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", sixteen, "two-beat")
	for name, c := range map[string]struct {
		left, to int // moments, four a bar
		want     finding.Cause
	}{
		"in the first bar":          {0, 3, finding.Cause{}},
		"to the next":               {0, 4, finding.Cause{}},
		"to the end of the next":    {0, 7, finding.Cause{}},
		"over a bar":                {0, 8, finding.Cause{Kind: finding.Skipped, Bar: 2, ToBar: 2}},
		"over two, into a bar":      {3, 14, finding.Cause{Kind: finding.Skipped, Bar: 2, ToBar: 3}},
		"back to the same bar":      {6, 4, finding.Cause{Kind: finding.Restarted, Bar: 2, ToBar: 2}},
		"back to the one before":    {6, 0, finding.Cause{Kind: finding.Restarted, Bar: 2, ToBar: 1}},
		"the same once more":        {6, 6, finding.Cause{Kind: finding.Restarted, Bar: 2, ToBar: 2}},
		"from the last to the next": {62, 63, finding.Cause{}},
	} {
		j := New(s, leading)
		j.tellLeap(&leap{route: route{left: int32(c.left), to: int32(c.to)}})
		told := j.Causes()
		if c.want.Kind == finding.NoCause {
			assert.Empty(t, told, name)
			continue
		}
		if assert.Len(t, told, 1, name) {
			assert.Equal(t, c.want, finding.Cause{Kind: told[0].Kind, Bar: told[0].Bar, ToBar: told[0].ToBar}, name)
		}
	}
}

// The place and the tempo are known where all is played in another key, round and round.
func TestWhereWhoLeadsInAnotherKeyIs(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	o := leading
	o.Loop = true
	j := New(s, o)
	assert.Equal(t, -1, j.Position(0).Pass, "before the first key")
	for pass := range 3 {
		for _, n := range sounding.Exact(s).Notes {
			begins := time.Duration(pass)*s.Time(s.Length) + n.At
			key := uint8(n.Key)
			if pass > 0 {
				key += 4
			}
			j.Feed(event.On(2*begins, key, 70))
			if p := j.Position(2 * begins); pass > 1 || n.Bar < 6 && pass == 0 {
				assert.Equal(t, []int{pass, n.Bar - 1}, []int{p.Pass, p.Bar}, "pass %d, bar %d", pass, n.Bar)
			}
		}
	}
	require.Len(t, j.all, 2)
	assert.InDelta(t, 60, float64(j.Tempo()), 1)
}

// What fits in the stretch in doubt and leaves the piano elsewhere is no reading.
func TestWhoLeadsStaysOnThePiano(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", sixteen, "two-beat")
	evs := slowly(bent(s, 4, 16, func(n *sounding.Note) { n.Key += 5 }))
	h, _ := played(s, evs, leading, 0)
	require.Len(t, h.causes, 1)
	for name, want := range map[string]int{"the last chord": len(s.Wants) - 1, "the first, which is over": 1} {
		high := *s
		high.Wants = slices.Clone(s.Wants)
		w := &high.Wants[want]
		w.Tones = slices.Clone(w.Tones)
		w.Tones[len(w.Tones)-1].Key = pitch.PianoHigh
		h, _ := played(&high, evs, leading, 0)
		for _, c := range h.causes {
			assert.False(t, c.Kind == finding.OtherKey && c.Semitones == 5, name)
		}
	}
}

// Whatever is struck, round and round or not: nothing breaks, and every place that is told
// is one of the score's.
func TestKeysByChanceOfWhoLeads(t *testing.T) {
	seeds := uint64(12)
	if testing.Short() {
		seeds = 3
	}
	for seed := range seeds {
		r := rand.New(rand.NewPCG(seed, 7))
		s := wanted(t, r)
		o := leading
		o.Level, o.Loop, o.Patient = rules.Steady, seed%2 == 0, seed%3 == 0
		j := New(s, o)
		whole := sounding.Exact(s).Events()
		var found []finding.Finding
		now := time.Duration(0)
		for range 12 { // a stretch of the score in some key, from somewhere, or keys by chance
			from, up, chance := r.IntN(len(whole)), uint8(r.IntN(12)), r.IntN(3) == 0
			for _, ev := range whole[from:min(len(whole), from+20+r.IntN(60))] {
				ev.At = now
				now += time.Duration(r.IntN(400)) * time.Millisecond
				if ev.Data1 = min(ev.Data1+up, 108); chance {
					ev.Data1 = uint8(21 + r.IntN(88))
				}
				found = append(found, j.Feed(ev)...)
				found = append(found, j.Tick(now)...)
			}
		}
		found = append(found, j.Finish(now)...)
		for i := range found {
			assert.Less(t, found[i].Bar, len(s.Bars))
			assert.Less(t, found[i].Want, len(s.Wants))
			assert.GreaterOrEqual(t, found[i].Pass, 0)
		}
		for _, c := range j.Summary().Causes {
			assert.True(t, slices.ContainsFunc(s.Bars, func(b score.Bar) bool { return b.Number == c.Bar }), "%+v", c)
			assert.True(t, slices.ContainsFunc(s.Bars, func(b score.Bar) bool { return b.Number == c.ToBar }), "%+v", c)
		}
	}
}
