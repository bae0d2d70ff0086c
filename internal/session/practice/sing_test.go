package practice

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/test/reduced"
)

// sung is a tune of 16 bars with words, in 4/4 at 120.
const sung = `title: Aura Lee
key: C
meter: 4/4
tempo: 120

| C | F | G7 | C |
w: | one | two | three | four |
| Am | Dm | E7 | Am |
w: | five | six | seven | eight |
| F | C | D7 | G |
w: | nine | ten | eleven | twelve |
| C | A7 | Dm G7 | C |
w: | thirteen | fourteen | fifteen | sixteen |
`

func singing(o *Options) { led(o); o.Heading.Sing = true }

// broken is a performance with one thing that broke it, and where playing went on.
type broken struct {
	name   string
	events []event.Event
	kind   finding.Kind  // that is to be told
	bar    int           // in which the playing broke, as an index
	to     int           // in which it went on
	on     time.Duration // when it did
	inner  bool          // a wrong inner note came before
}

// slipped plays the tune with a wrong inner note in a bar, where its chord has three.
func slipped(t *testing.T, s *score.Score, bar int, player string, seed uint64) (take *performer.Take, inner bool) {
	h, err := performer.Human(player)
	require.NoError(t, err)
	h.TempoWalk, h.Pedal, h.Drift, h.LeaveOut, h.Revoice = 0.01, performer.NoPedal, 0, 0, 0
	take = performer.NewTake(s, h, performer.Course{}, seed)
	for i := range take.Strokes {
		if st := &take.Strokes[i]; s.Wants[i].Bar == bar && len(st.Keys) == 3 {
			keys := slices.Clone(st.Keys)
			keys[1]++ // the middle one, a half step off
			st.Set(keys)
			return take, true
		}
	}
	return take, false
}

// halted stops the playing before a bar for a time: what sounded ends as it was to.
func halted(t *testing.T, s *score.Score, bar int, wait time.Duration, player string, seed uint64, kind finding.Kind) broken {
	take, inner := slipped(t, s, bar-3, player, seed)
	events := take.Play().Events
	cut := s.Time(s.Bars[bar].At) - 100*time.Millisecond
	shifted := map[uint8]bool{}
	for i := range events {
		e := &events[i]
		if e.IsNoteOn() {
			shifted[e.Data1] = e.At >= cut
		}
		if shifted[e.Data1] {
			e.At += wait
		}
	}
	slices.SortStableFunc(events, func(a, b event.Event) int { return int(a.At - b.At) })
	return broken{fmt.Sprintf("%s before bar %d, seed %d", kind, bar+1, seed), events, kind, bar - 1, bar, cut + wait, inner}
}

// turned goes back from the middle of a bar to the bar before.
func turned(t *testing.T, s *score.Score, bar int, wait time.Duration, player string, seed uint64) broken {
	take, inner := slipped(t, s, bar-3, player, seed)
	n := take.Break(performer.Break{At: s.Bars[bar].At + s.Meter.Bar()/2, To: s.Bars[bar-1].At, Gap: wait})
	on, reached := take.GoesOn(n)
	require.True(t, reached)
	return broken{fmt.Sprintf("%s from bar %d, seed %d", finding.WentBack, bar+1, seed), take.Play().Events, finding.WentBack, bar, bar - 1, on, inner}
}

// breakages are stops, restarts and beats too many, at many places, by human players.
func breakages(t *testing.T, s *score.Score) (all []broken) {
	for i, player := range []string{"steady", "fluent", "beginner"} {
		for bar := 3; bar < 15; bar++ {
			seed := uint64(16*i + bar)
			all = append(all,
				halted(t, s, bar, time.Duration(2+bar%4)*time.Second, player, seed, finding.Stopped),
				halted(t, s, bar, 500*time.Millisecond, player, seed, finding.LostBeat),
				turned(t, s, bar, time.Duration(bar%3)*time.Second, player, seed))
		}
	}
	return all
}

// told are the kinds of what was told, but for what was right and for small things, in
// order.
func (b *bench) told() (kinds []string) {
	for _, l := range b.lines() {
		if l["type"] == "finding" && l["kind"] != "right" {
			kinds = append(kinds, l["kind"].(string))
		}
	}
	return kinds
}

// Over a hundred stops, restarts and lost beats, each with a wrong inner note before it:
// what broke the flow is told, and first; and the words and the chord of the place are
// on the screen again within a bar.
func TestASingerIsAccompanied(t *testing.T) {
	first := newBench(t, sung, singing)
	all := breakages(t, first.score)
	require.GreaterOrEqual(t, len(all), 100)
	told, inOrder, slips, inner, back, breaks := 0, 0, 0, 0, 0, 0
	for _, c := range all {
		b := newBench(t, sung, singing)
		b.playFrom(0, c.events, c.on+bar)
		b.pass(c.on + bar)
		if onScreen(b, c.to) {
			back++
		} else {
			t.Logf("%s: the screen shows bar %d", c.name, b.bar())
		}
		b.playFrom(0, since(c.events, c.on+bar), time.Hour).pass(time.Hour)
		kinds := b.told()
		breaks += flowBroke(kinds)
		n, w := slices.Index(kinds, c.kind.String()), slices.IndexFunc(kinds, func(k string) bool { return k == "wrong-note" || k == "wrong-inversion" })
		if n >= 0 {
			told++
		} else {
			t.Logf("%s: told %v", c.name, kinds)
		}
		if c.inner {
			slips++
		}
		if c.inner && w >= 0 {
			inner++
		}
		if n >= 0 && (w < 0 || n < w) {
			inOrder++
		}
	}
	t.Logf("%d broken performances: told %d, before the inner notes %d; of %d inner notes told %d; on the screen within a bar %d", len(all), told, inOrder, slips, inner, back)
	reduced.Row("stops, restarts and lost beats: told of what was planned", float64(told), float64(len(all)))
	reduced.Row("stops, restarts and lost beats: right of what was told", float64(told), float64(breaks))
	assert.GreaterOrEqual(t, float64(told), 0.95*float64(len(all)))
	assert.Equal(t, told, inOrder)
	assert.GreaterOrEqual(t, float64(inner), 0.9*float64(slips))
	assert.GreaterOrEqual(t, float64(back), 0.95*float64(len(all)))
}

// flowBroke counts what was told of the flow.
func flowBroke(kinds []string) (n int) {
	for _, k := range kinds {
		if k == "stopped" || k == "went-back" || k == "lost-beat" {
			n++
		}
	}
	return n
}

// onScreen reports that words and chord of a bar, or of the next, are shown.
func onScreen(b *bench, bar int) bool {
	st := b.s.State()
	n := st.Where.Bar
	if st.Where.Phase != sitting.Playing || n < bar || n > bar+1 {
		return false
	}
	view := b.s.view()
	words := view.Bars[view.Current].Lyric
	return words == b.s.State().Piece.Bars[n].Lyrics[0] && words != "" && view.Wanted != ""
}

// A faultless accompanist is told nothing, nor one who waits on a held or a repeated
// chord.
func TestASingerIsWaitedFor(t *testing.T) {
	first := newBench(t, sung, singing)
	one := exact(t, first.score, mistakes.Plan{})
	const until = 4 * bar // the last chord of bar 4 is struck a beat before, and held
	held := slices.Clone(one)
	for i := range held {
		if held[i].At >= until-150*time.Millisecond {
			held[i].At += 6 * time.Second
		}
	}
	var vamped []event.Event // bar 4 three times
	for n := range 3 {
		for _, e := range one {
			switch in := e.At >= until-bar-5*time.Millisecond && e.At < until-5*time.Millisecond; {
			case in, n == 0 && e.At < until, n == 2 && e.At >= until-5*time.Millisecond:
				e.At += time.Duration(n) * bar
				vamped = append(vamped, e)
			}
		}
	}
	slices.SortStableFunc(vamped, func(a, b event.Event) int { return int(a.At - b.At) })
	for name, events := range map[string][]event.Event{"faultless": one, "a third slower": slower(one), "a held chord": held, "a vamp": vamped} {
		b := newBench(t, sung, singing)
		b.playFrom(time.Second, events, time.Hour).pass(time.Hour)
		assert.Empty(t, b.told(), name)
	}
}

// Human players who neither stop nor go back are told of nothing of the kind, however
// freely they play.
func TestFreePlayingFlows(t *testing.T) {
	first := newBench(t, sung, singing)
	played, flow := 0, 0
	for i, player := range []string{"steady", "fluent", "beginner"} {
		h, err := performer.Human(player)
		require.NoError(t, err)
		for n := range 20 {
			h.TempoWalk, h.Rubato = 0.02, []float64{0, 0.15}[n%2]
			b := newBench(t, sung, singing)
			b.playFrom(0, performer.Play(first.score, h, performer.Course{}, uint64(20*i+n)).Events, time.Hour).pass(time.Hour)
			played++
			if kinds := b.told(); assert.Zero(t, flowBroke(kinds), "%s, %d: %v", player, n, kinds) {
				flow++
			}
		}
	}
	reduced.Row("free playing: nothing told of its flow", float64(flow), float64(played))
}
