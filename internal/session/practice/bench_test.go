package practice

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/ui/lines"
	"undersong/internal/ui/words"
)

// The tune is in 4/4 at 120: a beat is 500 ms, a bar two seconds.
const tune = `title: Clementine
key: C
meter: 4/4
tempo: 120

| C | F | G7 | C |
w: | Oh my | darling | Clemen- | tine |
`

func scoreFor(t testing.TB, c *chart.Chart, name string) *score.Score {
	t.Helper()
	p := material.Shipped(t, name)
	s, err := score.Build(c, p, score.Options{})
	require.NoError(t, err)
	return s
}

// faced is a session with faces: lines, JSON lines, and what a screen shows.
type faced struct {
	*Session
	text, json bytes.Buffer
	plain      *lines.Plain
	jsonLines  *lines.JSON
	viewer     words.Viewer
	said       int // records so far
}

func newFaced(o Options) *faced {
	f := &faced{Session: New(o)}
	f.plain, f.jsonLines = lines.NewPlain(&f.text), lines.NewJSON(&f.json)
	return f
}

// tell lets the faces take what was told.
func (f *faced) tell() {
	for _, r := range f.Take() {
		f.said++
		if f.plain.Record(r) != nil || f.jsonLines.Record(r) != nil {
			panic("a buffer takes all")
		}
	}
}

func (f *faced) Begin(now time.Duration)                 { f.Session.Begin(now); f.tell() }
func (f *faced) Event(ev event.Event)                    { f.Session.Event(ev); f.tell() }
func (f *faced) Tick(now time.Duration)                  { f.Session.Tick(now); f.tell() }
func (f *faced) Lost(now time.Duration, port string)     { f.Session.Lost(now, port); f.tell() }
func (f *faced) Found(now time.Duration, port string)    { f.Session.Found(now, port); f.tell() }
func (f *faced) Do(now time.Duration, c sitting.Command) { f.Session.Do(now, c); f.tell() }

// view is what a screen shows.
func (f *faced) view() words.View {
	st := f.State()
	return f.viewer.View(&st)
}

// bench is a session with its output and its click.
type bench struct {
	t     *testing.T
	s     *faced
	score *score.Score
	sent  []event.Event
	music []time.Duration
	now   time.Duration
}

func newBench(t *testing.T, text string, change func(o *Options)) *bench {
	return benchFor(t, text, "two-beat", change)
}

func benchFor(t *testing.T, text, name string, change func(o *Options)) *bench {
	t.Helper()
	c, p := material.Chart(t, text), material.Shipped(t, name)
	b := &bench{t: t, score: scoreFor(t, c, name)}
	o := Options{
		Score: b.score, Level: rules.Steady, CountIn: 1, Heading: sitting.HeadingOf(b.score, rules.Steady.Name),
		Sound: func(e event.Event) { e.At = b.now; b.sent = append(b.sent, e) },
		Music: func(at time.Duration) { b.music = append(b.music, at) },
		Lay: func(bars score.Span, hands score.Only, round bool) (*score.Score, error) {
			return score.Build(c, p, score.Options{Span: bars, Only: hands, Round: round})
		},
	}
	if change != nil {
		change(&o)
	}
	b.score, o.Heading = o.Score, o.Heading.Of(o.Score)
	b.s = newFaced(o)
	b.s.Begin(0)
	return b
}

// pass lets time pass in ticks of 10 ms, up to a time.
func (b *bench) pass(until time.Duration) *bench {
	for ; b.now < until && !b.s.Done(); b.now += 10 * time.Millisecond {
		b.s.Tick(b.now)
	}
	b.now = max(b.now, until)
	return b
}

// play plays events that count from the music's start, up to a time on the
// clock.
func (b *bench) play(events []event.Event, until time.Duration) *bench {
	return b.playFrom(b.music[len(b.music)-1], events, until)
}

// playFrom is play with events that count from a time.
func (b *bench) playFrom(start time.Duration, events []event.Event, until time.Duration) *bench {
	for _, e := range events {
		e.At += start
		if e.At >= until {
			break
		}
		b.pass(e.At)
		b.s.Event(e)
	}
	return b
}

// do asks for something.
func (b *bench) do(d sitting.Do) *bench {
	b.s.Do(b.now, sitting.Command{Do: d})
	return b
}

func (b *bench) stop() { b.do(sitting.DoEnd) }

func (b *bench) lines() []map[string]any {
	var all []map[string]any
	for _, l := range strings.Split(strings.TrimSpace(b.s.json.String()), "\n") {
		var m map[string]any
		require.NoError(b.t, json.Unmarshal([]byte(l), &m), l)
		all = append(all, m)
	}
	return all
}

// notices are the texts of those that were told.
func (b *bench) notices() []string {
	var all []string
	for _, l := range b.lines() {
		if l["type"] == "notice" {
			all = append(all, l["text"].(string))
		}
	}
	return all
}

func (b *bench) summary() map[string]any {
	all := b.lines()
	last := all[len(all)-1]
	require.Equal(b.t, "summary", last["type"])
	return last
}

func (b *bench) count(kind string) int {
	return int(b.summary()["counts"].(map[string]any)[kind].(float64))
}

func exact(t testing.TB, s *score.Score, plan mistakes.Plan) []event.Event {
	t.Helper()
	p, err := mistakes.Play(s, performer.Habits{}, plan, 1)
	require.NoError(t, err)
	return p.Events
}

func want(t testing.TB, s *score.Score, bar int, beat float64, h pattern.Hand) int {
	t.Helper()
	for i := range s.Wants {
		if w := &s.Wants[i]; s.Bars[w.Bar].Number == bar && w.Beat == beat && w.Hand == h {
			return i
		}
	}
	require.Fail(t, "nothing wanted there")
	return 0
}
