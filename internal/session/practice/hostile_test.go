package practice

import (
	"bytes"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"undersong/internal/judge/byear"
	"undersong/internal/judge/firstbass"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/play/playback"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/ui/lines"
)

const everything = `key: F
tempo: 150
upbeat: 1
[Verse]
(C7) |: F | Bb | C7 | F :|
m: C2 | F2A2 c2A2 | B4 d2B2 | G2A2 B2G2 | F6 C2 |
`

// everyPart is a score with an upbeat, a tune, an intro, a turnaround and an
// ending that slows down.
func everyPart(t testing.TB, round bool) *score.Score {
	s, err := score.Build(material.Chart(t, everything), material.Shipped(t, "two-beat"), score.Options{Round: round, Parts: score.Parts{
		Intro: material.Shipped(t, "intro-round"), Turnaround: material.Shipped(t, "turnaround-dominant"), Ending: material.Shipped(t, "ending-cadence"),
	}})
	require.NoError(t, err)
	return s
}

// summed counts the summaries that are written.
type summed struct {
	sitting.Writer
	summaries int
}

func (s *summed) Summary(r sitting.Result) error {
	s.summaries++
	return s.Writer.Summary(r)
}

// sessionOf is a session of one of many kinds, and what it is written with.
func sessionOf(s, round *score.Score, how uint16, out *bytes.Buffer) (*Session, *summed) {
	o := Options{
		Score: s, Level: rules.Steady, CountIn: int(how>>6) % 3, Loop: how&1 > 0, Follow: how&2 > 0, After: how&4 > 0, All: how&8 > 0,
		Wait: how&16 > 0, Delay: time.Duration(how>>5&1) * 30 * time.Millisecond, Sound: func(event.Event) {},
	}
	if o.Loop {
		o.Score = round
	}
	if how&256 > 0 && !o.Follow {
		one := *o.Score
		one.Only = score.RightAlone
		o.Score, o.With = &one, With{Voices: []playback.Voice{playback.LeftHand}, Channel: uint8(how>>9) % 9}
	}
	if o.Loop && !o.Follow && how&512 > 0 {
		o.Ramp = &Ramp{From: 60, To: 140, Step: 40}
		slow := *o.Score
		slow.Tempo = o.Ramp.From
		o.Score = &slow
	}
	o.Chart, o.Heading = o.Score.Chart, sitting.HeadingOf(o.Score, rules.Steady)
	w := &summed{Writer: lines.NewJSON(out)}
	if how&1024 > 0 {
		w.Writer = lines.NewPlain(out)
	}
	o.Writer = w
	return New(o), w
}

// mostMessages bounds a storm: a short one is gone through a thousand times in the
// time that a long one takes.
const mostMessages = 40

// storm is messages as they come, from four bytes each: most of a second may lie
// between.
func storm(raw []byte) []event.Event {
	var all []event.Event
	at := time.Duration(0)
	for ; len(raw) >= 4 && len(all) < mostMessages; raw = raw[4:] {
		at += time.Duration(raw[0]) * 3 * time.Millisecond
		all = append(all, event.Event{At: at, Status: raw[1] | 0x80, Data1: raw[2] & 0x7F, Data2: raw[3] & 0x7F})
	}
	return all
}

// weather is a lesson that goes through a storm: time passes between, the
// keyboard goes and comes back, keys of the computer are pressed.
func weather(t *testing.T, l Lesson, evs []event.Event) {
	t.Helper()
	require.NoError(t, l.Begin(0))
	now := time.Duration(0)
	for i, ev := range evs {
		for step := max(10*time.Millisecond, (ev.At-now)/5); now < ev.At && !l.Done(); now += step {
			if until, err := l.Until(now, time.Second), l.Tick(now); until < 0 || err != nil {
				t.Fatalf("until %v: %v", until, err)
			}
		}
		now = ev.At
		require.NoError(t, l.Event(ev))
		switch {
		case ev.Data1 == 125 && i%3 == 0:
			require.NoError(t, l.Lost(now, "Piano"))
		case ev.Data1 > 120:
			require.NoError(t, l.Found(now, "Piano"))
		case ev.Data1 == 0:
			require.NoError(t, l.Key(now))
		}
		if ty, ok := l.(Typist); ok && ev.Data2 == 1 {
			require.NoError(t, ty.Type(now, "h"))
		}
		l.View()
	}
	for range 25 {
		now += 200 * time.Millisecond
		require.NoError(t, l.Tick(now))
	}
	require.NoError(t, l.Stop(now))
	require.True(t, l.Done())
	l.View()
	require.NoError(t, l.Stop(now), "once more")
}

func seeds(f *testing.F, add func(raw []byte, how uint16)) {
	r := rand.New(rand.NewPCG(1, 2))
	for how := range uint16(24) {
		var raw []byte
		for i := range 30 {
			raw = append(raw, byte(r.IntN(200)), []byte{0x90, 0x90, 0x80, 0xB0, 0x93}[r.IntN(5)], byte(40+r.IntN(40)), byte(r.IntN(128)))
			if i%17 == 0 {
				raw = append(raw, 0, 0xB0, 125, 1, 20, 0x90, 126, 0, 0, 0x90, 0, 127)
			}
		}
		add(raw, how*331)
	}
}

// FuzzSession: whatever comes in, a session ends with its summary, written once, and
// the same again tells the same to the byte.
func FuzzSession(f *testing.F) {
	s, round := everyPart(f, false), everyPart(f, true)
	seeds(f, func(raw []byte, how uint16) { f.Add(raw, how) })
	f.Fuzz(func(t *testing.T, raw []byte, how uint16) {
		var first, second bytes.Buffer
		evs := storm(raw)
		for _, out := range []*bytes.Buffer{&first, &second} {
			session, w := sessionOf(s, round, how, out)
			weather(t, session, evs)
			require.Equal(t, 1, w.summaries)
		}
		require.Equal(t, first.String(), second.String())
	})
}

// FuzzFreely: the same of looking for a tune, of basses under it, and of what is
// recorded.
func FuzzFreely(f *testing.F) {
	s, err := score.Tune(material.Chart(f, everything), score.Options{})
	require.NoError(f, err)
	seeds(f, func(raw []byte, how uint16) { f.Add(raw, how) })
	f.Fuzz(func(t *testing.T, raw []byte, how uint16) {
		var first, second bytes.Buffer
		evs := storm(raw)
		for _, out := range []*bytes.Buffer{&first, &second} {
			tune, bass := byEarOf(s, how), bassOf(s, how)
			tune.Tell(lines.NewJSON(out), "")
			weather(t, tune, evs)
			bass.Tell(lines.NewPlain(out), "")
			weather(t, bass, evs)
			weather(t, &Recorder{Meter: s.Meter, Tempo: meter.Tempo(how % 300)}, evs)
		}
		require.Equal(t, first.String(), second.String())
	})
}

func byEarOf(s *score.Score, how uint16) *ByEar {
	task := byear.Task{
		Another: how&1 > 0, Range: byear.Range(how >> 1 & 3), SoftLoud: how&8 > 0, Hands: how&16 > 0, Known: how&32 > 0,
	}
	return &ByEar{Heading: sitting.TuneHeading{Tune: byear.New(s.Melody, s.Key), Task: task, Help: byear.Help(how >> 6 % 3)}}
}

func bassOf(s *score.Score, how uint16) *FirstBass {
	return &FirstBass{Chart: s.Chart, Heading: sitting.BassHeading{
		Score: s, Stock: firstbass.Stock(s.Key, 2+int(how&1)), Rung: firstbass.Rung(how >> 1 % 3),
	}}
}
