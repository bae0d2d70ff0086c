package capture

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/material"
)

// beat is how long a beat of the tunes below lasts: 100 a minute.
const beat = 600 * time.Millisecond

// hit is keys struck at a beat, counted from 0, and held for some beats.
type hit struct {
	at, held float64
	velocity uint8
	keys     string
}

func playedAs(t *testing.T, hits []hit) []event.Event {
	t.Helper()
	var all []event.Event
	for _, h := range hits {
		on := time.Duration(h.at * float64(beat))
		off := on + time.Duration(h.held*float64(beat))
		for _, name := range strings.Fields(h.keys) {
			p, err := pitch.ParsePitch(name)
			require.NoError(t, err)
			all = append(all, event.On(on, uint8(p.Num()), h.velocity), event.Off(off, uint8(p.Num())))
		}
	}
	sortEvents(all)
	return all
}

func sortEvents(all []event.Event) {
	for i := range all {
		for j := i; j > 0 && all[j].At < all[j-1].At; j-- {
			all[j], all[j-1] = all[j-1], all[j]
		}
	}
}

// again plays hits several times, each so many beats long.
func again(hits []hit, times int, beats float64) []hit {
	var all []hit
	for n := range times {
		for _, h := range hits {
			h.at += float64(n) * beats
			all = append(all, h)
		}
	}
	return all
}

var waltz = []hit{{0, 0.9, 64, "C3"}, {1, 0.9, 64, "C4 E4 G4"}, {2, 0.9, 64, "C4 E4 G4"}}

func captured(t *testing.T, hits []hit, o Options) *Captured {
	t.Helper()
	if o.Chords == nil {
		o.Chords = mustChords(t, "C")
	}
	o.Name = "mine"
	c, err := Capture(playedAs(t, hits), o)
	require.NoError(t, err)
	back := material.Pattern(t, c.Pattern.Text())
	assert.Equal(t, c.Pattern, back)
	return c
}

func grids(c *Captured) string { return c.Pattern.Grids() }

func TestWaltz(t *testing.T) {
	c := captured(t, again(waltz, 3, 3), Options{})
	assert.Equal(t, "right: . ch ch\nleft:  1 .  .\n", grids(c))
	assert.Equal(t, meter.Meter{Num: 3, Den: 4}, c.Pattern.Meter)
	assert.Equal(t, 3, c.Times)
	assert.InDelta(t, 100, float64(c.Tempo), 1)
}

func TestSlipsAreOutvoted(t *testing.T) {
	hits := again(waltz, 6, 3)
	hits[4].keys = "C4 F4 A4"                    // another chord once
	hits = append(hits, hit{7.5, 0.4, 64, "D5"}) // a stroke too many
	hits = append(hits[:10:10], hits[11:]...)    // and one too few
	c := captured(t, hits, Options{Meter: meter.Meter{Num: 3, Den: 4}})
	assert.Equal(t, "right: . ch ch\nleft:  1 .  .\n", grids(c))
	assert.Equal(t, 2, c.Slips, "a note more in a chord is no slip of its own")
}

func TestAClosingStrokeIsNotThePattern(t *testing.T) {
	c := captured(t, append(again(waltz, 2, 3), hit{6, 2.5, 64, "C3 C4 E4 G4"}), Options{})
	assert.Equal(t, "right: . ch ch\nleft:  1 .  .\n", grids(c))
	assert.Equal(t, 2, c.Bars)
}

func TestBassThatSwings(t *testing.T) {
	two := []hit{{0, 0.9, 64, "C3"}, {1, 0.9, 64, "E4 G4 C5"}, {2, 0.9, 64, "G2"}, {3, 0.9, 64, "E4 G4 C5"}}
	assert.Equal(t, "right: . ch .   ch\nleft:  1 .  5,? .\n", grids(captured(t, again(two, 2, 4), Options{})))
	c := captured(t, again(two, 2, 4), Options{Inversions: true})
	assert.Equal(t, "right: . ch1 .   ch1\nleft:  1 .   5,? .\n", grids(c))
}

func TestAccentsRollsAndLengths(t *testing.T) {
	back := []hit{{0, 1.9, 62, "C3"}, {1, 0.5, 86, "C4 E4 G4"}, {2, 1.9, 62, "C3"}, {3, 0.5, 86, "C4 E4 G4"}}
	c := captured(t, again(back, 2, 4), Options{Meter: meter.Meter{Num: 4, Den: 4}})
	assert.Equal(t, "right: . >ch . >ch\nleft:  1 -   1 -\n", grids(c))
	assert.True(t, c.Pattern.Free)

	rolled := []hit{{0, 3.8, 64, "C3"}, {0.02, 3.8, 64, "C4"}, {0.12, 3.8, 64, "E4"}, {0.22, 3.7, 64, "G4"}}
	c = captured(t, again(rolled, 3, 4), Options{Meter: meter.Meter{Num: 4, Den: 4}, Tempo: 100})
	assert.Equal(t, "right: ~ch\nleft:  1\n", grids(c))
	assert.False(t, c.Pattern.Free)
}

// Four quarters of a bass, bar after bar: what is louder by chance, or now and then,
// would be asked for each time when the pattern is practised.
func TestOnlyClearAndSteadyAccentsAreWritten(t *testing.T) {
	for _, c := range []struct {
		what string
		bars [][4]uint8 // velocities
		want string
	}{
		{"all alike", [][4]uint8{{64, 62, 66, 61}, {63, 65, 62, 64}, {62, 64, 65, 63}}, "1 5 8 5"},
		{"the first a little louder", [][4]uint8{{70, 62, 64, 61}, {69, 62, 63, 60}, {71, 64, 62, 63}}, "1 5 8 5"},
		{"the first louder each time", [][4]uint8{{84, 62, 64, 61}, {86, 62, 63, 60}, {83, 64, 62, 63}}, ">1 5 8 5"},
		{"the second and fourth louder each time", [][4]uint8{{62, 84, 64, 86}, {60, 82, 63, 85}, {64, 86, 62, 83}}, "1 >5 8 >5"},
		{"the first louder in one bar of two", [][4]uint8{{92, 62, 64, 61}, {60, 62, 63, 60}, {90, 64, 62, 63}, {61, 64, 62, 63}}, "1 5 8 5"},
		{"the third louder, played once", [][4]uint8{{58, 64, 80, 62}}, "1 5 8 5"},
	} {
		var hits []hit
		for bar, v := range c.bars {
			for beat, key := range strings.Fields("C3 G3 C4 G3") {
				hits = append(hits, hit{float64(4*bar + beat), 0.9, v[beat], key})
			}
		}
		got := captured(t, hits, Options{Meter: meter.Meter{Num: 4, Den: 4}, Tempo: 100})
		assert.Equal(t, "left:  "+c.want+"\n", grids(got), c.what)
	}
}

func TestSwingIsMeasured(t *testing.T) {
	for _, c := range []struct {
		second float64
		feel   string
	}{{0.5, "straight"}, {0.6, "swung 3:2"}, {2. / 3, "swung 2:1"}} {
		var hits []hit
		for b := range 4 {
			hits = append(hits, hit{float64(b), 0.4, 64, "C2"}, hit{float64(b) + c.second, 0.3, 64, "C3"})
		}
		got := captured(t, again(hits, 2, 4), Options{Meter: meter.Meter{Num: 4, Den: 4}})
		assert.Equal(t, c.feel, got.Pattern.Swing.String(), "second note %.2f into the beat", c.second)
		assert.Equal(t, pattern.Eighths, got.Pattern.Grid)
	}
}

// A walking bass over four chords: the last note of each bar leads to the next.
func TestWalkingBassNeedsSeveralChords(t *testing.T) {
	var hits []hit
	for bar, keys := range []string{"C3 E3 G3 E3", "F3 A3 C4 F#3", "G3 B3 D4 B3", "C3 E3 G3 B3"} {
		for b, k := range strings.Fields(keys) {
			hits = append(hits, hit{float64(4*bar + b), 0.9, 64, k})
		}
	}
	c := captured(t, hits, Options{Chords: mustChords(t, "C F G C"), Meter: meter.Meter{Num: 4, Den: 4}, Hands: LeftAlone})
	assert.Equal(t, "left:  1 3? 5? apc\n", grids(c))
}

func TestPedalNeedsSeveralChords(t *testing.T) {
	hits := []hit{{0, 3.8, 64, "C3 C4 E4 G4"}, {4, 3.8, 64, "C3 C4 F4 A4"}, {8, 3.8, 64, "C3 B3 D4 G4"}, {12, 3.8, 64, "C3 C4 E4 G4"}}
	c := captured(t, hits, Options{Chords: mustChords(t, "C F G C"), Meter: meter.Meter{Num: 4, Den: 4}, Tempo: 100})
	assert.Equal(t, "right: ch\nleft:  T1\n", grids(c))
}

// Six even notes, of which the fourth is the highest, are 6/8 or 3/4.
func TestAMeterThatFitsAboutAsWellIsNamed(t *testing.T) {
	var hits []hit
	for i, k := range strings.Fields("C3 G3 C4 E4 C4 G3") {
		hits = append(hits, hit{float64(i) / 2, 0.45, 64, k})
	}
	c := captured(t, again(hits, 3, 3), Options{})
	assert.Equal(t, meter.Meter{Num: 3, Den: 4}, c.Pattern.Meter)
	assert.Equal(t, []meter.Meter{{Num: 6, Den: 8}}, c.Rivals)
	assert.True(t, c.ByEar)
	c = captured(t, again(hits, 3, 3), Options{Meter: meter.Meter{Num: 6, Den: 8}})
	assert.Equal(t, "left:  1 5 8 10 8 5\n", grids(c))
	assert.False(t, c.ByEar)
	c = captured(t, again(waltz, 3, 3), Options{})
	assert.True(t, c.ByEar)
	assert.Empty(t, c.Rivals)
}

// A chord held for a bar: with the tempo or the meter, or played twice.
func TestASingleChord(t *testing.T) {
	held := []hit{{0, 3.7, 64, "C3 C4 E4 G4"}}
	for _, o := range []Options{{Tempo: 100}, {Meter: meter.Meter{Num: 4, Den: 4}}} {
		c := captured(t, held, o)
		assert.Equal(t, "right: ch\nleft:  1\n", grids(c))
		assert.Equal(t, meter.Meter{Num: 4, Den: 4}, c.Pattern.Meter)
		assert.InDelta(t, 100, float64(c.Tempo), 6)
	}
	c := captured(t, []hit{{0, 2.7, 64, "C3 C4 E4 G4"}}, Options{Tempo: 100})
	assert.Equal(t, meter.Meter{Num: 3, Den: 4}, c.Pattern.Meter)
	c = captured(t, again(held, 2, 4), Options{})
	assert.Equal(t, "right: ch\nleft:  1\n", grids(c))
	_, err := Capture(playedAs(t, []hit{{0, 0.1, 64, "C3"}}), Options{Name: "x", Chords: mustChords(t, "C"), Meter: meter.Meter{Num: 4, Den: 4}})
	assert.ErrorIs(t, err, errFew, "too short to be a bar")
}

func TestFirstNoteOffTheDownbeat(t *testing.T) {
	hits := again(waltz, 3, 3)[1:] // the first bass is missing: the first note is beat 2
	c := captured(t, hits, Options{OnBeat: 2, Meter: meter.Meter{Num: 3, Den: 4}})
	assert.Equal(t, "right: . ch ch\nleft:  1 .  .\n", grids(c))
}

func TestWhatCannotBeCaptured(t *testing.T) {
	o := Options{Name: "x", Chords: mustChords(t, "C")}
	for _, c := range []struct {
		name string
		hits []hit
		o    Options
		says string
	}{
		{"silence", nil, o, "nothing was played"},
		{"one stroke", waltz[:1], o, "one stroke is too little"},
		{"no chord", waltz, Options{}, "name it, as in C or Am7"},
		{"slash chord", waltz, Options{Chords: mustChords(t, "C/E")}, "play it over C"},
		{"first beat outside the bar", waltz, Options{Chords: o.Chords, OnBeat: 9, Meter: meter.Meter{Num: 3, Den: 4}}, "name a beat of the bar"},
		{"a tune without an end", wandering(), o, "they do not repeat"},
		{"an arm that lies on the keys", trill(mostNotes+1, time.Millisecond), Options{Chords: o.Chords, Tempo: 90, Meter: meter.Meter{Num: 4, Den: 4}}, "more than can be one pattern"},
	} {
		_, err := Capture(playedAs(t, c.hits), c.o)
		assert.ErrorContains(t, err, c.says, c.name)
	}
}

// trill is one key struck again and again.
func trill(n int, apart time.Duration) []hit {
	var all []hit
	for i := range n {
		all = append(all, hit{float64(i) * apart.Seconds(), apart.Seconds() / 2, 64, "C4"})
	}
	return all
}

// wandering is some twenty bars in which nothing comes again.
func wandering() []hit {
	var all []hit
	at, names := 0.0, strings.Fields("C3 D3 E3 F3 G3 A3 B3 C4 D4 E4 F4")
	for i := range 90 {
		all = append(all, hit{at, 0.4, 64, names[i*i*7%11]})
		at += []float64{0.5, 1, 0.5, 1.5, 2, 1, 0.5}[i*i%7]
	}
	return all
}

func TestSameBytesEachTime(t *testing.T) {
	a := captured(t, again(waltz, 3, 3), Options{})
	for range 5 {
		b := captured(t, again(waltz, 3, 3), Options{})
		assert.Equal(t, a, b)
	}
}

// FuzzCapture: whatever is played, capture ends, does not panic, and what it writes
// can be read back.
func FuzzCapture(f *testing.F) {
	f.Add([]byte{0, 48, 90, 60, 60, 60, 60, 0, 0, 48, 90, 60}, byte(0), byte(0))
	f.Add([]byte{1, 36, 90, 10, 1, 36, 0, 90, 1, 36, 90, 10}, byte(3), byte(7))
	f.Fuzz(func(t *testing.T, data []byte, chords, how byte) {
		var events []event.Event
		at := time.Duration(0)
		for i := 0; i+3 < len(data) && i < 4*300; i += 4 {
			at += time.Duration(data[i+3]) * 8 * time.Millisecond
			events = append(events, event.Event{At: at, Status: []uint8{0x90, 0x80, 0xB0, 0x99}[data[i]&3], Data1: data[i+1] & 0x7F, Data2: data[i+2] & 0x7F})
		}
		rows := []string{"C", "Am7 Dm", "C F G7 C", "Bdim7", "F5 Gsus4", "C13"}
		o := Options{Name: "x", Chords: mustChords(t, rows[int(chords)%len(rows)]), Inversions: how&1 == 1}
		if how&2 == 2 {
			o.Meter = tried[int(how>>2)%len(tried)]
		}
		if how&64 == 64 {
			o.Tempo = 90
		}
		c, err := Capture(events, o)
		if err != nil {
			return
		}
		back := material.Pattern(t, c.Pattern.Text())
		assert.Equal(t, c.Pattern, back)
	})
}
