package chart

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// agreement is the share of its time on which a bar's tune has a tone of the
// chord, in ticks, and whether it has one on a beat.
func agreement(c *Chart, b *Bar) (in, all meter.Ticks, onBeat bool) {
	for _, n := range b.Melody {
		all += n.Dur
		if ch := b.ChordAt(n.At); ch.IsNone() || ch.Set().Has(n.Pitch.Class()) {
			in += n.Dur
			onBeat = onBeat || n.At%c.Meter.Beat() == 0
		}
	}
	return in, all, onBeat || all == 0
}

// Traditional tunes agree with their chords: slips of the pen show here. The
// limits are ours.
func TestDemoTunesAgreeWithTheirChords(t *testing.T) {
	sung := 0
	for _, name := range demoNames {
		c := load(t, name)
		var in, all meter.Ticks
		for _, b := range c.Bars() {
			i, a, onBeat := agreement(c, b)
			in, all = in+i, all+a
			assert.True(t, onBeat, "%s bar %d has no tone of its chord on a beat", name, b.Number)
		}
		if all > 0 {
			sung++
			assert.Greater(t, float64(in)/float64(all), 0.75, name)
		}
	}
	assert.Equal(t, 13, sung)
}

// The tunes lie well for a voice: no leap beyond an octave, within A3 and F5, and
// every tie leads to its own note.
func TestDemoTunesAreSingable(t *testing.T) {
	for _, name := range demoNames {
		c := load(t, name)
		var before pitch.Pitch
		tied := false
		for _, b := range c.Bars() {
			for _, n := range b.Melody {
				key := n.Pitch.Num()
				require.True(t, key >= 57 && key <= 77, "%s bar %d: %s", name, b.Number, n.Pitch)
				if before.Octave > 0 {
					require.LessOrEqual(t, max(key-before.Num(), before.Num()-key), pitch.Num(12), "%s bar %d", name, b.Number)
				}
				require.True(t, !tied || before == n.Pitch, "%s bar %d", name, b.Number)
				before, tied = n.Pitch, n.Tied
			}
		}
		assert.False(t, tied, name)
	}
}

// tuneOf writes a chart's tune as notes with their lengths in ticks, bars apart.
func tuneOf(c *Chart) string {
	var bars []string
	for _, b := range c.Bars() {
		var all []string
		for _, n := range b.Melody {
			all = append(all, fmt.Sprintf("%s %d", n.Pitch, n.Dur))
		}
		bars = append(bars, strings.Join(all, ", "))
	}
	return strings.Join(bars, " | ")
}

func TestATuneStandsUnderOrOverItsBars(t *testing.T) {
	const want = "G4 960 | C4 3840 |  | D4 1920, E4 1920"
	for _, src := range []string{
		"(G7) | C | F |\nm: G2 | C8 | z8 |\n| G |\nm: D4E4",
		"m: G2 |: C8 |1 Z |]\n(G7) | C | F |\nla la\nm: D4E4\n# here\n| G |\nla",
		"(G7) | C | F |\nla\nm: G2 | C8 | x8\nm: D4E4\n| G |",
		"| C | F |\nw: | la |\nm: G2 | C8 | Z\n\nm: D4E4\n| G |",
		"| C | F |\nm:G2|C8|Z|\n[B]\nm: | D4E4 |\n| G |",
		"(G7) |\nm: G2\n| C | F |\nm: C8 | Z\n| G |\nm: D4E4",
	} {
		c := parse(t, "key: C\nupbeat: 1\n"+src)
		assert.Equal(t, want, tuneOf(c), src)
		assertSame(t, c, parse(t, c.Text()))
	}
}

func TestALineMayGoWithoutATune(t *testing.T) {
	c := parse(t, "key: C\nupbeat: 1\n| C | F |\n\n| G |\nm: G8\n| C |\n")
	assert.Equal(t, " |  |  | G4 3840 | ", tuneOf(c))
	assert.True(t, c.HasMelody())
	assert.False(t, parse(t, "key: C\n| C |\nm: Z").HasMelody())
	silent := parse(t, "key: C\nupbeat: 1\n| C |\nm: | G8 |")
	assert.Equal(t, " | G4 3840", tuneOf(silent), "what begins with a barline has no upbeat")
}

func TestTheUnitOfATune(t *testing.T) {
	for _, c := range []struct{ headings, tune, want string }{
		{"meter: 4/4\n", "C8", "C4 3840"},
		{"unit: 1/4\n", "C4", "C4 3840"},
		{"unit: 1\n", "C", "C4 3840"},
		{"unit: 1/64\n", "C64", "C4 3840"},
		{"meter: 2/4\n", "C8", "C4 1920"}, // abc 2.1, 3.1.7: a sixteenth below 0.75
		{"meter: 3/4\n", "C6", "C4 2880"}, // else an eighth
		{"meter: 6/8\n", "C6", "C4 2880"},
		{"unit: 1/8\nmeter: 2/4\n", "C4", "C4 1920"},
	} {
		got := parse(t, c.headings+"key: C\n| C |\nm: "+c.tune)
		assert.Equal(t, c.want, tuneOf(got), c.headings)
		assertSame(t, got, parse(t, got.Text()))
	}
}

func TestTextOfATune(t *testing.T) {
	c := parse(t, `key: F
upbeat: 2
unit: 1/4
(C7) |: F | % |1. Bb :|2. F |
m: C>D | A2 (3A/G/F/ G- | G4 | B=B!longphrase!_B2 | F4 |
sing it now
[B]
| F |
m: Z
w: m: not notes
`)
	assert.Equal(t, `key: F
meter: 4/4
tempo: 96
upbeat: 2
unit: 1/4

(C7) |: F | % |1. Bb :|2. F |
m: C3/2 D/ | A2 (3A/G/F/ G- | G4 | B =B !breath!_B2 | F4 |
sing it now

[B]
| F |
w: m: not notes
`, c.Text())
	assert.True(t, c.MarksPhrases())
	assertSame(t, c, parse(t, c.Text()))
}

// What a tie leads to in the next line may be another note where a repeat is
// played; it is written with its sign.
func TestTextAfterATieIntoTheNextLine(t *testing.T) {
	for second, want := range map[string]string{"B8": "B8", "_B8": "_B8", "=B8": "B8", "b8": "b8", "Z": ""} {
		c := parse(t, "key: F\n| F |\nm: =B8- |\n| F |\nm: | "+second+" |\n| G |\nm: | B8 |\n")
		if want != "" {
			assert.Contains(t, c.Text(), "m: | =B8- |\n| F |\nm: | "+want+" |\n| G |\nm: | B8 |\n")
		}
		assertSame(t, c, parse(t, c.Text()))
	}
}

func TestATuneMovesToTheNearestPlace(t *testing.T) {
	for _, c := range []struct{ from, tune, to, want string }{
		{"F", "C2F2^F2A2", "G", "D4 G4 G#4 B4"},
		{"F", "C2F2^F2A2", "D", "A3 D4 D#4 F#4"},
		{"F", "C2F2^F2A2", "B", "F#4 B4 B#4 D#5"},
		{"B", "F2B2=B2D2", "F", "C4 F4 F4 A3"},
		{"Am", "A2^G2A2E2", "Em", "E4 D#4 E4 B3"},
		{"C", "C2_D2E2^^F2", "C#", "C#4 D4 E#4 G#4"}, // no triple sharp
		// the ends of the piano
		{"C", "c2c'2c''2g''2", "F", "F5 F6 F7 C8"},
		{"C", "c2c'2c''2a''2", "F", "F4 F5 F6 D7"},
		{"C", "C,4A,,,,4", "A", "A3 F#1"},
		{"C", "A,,,,2C2g''2c'''2", "F", "D1 F3 C7 F7"},
	} {
		got := parse(t, "key: "+c.from+"\n| C |\nm: "+c.tune).In(key(t, c.to))
		var names []string
		for _, n := range got.Bars()[0].Melody {
			names = append(names, n.Pitch.String())
		}
		assert.Equal(t, c.want, strings.Join(names, " "), "%s from %s to %s", c.tune, c.from, c.to)
	}
}

// Every demo tune in every key is where it was when it comes back.
func TestDemoTunesThereAndBack(t *testing.T) {
	for _, name := range demoNames {
		c := load(t, name)
		for f := -7; f <= 7; f++ {
			moved := c.In(pitch.Key{Tonic: pitch.NoteAtFifths(f)})
			require.Equal(t, tuneOf(c), tuneOf(moved.In(c.Key)), "%s to %s", name, moved.Key)
			again := parse(t, moved.Text())
			require.Equal(t, tuneOf(moved), tuneOf(again), "%s in %s", name, moved.Key)
		}
	}
}

// sing makes up a tune for some of the chart's lines: notes of any length, with
// rests, ties and marks.
func (w *writer) sing(c *Chart) {
	for i := range c.Sections {
		for j := range c.Sections[i].Lines {
			if w.Intn(2) == 0 {
				w.singLine(c.Sections[i].Lines[j].Bars)
			}
		}
	}
}

func (w *writer) singLine(bars []Bar) {
	var tied *pitch.Pitch
	for i := range bars {
		b := &bars[i]
		at := meter.Ticks(0)
		for at < b.Len {
			n := melody.Note{At: at, Dur: w.length(b.Len - at), Pitch: w.note()}
			at += n.Dur
			if tied == nil && w.Intn(5) == 0 { // a rest
				continue
			}
			if tied != nil {
				n.Pitch = *tied
			}
			tied = nil
			if last := i == len(bars)-1 && at == b.Len; !last && w.Intn(5) == 0 {
				n.Tied, tied = true, &n.Pitch
			}
			n.Ends = w.Intn(8) == 0
			b.Melody = append(b.Melody, n)
		}
	}
}

func (w *writer) note() pitch.Pitch {
	n := pitch.Note{Letter: pitch.Letter(w.Intn(7)), Alter: w.Intn(5) - 2}
	return pitch.Pitch{Note: n, Octave: 2 + w.Intn(4)}
}

// length is a plain note, one of a triplet or quintuplet, or an odd one.
func (w *writer) length(most meter.Ticks) meter.Ticks {
	all := []meter.Ticks{240, 480, 480, 720, 960, 1920, 160, 160, 160, 320, 192, 96, 60, 137}
	return min(most, all[w.Intn(len(all))])
}
