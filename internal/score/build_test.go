package score

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"undersong/internal/chart"
	"undersong/internal/meter"
	"undersong/internal/pattern"
	"undersong/internal/pitch"
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

// FuzzBuild: whatever charts, patterns and parts of a piece come together, they
// are refused, or what is wanted is whole.
func FuzzBuild(f *testing.F) {
	charts := []string{
		"key: C\n| C | F | G7 | C |", formed, "key: Am\nmeter: 6/8\nupbeat: 1\n(E7) |: Am . E7 . . . | % :| x3\nm: A | ABc e3 | Z |",
		"key: Cb\nmeter: 3/4\nupbeat: 2\n|: Cb . Gb7/Db |1. N.C. :|2. Fb |\nm: z4 | C6- | C6 | _B,>E |", "key: A#m\nmeter: 2/2\n| A#m D#m | E#7 . |\nm: (3ABc d2 e4 | A8 |",
	}
	mains := []string{"left: 1 . 5 .\nright: . ch . ch", "right: tu+ch - tu< -\nleft: 1 - ap T5", "left: ch0d - chs . | 1,,+b7 > 5? .\nright: cho - chs ~ch-1+9"}
	parts := []string{
		"part: ending\nchords: I | IV . V7sus4 . | I6\nchords-minor: i | iv6 . V4/3/V . | i\nslowing: 4\nleft: 1 . . . | 1 . . . | 1 - - -",
		"part: fill\nleft: % % 3 ap\nright: . ch . .", "part: intro\nleft: 1 1 1 1 | 5 5 5 5", "part: turnaround\nchords: ii V7\nleft: 1 . 1 .", "right: tu - - -",
	}
	for i, c := range charts {
		for j, p := range parts {
			f.Add(c, mains[(i+j)%len(mains)], p, uint16(37*i+5*j))
		}
	}
	head := func(m meter.Meter) string { return "name: x\nmeter: " + m.String() + "\ngrid: beats\n" }
	keys := []string{"C", "Gb", "C#", "F", "Am", "D#m", "Abm"}
	f.Fuzz(func(t *testing.T, text, main, part string, how uint16) {
		c, err := chart.Parse([]byte(text), "a.chart")
		if err != nil || len(c.Unfold()) > 200 {
			return
		}
		main, part = head(c.Meter)+main, head(c.Meter)+part
		m, err := pattern.Parse([]byte(main), "m.pattern")
		if err != nil {
			return
		}
		o := Options{Only: Only(how % 3), Round: how&4 > 0}
		if p, err := pattern.Parse([]byte(part), "p.pattern"); err == nil {
			askedFor(c, p, &o)
		}
		if how&8 > 0 {
			k, err := pitch.ParseKey(keys[int(how>>4)%len(keys)])
			require.NoError(t, err)
			if k.Minor == c.Key.Minor {
				o.Key = &k
			}
		}
		if how&1024 > 0 {
			o.Span = Span{1 + int(how>>11), 2 + int(how>>11)}
		}
		s, err := Build(c, m, o)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		requireWhole(t, s)
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
