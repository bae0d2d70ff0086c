package sitting_test

import (
	"math/rand/v2"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/byear"
	"undersong/internal/judge/firstbass"
	"undersong/internal/judge/rules"
	"undersong/internal/listen/live"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/play/playback"
	"undersong/internal/session/demonstration"
	"undersong/internal/session/freely"
	"undersong/internal/session/practice"
	"undersong/internal/session/recording"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

const everything = `key: F
tempo: 150
upbeat: 1
[Verse]
(C7) |: F | Bb | C7 | F :|
w: one | two | three | four
m: C2 | F2A2 c2A2 | B4 d2B2 | G2A2 B2G2 | F6 C2 |
[Chorus]
| Bb | F | C7 | F |
m: B4 d4 | c4 A4 | G4 B4 | F8 |
`

// world is the music that the sittings are about: a chart with an upbeat, a tune, an
// intro, a turnaround and an ending that slows down.
type world struct {
	chart   *chart.Chart
	pattern *pattern.Pattern
	parts   score.Parts
	tune    *score.Score
	laid    map[layout]*score.Score // before
}

type layout struct {
	bars  score.Span
	hands score.Only
	round bool
}

func newWorld(t testing.TB) *world {
	w := &world{laid: map[layout]*score.Score{}, chart: material.Chart(t, everything), pattern: material.Shipped(t, "two-beat"), parts: score.Parts{
		Intro: material.Shipped(t, "intro-round"), Turnaround: material.Shipped(t, "turnaround-dominant"), Ending: material.Shipped(t, "ending-cadence"),
	}}
	var err error
	w.tune, err = score.Tune(w.chart, score.Options{})
	require.NoError(t, err)
	return w
}

func (w *world) lay(bars score.Span, hands score.Only, round bool) (*score.Score, error) {
	as := layout{bars, hands, round}
	if s := w.laid[as]; s != nil {
		return s, nil
	}
	o := score.Options{Span: bars, Only: hands, Round: round && bars == score.Span{}}
	if bars == (score.Span{}) {
		o.Parts = w.parts
	}
	s, err := score.Build(w.chart, w.pattern, o)
	if err == nil {
		w.laid[as] = s
	}
	return s, err
}

// sounding are the keys that an instrument was told to sound, by channel.
type sounding map[[2]uint8]bool

func (s sounding) send(e event.Event) {
	switch {
	case e.IsNoteOn():
		s[[2]uint8{e.Channel(), e.Data1}] = true
	case e.IsNoteOff():
		delete(s, [2]uint8{e.Channel(), e.Data1})
	}
}

// sittingOf is one of many kinds.
func (w *world) sittingOf(t testing.TB, how uint32, out sounding) sitting.Sitting {
	switch how >> 16 % 7 {
	case 0, 1:
		return w.practiceOf(t, how, out)
	case 2:
		return w.demonstrationOf(t, how, out)
	case 3:
		return freely.NewTune(sitting.Heading{Help: byear.Help(how >> 6 % 3), Task: byear.Task{
			Another: how&1 > 0, Range: byear.Range(how >> 1 & 3), SoftLoud: how&8 > 0, Hands: how&16 > 0, Known: how&32 > 0,
		}}, w.tune)
	case 4:
		return freely.NewBasses(sitting.Heading{Choice: 2 + int(how&1), Voicing: firstbass.Voicing(how >> 1 % 3)}, w.tune)
	case 5:
		return freely.NewHearing(live.Options{Explain: how&1 > 0})
	}
	if how&3 == 3 {
		return &recording.Held{}
	}
	if how&1 > 0 {
		return &recording.Tap{Sound: out.send}
	}
	return &recording.Recorder{Meter: w.tune.Meter, Tempo: meter.Tempo(how % 300), Sound: out.send}
}

func (w *world) practiceOf(t testing.TB, how uint32, out sounding) sitting.Sitting {
	round, follow := how&1 > 0, how&2 > 0
	hands := score.BothHands
	if how&256 > 0 {
		hands = score.RightAlone
	}
	s, err := w.lay(score.Span{}, hands, round)
	require.NoError(t, err)
	h := sitting.HeadingOf(s, rules.Steady.Name)
	h.Loop, h.Follow, h.After, h.Sing = round, follow, how&4 > 0, follow && how&2048 > 0
	o := practice.Options{
		Heading: h, Score: s, Level: rules.Steady, CountIn: int(how>>6) % 3, Wait: how&16 > 0, Stay: how&8 > 0, Lay: w.lay,
		Delay: time.Duration(how>>5&1) * 30 * time.Millisecond, Sound: out.send,
	}
	if how&256 > 0 && how&512 > 0 {
		o.With, o.Heading.With = practice.With{Parts: []playback.Part{playback.LeftHand}, Channel: uint8(how>>9) % 9}, "left"
	}
	if round && !follow && how&1024 > 0 {
		o.Heading.Ramp = sitting.Ramp{From: 60, To: 140, Step: 40}
	}
	return practice.New(o)
}

func (w *world) demonstrationOf(t testing.TB, how uint32, out sounding) sitting.Sitting {
	s, err := w.lay(score.Span{}, score.BothHands, how&1 > 0)
	require.NoError(t, err)
	return demonstration.New(demonstration.Options{
		Heading: sitting.HeadingOf(s, ""), Score: s, Lay: w.lay, Times: int(how>>1) % 4, Sound: out.send,
		Play: playback.Options{CountIn: int(how>>3) % 2, Click: how&16 > 0, Human: how&32 > 0},
	})
}

// mostHappens bounds a storm: a short one is gone through a thousand times in the
// time that a long one takes.
const mostHappens = 25

// storm does what raw bytes say, four for each thing that happens: a message, a
// command, the cable pulled or plugged in; seconds may lie between.
func storm(s sitting.Sitting, raw []byte, look func(now time.Duration)) time.Duration {
	now := time.Duration(0)
	s.Begin(now)
	for n := 0; len(raw) >= 4 && n < mostHappens; raw, n = raw[4:], n+1 {
		at := now + time.Duration(raw[0])*time.Duration(raw[0])*time.Millisecond/16
		for step := max(10*time.Millisecond, (at-now)/5); now < at && !s.Done(); now += step {
			s.Tick(now)
		}
		now = at
		switch kind := raw[1]; {
		case kind < 0x40:
			s.Do(now, sitting.Command{Do: sitting.Do(kind % 14), Bars: score.Span{From: int(raw[2]%12) - 1, To: int(raw[3]%12) - 1}, Hands: score.Only(raw[3] % 3)})
		case kind < 0x48:
			s.Lost(now, "Piano")
		case kind < 0x50:
			s.Found(now, "Piano")
		case kind < 0x80:
			s.Event(event.On(now, 21+raw[2]%16, 1+raw[3]&0x7E)) // the lowest keys
		default:
			s.Event(event.Event{At: now, Status: kind, Data1: raw[2] & 0x7F, Data2: raw[3] & 0x7F})
		}
		look(now)
	}
	return now
}

// FuzzAnySitting: whatever comes in, in any order, in any sitting, it goes on, tells
// and shows values that go through JSON and back, numbered, ends, and does the same
// again to the byte.
func FuzzAnySitting(f *testing.F) {
	w := newWorld(f)
	r := rand.New(rand.NewPCG(1, 2))
	for kind := range uint32(7) {
		for how := range uint32(8) {
			var raw []byte
			for i := range 24 {
				raw = append(raw, byte(r.IntN(40)), []byte{0x90, 0x90, 0x80, 0xB0, 0x93, 0x60, 0x60, byte(r.IntN(0x50))}[r.IntN(8)], byte(40+r.IntN(40)), byte(r.IntN(128)))
				if i%13 == 0 {
					raw = append(raw, 0, 0x90, 21, 70, 0, 0x90, 22, 70, 40, 0x90, 23+byte(r.IntN(16)), 70, 5, 0x80, 21, 0)
				}
			}
			f.Add(raw, kind<<16|how*331&0xFFFF)
		}
	}
	f.Fuzz(func(t *testing.T, raw []byte, how uint32) {
		require.Equal(t, w.run(t, how, raw), w.again(t, how, raw))
	})
}

func TestEverySittingEndsWithItsResult(t *testing.T) {
	w := newWorld(t)
	for kind := range uint32(5) {
		if kind == 2 {
			continue // nobody is judged in a demonstration
		}
		s := w.sittingOf(t, kind<<16, sounding{})
		s.Begin(0)
		s.Tick(time.Second)
		s.Do(time.Second, sitting.Command{Do: sitting.DoEnd})
		told := s.Take()
		require.NotEmpty(t, told)
		last := told[len(told)-1]
		require.NotNil(t, last.Result)
		assert.Equal(t, time.Second, last.Result.Length)
		assert.Equal(t, told[0].Piece.Heading.Kind, last.Result.Kind)
	}
}

// held is how many bytes the program holds on to.
func held() uint64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// Keys by chance for long, as of a cat or of a child, leave nothing behind.
func TestKeysByChanceKeepMemoryFlat(t *testing.T) {
	if testing.Short() {
		t.Skip("so many keys take a while")
	}
	w := newWorld(t)
	for name, how := range map[string]uint32{
		"a loop": 1, "a loop, told after": 1 | 4, "led": 1 | 2, "led, told after": 1 | 2 | 4,
		"with the left hand": 1 | 256 | 512 | 4<<9, "tune": 3 << 16, "bass": 4<<16 | 5, "names": 5 << 16,
	} {
		s := w.sittingOf(t, how, sounding{})
		log := sitting.NewLog(s)
		s.Begin(0)
		r := rand.New(rand.NewPCG(1, 1))
		var before uint64
		for now := time.Duration(0); now < 20*time.Minute; now += time.Duration(r.IntN(600)) * time.Millisecond {
			key := uint8(40 + r.IntN(36))
			s.Event(event.On(now, key, uint8(1+r.IntN(127))))
			s.Event(event.Off(now, key))
			s.Tick(now)
			log.Take()
			if before == 0 && now > 7*time.Minute {
				before = held()
			}
		}
		log.State()
		assert.Less(t, held(), before+256<<10, name)
	}
}
