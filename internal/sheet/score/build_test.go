package score

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/text/source"
)

// askedFor puts a pattern into a part of a piece, or takes it as accompaniment.
func askedFor(c *chart.Chart, p *pattern.Pattern, o *Options) {
	switch p.Part {
	case pattern.Intro:
		o.Parts.Intro = p
	case pattern.Turnaround:
		o.Parts.Turnaround = p
	case pattern.Ending:
		o.Parts.Ending = p
	case pattern.Fill:
		c.Fills, o.Parts.Fills = []chart.Fill{{Bars: []int{1, 3}}}, []*pattern.Pattern{p}
	default:
		for range c.Sections {
			o.Parts.Sections = append(o.Parts.Sections, p)
		}
	}
}

// cells are what made-up patterns are made of, for each hand.
var cells = [2][]string{
	{".", "-", "1", "5,?", "ap", "1+(5)", "T1", "T5", "ch", "cho", "chs", "3", ">b7", "apd,", "apc'", "ch-1", "%", "1,,"},
	{".", "-", "ch", "ch2", "chn", "~ch0o", "chd", "chs", "tu", "tu+ch", "tu<", "tu+3", "~tub", "*", "ch-1+9", "1+3+5", "%", "8'"},
}

// madeUp is a pattern of cells that bytes choose.
func madeUp(m meter.Meter, heading string, bars int, raw []byte) (*pattern.Pattern, error) {
	grid := pattern.Eighths
	if len(raw)%2 == 0 {
		grid = pattern.Beats
	}
	text := "name: x\nmeter: " + m.String() + "\ngrid: " + grid.String() + "\n" + heading
	for h, choice := range cells {
		text += "\n" + pattern.Hand(h).String() + ":"
		for bar := range bars {
			if bar > 0 {
				text += " |"
			}
			for range int(m.Bar() / grid.Ticks(m)) {
				cell := "1"
				if len(raw) > 0 {
					cell, raw = choice[int(raw[0])%len(choice)], raw[1:]
				}
				text += " " + cell
			}
		}
	}
	return mended(text)
}

// mended reads a pattern, with plain notes where a cell cannot stand.
func mended(text string) (*pattern.Pattern, error) {
	for tries := 0; ; tries++ {
		p, err := pattern.Parse([]byte(text), "x.pattern")
		var e *source.Error
		if !errors.As(err, &e) || e.Line < 5 || e.Col < 7 || tries > 50 {
			return p, err
		}
		lines := strings.Split(text, "\n")
		line := lines[e.Line-1]
		from := strings.LastIndex(line[:e.Col-1], " ") + 1
		lines[e.Line-1] = line[:from] + "1" + strings.TrimLeft(line[from:], cellSigns)
		text = strings.Join(lines, "\n")
	}
}

const cellSigns = "0123456789abcdefghijklmnopqrstuvwxyz.*+-?,'~><()#%=T"

// FuzzBuild: whatever charts, patterns and parts of a piece come together, they
// are refused, or what is wanted is whole.
func FuzzBuild(f *testing.F) {
	for i, c := range []string{
		"key: C\n| C | F | G7 | C |", formed, "key: Am\nmeter: 6/8\nupbeat: 1\n(E7) |: Am . E7 . . . | % :| x3\nm: A3 | ABc e3 | Z |",
		"key: Cb\nmeter: 3/4\nupbeat: 2\n|: Cb . Gb7/Db |1. N.C. :|2. Fb |\nm: z4 | C6- | C6 | _B,3>E3 |", "key: A#m\nmeter: 2/2\n| A#m D#m | E#7 . |\nm: (3ABc d2 e4 | A8 |",
	} {
		for how := range uint16(40) {
			f.Add(c, []byte{2, 3, 4, byte(how), 8, 1, 9, 2, byte(how), 1, 0, 10, 3, 2, 8, 9}[how%2:], []byte{16, 16, 2, 4, byte(i), 3}, how*211)
		}
	}
	headings := []struct {
		text string
		bars int
	}{
		{"part: ending\nchords: I | IV V7sus4 | I6\nchords-minor: i | V4/3/V iv6 | i\nslowing: 4", 3}, {"part: ending\nslowing: 1.05", 2}, {"part: fill", 1},
		{"part: intro", 2}, {"part: intro\nchords: bVII6/5\nchords-minor: viiø7/iv", 1}, {"part: turnaround\nchords: ii V7\nchords-minor: N.C. VI+", 1}, {"", 3},
	}
	keys := []string{"C", "Gb", "C#", "F", "Am", "D#m", "Abm"}
	f.Fuzz(func(t *testing.T, text string, main, part []byte, how uint16) {
		c, err := chart.Parse([]byte(text), "a.chart")
		if err != nil || len(c.Unfold()) > 200 {
			return
		}
		m, err := madeUp(c.Meter, "", 1+len(main)/2%3, main)
		if err != nil {
			return
		}
		o := Options{Only: Only(how % 3), Round: how&4 > 0}
		h := headings[int(how>>3)%len(headings)]
		if p, err := madeUp(c.Meter, h.text, h.bars, part); err == nil {
			askedFor(c, p, &o)
		}
		if k, err := pitch.ParseKey(keys[int(how>>6)%len(keys)]); how&8 > 0 && err == nil && k.Minor == c.Key.Minor {
			o.Key = &k
		}
		if how&1024 > 0 {
			o.Span = Span{1 + int(how>>12), 2 + int(how>>12)}
		}
		s, err := Build(c, m, o)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		requireWhole(t, s)
		requireWhole(t, s.Part(len(s.Bars)/2, len(s.Bars)-1))
	})
}

// requireWhole checks that bars and harmonies have no gaps, strokes their places
// and time goes on.
func requireWhole(t *testing.T, s *Score) {
	t.Helper()
	at := meter.Ticks(0)
	for _, b := range s.Bars {
		require.Equal(t, at, b.At)
		require.Positive(t, b.Len)
		require.Less(t, b.Printed, len(s.Chart.Bars()))
		at += b.Len
	}
	require.Equal(t, s.Length, at)
	at = 0
	for _, h := range s.Harmonies {
		require.Equal(t, at, h.At)
		require.Less(t, h.At, h.End)
		at = h.End
	}
	require.Equal(t, s.Length, at)
	at = 0
	for _, w := range s.Wants {
		require.LessOrEqual(t, at, w.At)
		require.Less(t, w.At, s.Length)
		require.Positive(t, w.Dur)
		require.NotEmpty(t, w.Tones)
		require.True(t, w.Bar >= 0 && w.Bar < len(s.Bars) && w.Harmony >= 0 && w.Harmony < len(s.Harmonies))
		for i, tone := range w.Tones {
			require.NotZero(t, tone.Accept)
			require.True(t, i == 0 || w.Tones[i-1].Key < tone.Key, "%v", w.Tones)
		}
		at = w.At
	}
	last := time.Duration(-1)
	for at := meter.Ticks(0); at <= s.Length; at += meter.Sixteenth / 2 {
		now := s.Time(at)
		require.Less(t, last, now, "time goes on at %d", at)
		require.InDelta(t, float64(at), s.At(now), 0.01)
		last = now
	}
}
