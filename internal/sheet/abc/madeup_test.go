package abc_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/abc"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/song"
	"undersong/internal/test/outside"
)

// madeUp is a chart by chance, the same for the same seed: any key, meter, unit and
// upbeat, chords on beats, repeats and endings, words, and a tune of beats divided in
// every way, with rests, ties and phrase ends.
func madeUp(t testing.TB, seed uint64) *chart.Chart {
	r := rand.New(rand.NewPCG(seed, 12))
	m := meter.Known()[r.IntN(len(meter.Known()))]
	var w strings.Builder
	fmt.Fprintf(&w, "title: Tune %d\nkey: %s\nmeter: %s\ntempo: %d.%d\n", seed, pick(r, "C G D A E B F# C# F Bb Eb Ab Db Gb Cb Am Em Bm F#m C#m G#m D#m A#m Dm Gm Cm Fm Bbm Ebm Abm"), m, 40+r.IntN(200), r.IntN(10))
	upbeat := r.IntN(2) == 0
	if upbeat {
		w.WriteString("upbeat: 1\n")
	}
	if r.IntN(2) == 0 {
		fmt.Fprintf(&w, "unit: 1/%d\n", 2<<r.IntN(4))
	}
	for s := range 1 + r.IntN(3) {
		fmt.Fprintf(&w, "\n[%s %d]\n", pick(r, "Verse Chorus Bridge"), s+1)
		if upbeat && s == 0 {
			w.WriteString("(" + pick(r, "C7 N.C. F") + ") ")
		}
		w.WriteString(shapeOf(r, m))
	}
	c, err := chart.Parse([]byte(w.String()), "")
	require.NoError(t, err, w.String())
	sing(r, c)
	c, err = chart.Parse([]byte(c.Text()), "")
	require.NoError(t, err)
	return c
}

func pick(r *rand.Rand, words string) string {
	all := strings.Fields(words)
	return all[r.IntN(len(all))]
}

// shapeOf is a section's lines of bars, with their words.
func shapeOf(r *rand.Rand, m meter.Meter) string {
	bar := func() string {
		if r.IntN(3) > 0 {
			return " " + pick(r, "C Am F#m7b5 Bb/D G7 N.C. Ebmaj7 D") + " "
		}
		cells := make([]string, m.Beats())
		for i := range cells {
			cells[i] = "."
			if i == 0 || r.IntN(2) == 0 {
				cells[i] = pick(r, "C Am F#m7b5 Bb/D G7 N.C. C7#9 D")
			}
		}
		return " " + strings.Join(cells, " ") + " "
	}
	words := func(bars int) string {
		var w strings.Builder
		for range r.IntN(3) {
			w.WriteString("w:")
			for i := range bars {
				w.WriteString(" |")
				for range max(r.IntN(5), 1-i) {
					w.WriteString(" " + pick(r, "oh my darling Clementine dormez-vous for- ever 1 50% R&B a_b x*y ~ \\- \"quoted\" lost, -- Frère"))
				}
			}
			w.WriteString("\n")
		}
		return w.String()
	}
	switch r.IntN(4) {
	case 0:
		return "|:" + bar() + "|" + bar() + ":|" + pick(r, "x2 x3 x5") + "\n" + words(2)
	case 1:
		return "|:" + bar() + "|1." + bar() + ":|2." + bar() + "|\n" + words(3) + "|" + bar() + "||\n" + words(1)
	case 2:
		return "|:" + bar() + "|1." + bar() + ":|2." + bar() + ":|3." + bar() + "|]\n" + words(4)
	}
	return "|" + bar() + "| % |" + bar() + "|\n" + words(3) + "|" + bar() + "|\n" + words(1)
}

// divisions are ways to divide a beat: shares of it in twelfths, rests below 0.
var divisions = [][]int{{12}, {-12}, {6, 6}, {9, 3}, {4, 4, 4}, {8, 4}, {3, 3, 3, 3}, {2, 2, 2, 2, 2, 2}, {-4, 4, 4}, {6, -6}}

// sing gives most bars a tune.
func sing(r *rand.Rand, c *chart.Chart) {
	for _, b := range c.Bars() {
		if r.IntN(6) == 0 {
			continue
		}
		beat := c.Meter.Beat()
		for at := meter.Ticks(0); at < b.Len; {
			if long := beat * meter.Ticks(1+r.IntN(4)); long > beat && at+long <= b.Len {
				b.Melody = append(b.Melody, note(r, at, long))
				at += long
				continue
			}
			for _, share := range divisions[r.IntN(len(divisions))] {
				length := beat * meter.Ticks(max(share, -share)) / 12
				if share > 0 {
					b.Melody = append(b.Melody, note(r, at, length))
				}
				at += length
			}
		}
		for i := range b.Melody {
			n := &b.Melody[i]
			if i > 0 && b.Melody[i-1].At+b.Melody[i-1].Dur == n.At && r.IntN(5) == 0 {
				b.Melody[i-1].Tied, n.Pitch, n.Ends = true, b.Melody[i-1].Pitch, false
			}
		}
	}
}

func note(r *rand.Rand, at, length meter.Ticks) melody.Note {
	p := pitch.Pitch{Note: pitch.NoteAtFifths(r.IntN(30) - 13), Octave: 2 + r.IntN(4)}
	return melody.Note{At: at, Dur: length, Pitch: p, Ends: r.IntN(8) == 0}
}

func TestMadeUpChartsComeBack(t *testing.T) {
	seeds := uint64(400)
	if testing.Short() {
		seeds = 50
	}
	for seed := range seeds {
		c := madeUp(t, seed)
		comesBack(t, c)
		s, err := abc.Read(abc.Write(c), "", song.Wish{})
		require.NoError(t, err)
		back, _, err := s.ToChart("")
		require.NoError(t, err, "seed %d\n%s", seed, c.Text())
		if !assert.Equal(t, c.Text(), back.Text(), "seed %d\n%s", seed, abc.Write(c)) || t.Failed() {
			return
		}
	}
}

func TestAbc2midiReadsMadeUpCharts(t *testing.T) {
	program := outside.Program(t, outside.Require, "abc2midi", "abcmidi")
	for seed := range uint64(20) {
		c := madeUp(t, seed)
		for _, b := range c.Bars() {
			b.Times = min(b.Times, 2)
		}
		if !c.HasMelody() {
			continue
		}
		text := string(abc.Write(c))
		if !assert.Equal(t, theirs(t, program, text), ours(t, text), "seed %d\n%s", seed, text) {
			return
		}
	}
}
