package byear

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/test/sounding"
)

// A student who thinks is left alone for two seconds and a half.
func TestAPauseIsTwoSecondsAndAHalf(t *testing.T) {
	p := newPlayer(t, sounding.RedRiver, Options{})
	p.play("C4 F4 Bb4")
	last := p.now - 500*time.Millisecond
	due, waits := p.ear.Due()
	assert.Equal(t, last+2500*time.Millisecond, due)
	assert.True(t, waits)
	assert.Empty(t, p.ear.Tick(due-1))
	assert.Len(t, p.ear.Tick(due), 1)
	_, waits = p.ear.Due()
	assert.False(t, waits, "once")
}

func TestThePlaceIsKnown(t *testing.T) {
	p := newPlayer(t, sounding.RedRiver, Options{})
	p.play("D4 G4 B4 B4 A4 G4 A4 G4")
	assert.Equal(t, Place{Phrase: 1, Found: 2, Shift: 2, Known: true}, p.ear.Place())
	p.play("E4 G4")
	assert.Equal(t, Place{Phrase: 1, Found: 4, Shift: 2, Known: true}, p.ear.Place())
}

// Of two phrases alike the one nearer to where the student was is taken, be it
// before or after.
func TestTheNearerOfTwoPhrasesAlike(t *testing.T) {
	const tune = `E4 D4 C4 D4 / C4 G4 C5 / G4 A4 B4 A4 / F4 F4 E4 / E4 D4 C4 D4 / G4 D4 G3`
	p := newPlayer(t, tune, Options{})
	p.play("E4 D4 C4 D4 C4 G4 C5 G4 A4 B4 A4 E4 D4 C4 D4")
	assert.Equal(t, 4, p.ear.Place().Phrase)
	p = newPlayer(t, tune, Options{})
	p.play("E4 D4 C4 D4 E4 D4 C4 D4")
	assert.Equal(t, 0, p.ear.Place().Phrase)
}

func TestTheHardestNoteIsTheFirstOfThem(t *testing.T) {
	p := newPlayer(t, sounding.RedRiver, Options{})
	assert.Equal(t, -1, p.ear.Summary().Tune.Hardest, "nothing was hard yet")
	p.play("C4 F4 G4 A4 A4 G4 E4 F4")
	assert.Equal(t, []int{2, 1}, []int{p.ear.Summary().Tune.Hardest, p.ear.Summary().Tune.HardestMiss})
}

func TestATaskIsSummedUp(t *testing.T) {
	a := pitch.Note{Letter: 5}
	p := newPlayer(t, `C4 D4 E4 / E4 G4 E4 / D4 D4 C4`, Options{Task: Task{From: &a, Known: true}})
	assert.Equal(t, finding.TaskSummary{Begun: true}, p.ear.Summary().Tune.Task)
	p.play("G4 A4 B4 3s")
	assert.Equal(t, finding.TaskSummary{Begun: true, Missed: 1}, p.ear.Summary().Tune.Task)
	p.play("A4 B4 C#5 C#5 E5 C#5")
	assert.Equal(t, finding.TaskSummary{Begun: true, Kept: 2}, p.ear.Summary().Tune.Task)
	p.play("B4 B4 A4")
	assert.Equal(t, finding.TaskSummary{Begun: true, Done: true, Kept: 3}, p.ear.Summary().Tune.Task)
}

// A step is a whole tone at most, as singers count them.
func TestContour(t *testing.T) {
	tn := tuneOf(t, "C4 C4 D4 Eb4 Gb4 E4 Eb4 C4 / G4 A4")
	assert.Equal(t, []int{8, 2}, []int{tn.Len(0), tn.Len(1)})
	assert.Equal(t, "[same up up leap-up down down leap-down]", fmt.Sprint(tn.Contour(0)))
	assert.Equal(t, "[up]", fmt.Sprint(tn.Contour(1)))
}

func TestRanges(t *testing.T) {
	for _, c := range []struct {
		r    Range
		mean float64
		want bool
	}{
		{AnyRange, 21, true},
		{Low, 60, true}, {Low, 60.1, false}, // middle C is its top
		{Middle, 55, true}, {Middle, 54.9, false}, {Middle, 77, true}, {Middle, 77.1, false}, // G3 to F5
		{High, 72, true}, {High, 71.9, false}, // C5 is its bottom
	} {
		assert.Equal(t, c.want, c.r.holds(c.mean), "%s %g", c.r, c.mean)
	}
}

// A fifth apart is another hand's place, less is not.
func TestHandsLieAFifthApart(t *testing.T) {
	for _, c := range []struct {
		shifts []int
		want   bool
	}{
		{[]int{0, -7}, true}, {[]int{0, 7}, true}, {[]int{0, 6}, false}, {[]int{0, -6}, false},
		{[]int{0, -12, 0}, true}, {[]int{0, 12, 0}, true}, {[]int{0, 12, 24}, false}, {[]int{0, -12, -24}, false},
		{[]int{0, -7, -14}, false}, {[]int{0, -6, -14}, true}, {[]int{12, 0, -5}, false},
	} {
		r := round{want: len(c.shifts) - 1}
		for _, s := range c.shifts {
			r.played = append(r.played, played{judged: true, shift: s})
		}
		assert.Equal(t, c.want, r.changesHands(&r.played[r.want]), "%v", c.shifts)
		if r.want == 2 {
			r.played[0].judged = false
			assert.Equal(t, abs(c.shifts[2]-c.shifts[1]) >= 7, r.changesHands(&r.played[2]), "%v, the first of them not heard", c.shifts)
		}
	}
}

// A phrase is louder or softer than the one before by 1.2 spreads of all that was
// struck; here a spread is 10.
func TestHowMuchLouderIsLoud(t *testing.T) {
	for _, c := range []struct {
		forces []float64
		want   bool
	}{
		{[]float64{60, 72}, true}, {[]float64{60, 71.9}, false}, {[]float64{60, 40}, false},
		{[]float64{60, 72, 60}, true}, {[]float64{60, 72, 60.1}, false}, {[]float64{60, 72, 90}, false},
	} {
		r := round{want: len(c.forces) - 1}
		r.force.add(50)
		r.force.add(70)
		for _, f := range c.forces {
			r.played = append(r.played, played{judged: true, force: f})
		}
		assert.Equal(t, c.want, r.differs(&r.played[r.want]), "%v", c.forces)
	}
}

// A phrase is tried once two notes of it were found: the first alone may be a slip.
func TestTriesAtAPhrase(t *testing.T) {
	for play, want := range map[string]int{
		"C4": 0, "C4 C4": 0, "C4 F4": 1, "C4 C4 F4": 1, "C4 F4 C4 F4": 2, "C4 F4 C4 F4 C4": 2,
		"C4 F4 A4 A4 G4 F4": 1, "C4 F4 A4 A4 G4 F4 C4 F4": 1, // found: no longer counted
	} {
		p := newPlayer(t, sounding.RedRiver, Options{})
		p.play(play)
		assert.Equal(t, want, p.ear.Summary().Tune.Phrases[0].Tries, play)
	}
}

// Whatever is played, no more is kept in mind than can be gone on with in time.
func TestHypothesesAreBounded(t *testing.T) {
	ear := NewEar(tuneOf(t, sounding.RedRiver), Options{})
	r := rand.New(rand.NewPCG(1, 2))
	most := 0
	for i := range 100 {
		ear.Feed(event.On(time.Duration(i)*300*time.Millisecond, uint8(50+r.IntN(40)), 60))
		most = max(most, len(ear.heard.kept))
	}
	assert.Equal(t, 128, most)
}

func TestNotesAreSpelledWhereTheTuneLies(t *testing.T) {
	tn := tuneOf(t, "C4 F#4")
	for shift, want := range map[int]string{0: "C4", 2: "D4", 3: "Eb4", 11: "B4", 12: "C5", 14: "D5", -1: "B3", -12: "C3", -10: "D3"} {
		assert.Equal(t, want, tn.Spell(0, shift).String(), "%d keys up", shift)
	}
	assert.Equal(t, "G#4", tn.Spell(1, 2).String())
}

func TestPhrasesAlike(t *testing.T) {
	tn := tuneOf(t, frereJacques)
	assert.Equal(t, 8, tn.Phrases())
	assert.Equal(t, []int{0, 0, 2, 2, 4, 4, 6, 6}, tn.alike)
	p := newPlayer(t, frereJacques, Options{})
	p.play("C4 D4 E4 C4 E4 F4 G4 G4 A4 G4 F4 E4 C4 C4 G3 C4 3s")
	assert.Contains(t, p.said, "tune-found", "each phrase once is enough")
}

// Ticks between the events change nothing but when the caller hears of it.
func TestTicksChangeNothing(t *testing.T) {
	s := newSearcher(tuneOf(t, saints), searching, 3)
	s.wholeTune()
	hear := func(tick time.Duration) (all []finding.Finding) {
		ear := NewEar(s.tune, Options{Help: HelpNote})
		now := time.Duration(0)
		for _, ev := range s.events {
			ev.At *= 5
			for ; tick > 0 && now < ev.At; now += tick {
				all = append(all, ear.Tick(now)...)
			}
			all = append(all, ear.Feed(ev)...)
		}
		return append(all, ear.Finish(s.now*5+time.Minute)...)
	}
	once := hear(0)
	require.NotEmpty(t, once)
	assert.Equal(t, once, hear(7*time.Millisecond))
	assert.Equal(t, once, hear(time.Second))
}

func FuzzEar(f *testing.F) {
	f.Add([]byte("CDEC CDEC EFG EFG"), uint8(0))
	f.Add([]byte{60, 1, 62, 2, 255, 255, 0, 0, 127, 9}, uint8(77))
	f.Fuzz(func(t *testing.T, data []byte, how uint8) {
		tunes := []string{sounding.RedRiver, frereJacques, "C4", "C4 / C4", "C-1 G9 / G9 C-1 C4"}
		task := Task{Another: how&8 > 0, SoftLoud: how&16 > 0, Hands: how&32 > 0, Known: how&64 > 0}
		tn := tuneOf(t, tunes[int(how)%len(tunes)])
		ear := NewEar(tn, Options{Help: Help(how % 3), Task: task})
		told := 0
		hear := func(found []finding.Finding) {
			told += len(found)
			for i := range found {
				require.NotEmpty(t, brief(&found[i]))
			}
		}
		hear(ear.Begin(0))
		var now time.Duration
		for i, b := range data {
			now += time.Duration(b) * 13 * time.Millisecond
			hear(ear.Feed(event.Event{At: now, Status: 0x80 | b&0x7F, Data1: b & 0x7F, Data2: uint8(i) & 0x7F}))
			hear(ear.Feed(event.On(now, b&0x7F, 1+b/2)))
			if b%5 == 0 {
				hear(ear.Hint(now))
			}
			place := ear.Place()
			require.Less(t, place.Phrase, tn.Phrases())
			require.LessOrEqual(t, place.Found, tn.Len(place.Phrase))
		}
		hear(ear.Finish(now + time.Hour))
		require.LessOrEqual(t, told, 8*len(data)+8)
		require.LessOrEqual(t, ear.Summary().Tune.Found, tn.Phrases())
	})
}
