package live

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

// written reads "F over F C" as a chord and the basses that the accompaniment has,
// and "F broken".
func written(t *testing.T, text string) Written {
	t.Helper()
	text, broken := strings.CutSuffix(text, " broken")
	symbol, basses, _ := strings.Cut(text, " over ")
	c, err := chord.Parse(symbol)
	require.NoError(t, err)
	w := Written{Chord: c, Broken: broken}
	for _, name := range strings.Fields(basses) {
		n, err := pitch.ParseNote(name)
		require.NoError(t, err)
		w.Basses = w.Basses.With(n.Class())
	}
	return w
}

// shown is what is heard from one moment to the next, looked at every 10 ms, over
// bars of two seconds; "-" for nothing.
func shown(t *testing.T, key string, bars []string, text string) string {
	t.Helper()
	k, err := pitch.ParseKey(key)
	require.NoError(t, err)
	l := NewListener(Options{Key: &k})
	var all []string
	look := func(at time.Duration) {
		l.Expect(written(t, bars[min(int(at/(2*time.Second)), len(bars)-1)]))
		l.Tick(at)
		is := l.Heard()
		n := name(&is)
		if n == "" {
			n = "-"
		}
		if len(all) == 0 || all[len(all)-1] != n {
			all = append(all, n)
		}
	}
	now := time.Duration(0)
	for _, ev := range append(music(t, text), event.Event{At: time.Duration(len(bars)) * 2 * time.Second, Status: event.ControlChange}) {
		for ; now < ev.At; now += 10 * time.Millisecond {
			look(now)
		}
		l.Feed(ev)
		l.Take()
	}
	return strings.Join(all, ", ")
}

// A bar's chord is named as a musician hears it, with its bass, and its name stays
// from beat to beat. Common practice, no source.
func TestTheChordOfTheBarIsShown(t *testing.T) {
	for _, c := range []struct {
		name, key string
		bars      []string
		music     string
		want      string
	}{
		{"a waltz, the chord an inversion, the bass let go of", "C", []string{"F over F", "F over F"},
			"F2 0-0.5; A3 C4 F4 0.66-1.1; A3 C4 F4 1.33-1.8; F2 2-2.5; A3 C4 F4 2.66-3.1", "-, F"},
		{"root and fifth in the bass", "C", []string{"F over F C", "F over F C"},
			"F2 0-0.5; A3 C4 F4 0.66-1.1; A3 C4 F4 1.33-1.8; C2 2-2.5; A3 C4 F4 2.66-3.1; A3 C4 F4 3.33-3.8", "-, F"},
		{"a two-beat", "C", []string{"C over C G"},
			"C3 0-0.4; E4 G4 C5 0.5-0.8; G2 1-1.4; E4 G4 C5 1.5-1.8", "-, C"},
		{"another chord: its bass sounds first", "C", []string{"C over C", "G7 over G"},
			"C3 0-0.4; E4 G4 C5 0.66-1.1; G2 2-2.4; F4 G4 B4 2.66-3.1; F4 G4 B4 3.33-3.7", "-, C, G, G7"},
		{"a wrong bass is told", "C", []string{"F over F", "F over F"},
			"A2 0-0.5; A3 C4 F4 0.66-1.1; A3 C4 F4 1.33-1.8; F2 2-2.5; A3 C4 F4 2.66-3.1", "-, A, F/A, F"},
		{"another chord is told", "C", []string{"F over F"},
			"F2 0-0.5; A3 D4 F4 0.66-1.1", "-, F, Dm/F"},
		{"a chord on its bass as the chart has it", "C", []string{"C/E over E"},
			"E2 0-0.5; G3 C4 E4 0.66-1.1", "-, E, C/E"},
		{"a broken chord", "C", []string{"C broken"},
			"C3 0-0.2; G3 0.25-0.45; E3 0.5-0.7; G3 0.75-0.95; C3 1-1.2; G3 1.25-1.45; E3 1.5-1.7", "-, C"},
		{"a broken chord on its third", "C", []string{"C broken"},
			"E3 0-0.2; G3 0.25-0.45; C4 0.5-0.7; G3 0.75-0.95; E3 1-1.2; G3 1.25-1.45; C4 1.5-1.7", "-, E, C/E"},
		{"the lowest key of MIDI", "C", []string{"C broken"}, "C-1 0-0.2; G3 0.25-0.45; C4 0.5-0.7; G3 0.75-0.95", "-, C, -"},
		{"a foreign note is no chord tone", "C", []string{"C over C"},
			"C3 0-0.4; E4 G4 C5 0.5-0.8; F#3 1-1.3; E4 G4 C5 1.5-1.8", "-, C, F#, C"},
		{"what was let go of a while ago is gone", "C", []string{"C over C"}, "C3 E3 G3 0-0.4", "-, C, -"},
		{"the right hand alone: its own lowest note", "C", []string{"F"}, "A4 C5 F5 0-1.9", "-, F/A"},
		{"no chord is written", "C", []string{"N.C. over C"}, "A3 C4 F4 0-1.9", "-, F/A"},
	} {
		assert.Equal(t, c.want, shown(t, c.key, c.bars, c.music), c.name)
	}
}

// What an accompaniment has beneath a chord: what the left hand plays lowest, and the
// chord's own bass; a right hand alone has none.
func TestWhatIsWritten(t *testing.T) {
	for _, c := range []struct{ name, rows, chord, basses string }{
		{"root and fifth", "right: . ch . ch\nleft: 1 . 5 .", "C", "C G"},
		{"over a bass of the chart: that, and root or fifth", "right: . ch . ch\nleft: 5 . 5 .", "C/E", "E C G"},
		{"the right hand alone", "right: ch . . .", "C", ""},
		{"the right hand alone, on the bass of the chart", "right: ch . . .", "C/E", ""},
	} {
		s := sounding.Score(t, "4/4", "120", "| "+c.chord+" |", sounding.Own(t, "4/4", "quarters", c.rows))
		assert.Equal(t, written(t, c.chord+" over "+c.basses).Basses, WrittenAt(s, 0).Basses, c.name)
	}
}

func TestSilenceIsForgotten(t *testing.T) {
	l := NewListener(Options{})
	for _, k := range []uint8{48, 64, 67} {
		l.Feed(event.On(0, k, 70))
	}
	l.Tick(time.Second)
	is := l.Heard()
	assert.Equal(t, "C", name(&is))
	l.Silence(time.Second)
	is = l.Heard()
	assert.True(t, is.Silent(), "nothing lingers when the cable is pulled")
	assert.Empty(t, l.Down().Keys())
}

// What is played as the patterns ask is named as the chart has it, or by its notes
// before it is a chord, and the name changes no more than that. A chord may sound on
// when the next one begins.
func TestPatternsAreHeardAsTheChartHasThem(t *testing.T) {
	habits, err := performer.Human("steady")
	require.NoError(t, err)
	for _, name := range strings.Fields("waltz waltz-root-fifth waltz-near two-beat country-two-beat stride tresillo-backbeat habanera " +
		"broken-up low-high-middle-high arpeggio-falling arpeggio-zigzag twelve-eight-broken six-eight-rocking boogie-climb boogie-octaves " +
		"suspended-fourth rootless-charleston block-whole driving-eighths dropped-halves spread-whole fifth-and-octave") {
		p := material.Shipped(t, name)
		m := p.Meter
		if p.AnyMeter() {
			m = meter.Meter{Num: 4, Den: 4}
		}
		c := material.Chart(t, "key: C\nmeter: "+m.String()+"\ntempo: 90\n\n| C | F | F | G7 | C | Am | Dm7 | G7 | C | C |\n")
		if p.PlaysTune() {
			material.Sing(c)
		}
		s, err := score.Build(c, p, score.Options{})
		require.NoError(t, err)
		changes := 0
		var last Sound
		follow(s, performer.Play(s, habits, performer.Course{}, 3).Events, func(h int, is Sound) {
			if !is.Chord.IsNone() && is.Chord != s.Harmonies[h].Chord {
				assert.Equal(t, s.Harmonies[max(0, h-1)].Chord, is.Chord, name)
			}
			if is.Chord != last.Chord {
				changes++
			}
			last = is
		})
		assert.LessOrEqual(t, changes, 2*len(s.Harmonies)+3, name)
	}
}

// follow looks at what is heard thirty times a second, and at the harmony there.
func follow(s *score.Score, events []event.Event, look func(harmony int, is Sound)) {
	l := NewListener(Options{Key: &s.Key})
	now := time.Duration(0)
	for _, ev := range events {
		for ; now < ev.At; now += time.Second / 30 {
			h := s.HarmonyAt(meter.Ticks(s.Tempo.Ticks(now, s.Meter)))
			l.Expect(WrittenAt(s, h))
			l.Tick(now)
			look(h, l.Heard())
		}
		l.Feed(ev)
		l.Take()
	}
}
