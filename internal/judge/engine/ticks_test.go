package engine

import (
	"maps"
	"math/rand/v2"
	"slices"
	"sort"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
	"undersong/patterns"
)

// formed is a tune with all that a chart can ask for.
const formed = `key: C
tempo: 132
upbeat: 1
[Verse]
(G7) |: C | F | G7 | C :|
m: G2 | c4 G2E2 | A4 c2A2 | G2F2 D2B,2 | C6 E2 |
[Chorus]
| Am F | Dm7 | G7 | C |
m: | e2e2 c2A2 | d6 c2 | B2A2 G2F2 | E4 z4 |
`

// forms are scores of every kind.
func forms(t testing.TB) map[string]*score.Score {
	t.Helper()
	cat, err := pattern.Load(patterns.Texts())
	require.NoError(t, err)
	find := func(name string) *pattern.Pattern {
		p, err := cat.Find(name)
		require.NoError(t, err)
		return p
	}
	c, err := chart.Parse([]byte(formed+"\n"), "a.chart")
	require.NoError(t, err)
	c.Fills = []chart.Fill{{Bars: []int{2}}}
	parts := score.Parts{
		Sections: []*pattern.Pattern{nil, find("driving-eighths")}, Intro: find("intro-round"), Fills: []*pattern.Pattern{find("fill-walk")},
		Turnaround: find("turnaround-dominant"), Ending: find("ending-cadence"),
	}
	flat, err := pitch.ParseKey("Eb")
	require.NoError(t, err)
	all := map[string]*score.Score{}
	build := func(name, main string, o score.Options) {
		s, err := score.Build(c, find(main), o)
		require.NoError(t, err, name)
		all[name] = s
	}
	build("plain", "two-beat", score.Options{})
	build("parts", "two-beat", score.Options{Parts: parts, Key: &flat})
	build("parts, the last bars", "two-beat", score.Options{Parts: parts, Span: score.Span{From: 8, To: 9}})
	build("parts, round", "two-beat", score.Options{Parts: parts, Round: true})
	build("parts, right hand", "arpeggio-wave", score.Options{Parts: parts, Only: score.RightAlone})
	build("tune", "tune-and-chords", score.Options{Parts: parts})
	build("rolled", "rolled-whole", score.Options{Key: &flat, Only: score.LeftAlone})
	return all
}

// listening is every way to listen.
var listening = []Options{
	{Level: rules.Steady}, {Level: rules.Strict, Loop: true},
	{Level: rules.Steady, Led: true}, {Level: rules.Gentle, Led: true, Loop: true},
}

// unruly is a performance with many mistakes, in which keys, pedals and messages of
// all channels fall by chance, many at one instant.
func unruly(t testing.TB, s *score.Score, seed uint64, share float64) []event.Event {
	t.Helper()
	human, err := performer.Human("beginner")
	require.NoError(t, err)
	p, err := mistakes.Play(s, human, mistakes.Random(slices.Concat(mistakes.NoteKinds(), mistakes.TimeKinds(), mistakes.FollowKinds()), 0.4), seed)
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(seed, 5))
	var all []event.Event
	for _, ev := range p.Events {
		ev.At = time.Duration(float64(ev.At) * share)
		all = append(all, ev)
		for r.IntN(12) == 0 {
			status := []uint8{event.NoteOn, event.NoteOn, event.NoteOff, event.ControlChange, 0xE0}[r.IntN(5)]
			extra := event.Event{At: ev.At, Status: status | uint8(r.IntN(16)), Data1: uint8(r.IntN(128)), Data2: uint8(r.IntN(128))}
			if status == event.ControlChange {
				extra.Data1 = []uint8{event.Damper, event.Sostenuto, event.SoftPedal, event.AllNotesOff}[r.IntN(4)]
			}
			if r.IntN(2) == 0 {
				extra.At += time.Duration(r.IntN(int(300 * time.Millisecond)))
			}
			all = append(all, extra)
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].At < all[j].At })
	for _, ev := range all { // and once more
		ev.At += s.Time(s.Length)
		all = append(all, ev)
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].At < all[j].At })
	return all
}

// told is all that an engine says; tick is how often time passes besides, 0 for
// never and less for by chance.
func told(s *score.Score, o Options, evs []event.Event, tick time.Duration) ([]finding.Finding, finding.Summary) {
	e := New(s, o)
	r := rand.New(rand.NewPCG(9, 9))
	next := func() time.Duration {
		if tick < 0 {
			return time.Duration(r.IntN(int(-tick)))
		}
		return tick
	}
	var all []finding.Finding
	now := time.Duration(0)
	pass := func(until time.Duration) {
		for ; tick != 0 && now < until; now += next() {
			all = append(all, e.Tick(now)...)
		}
		now = until
	}
	for _, ev := range evs {
		pass(ev.At)
		for _, f := range e.Feed(ev) {
			if f.At > now {
				panic("a finding of the future")
			}
			all = append(all, f)
		}
	}
	end := now + 20*time.Second
	pass(end)
	return append(all, e.Finish(end)...), e.Summary()
}

// However often time passes, and each time again, the findings are the same.
func TestTicksChangeNothing(t *testing.T) {
	seeds := uint64(6)
	if testing.Short() {
		seeds = 1
	}
	for name, s := range forms(t) {
		for seed := range seeds {
			evs := unruly(t, s, seed, []float64{1, 0.9, 1.15}[seed%3])
			for _, o := range listening {
				want, sum := told(s, o, evs, 0)
				assert.NotEmpty(t, want)
				for _, tick := range []time.Duration{0, 7 * time.Millisecond, time.Second, -60 * time.Millisecond} {
					got, gotSum := told(s, o, evs, tick)
					if !assert.Equal(t, want, got, "%s, seed %d, %+v, ticks of %v", name, seed, o, tick) {
						return
					}
					assert.Equal(t, sum, gotSum, name)
				}
			}
		}
	}
}

// streamOf reads a few messages at any rising times; one may come after minutes,
// and more of them would only make a loop go round for longer.
func streamOf(raw []byte) []event.Event {
	var all []event.Event
	at, waited := time.Duration(0), false
	for ; len(raw) >= 4 && len(all) < 60; raw = raw[4:] {
		at += time.Duration(raw[0]) * 3 * time.Millisecond
		if raw[0] > 253 && !waited {
			at, waited = at+3*time.Minute, true
		}
		all = append(all, event.Event{At: at, Status: raw[1] | 0x80, Data1: raw[2] & 0x7F, Data2: raw[3] & 0x7F})
	}
	return all
}

// FuzzLiveStream: whatever comes, every finding has its words and is of the past,
// there are not many more of them than notes were struck and wanted, and ticks
// change none.
func FuzzLiveStream(f *testing.F) {
	f.Add([]byte{10, 0x90, 60, 64, 0, 0x90, 64, 64, 3, 0x90, 67, 64, 200, 0x80, 60, 0, 9, 0xB0, 64, 127}, uint8(0), uint8(0))
	f.Add([]byte{255, 0x90, 48, 1, 255, 0xB0, 123, 0}, uint8(3), uint8(1))
	f.Add([]byte{10, 0x90, 48, 1, 254, 0x90, 48, 1, 254, 0x9F, 127, 1, 0, 0x90, 0, 1}, uint8(7), uint8(3))
	var scores []*score.Score
	for _, n := range []string{"two-beat", "block-near", "low-high-middle-high", "walking-quarters", "arpeggio-two-octaves", "backbeat"} {
		scores = append(scores, sounding.ScoreOf(f, "4/4", "| C | F/A | G7 | N.C. | Am Bdim |", n))
	}
	all := forms(f)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		scores = append(scores, all[name])
	}
	f.Fuzz(func(t *testing.T, raw []byte, which, how uint8) {
		s := scores[int(which)%len(scores)]
		o := listening[int(how)%len(listening)]
		evs := streamOf(raw)
		found, sum := told(s, o, evs, 0)
		e := New(s, o)
		v := voiceOf(e)
		for i := range found {
			require.NotEmpty(t, v.Line(&found[i]))
		}
		end := time.Minute
		if len(evs) > 0 {
			end += evs[len(evs)-1].At
		}
		passes := 1 // through the score, at most
		switch {
		case o.Led:
			passes += len(evs) // each note may be a leap
		case o.Loop:
			passes += int(end / e.Click.Pass())
		}
		require.LessOrEqual(t, len(found), 3*(len(evs)+passes*len(s.Wants)))
		if end > 3*time.Minute {
			return // too many ticks
		}
		again, sumAgain := told(s, o, evs, -200*time.Millisecond)
		require.Equal(t, found, again)
		require.Equal(t, sum, sumAgain)
	})
}
