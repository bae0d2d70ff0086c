package abc

import (
	"testing"

	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/song"
)

// What is read can be dumped, is played in bars that it has, and every bar has a
// length.
func FuzzRead(f *testing.F) {
	for _, text := range []string{
		english,
		"X:1\nM:6/8\nQ:3/8=50 \"x\"\nP:(AB)2\nU:w=!breath!\nm:~n2=(3o/n/m/ n\nK:D exp ^f treble-8 t=3\nP:A\n[V:1]\"Am/c\"{g}[CE]>-z|:(3:2:4 a>>b-b ~g2&c|1,3 Z2 y:|2 [K:Eb]w^^c'|]\nw: 1.~a-b _*|\\-~c\nP:B\nx4!D.C.!+ce+ \"_x\"|",
		"%abc-2.1\nX:1\nI:linebreak $\n%%undersong chart\n%%undersong fills a at 1 2\n%%propagate-accidentals octave\nK:HP\n%%undersong same 2\n%%undersong joined 2\n%%undersong thin 1\nA-\"F\"A|\"_a\"\"_b\"z8||[1B::|",
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		if len(src) > 4096 {
			return
		}
		s, err := Read(src, "fuzz.abc", song.Wish{})
		if err != nil {
			return
		}
		bars := s.Bars()
		require.NotEmpty(t, bars)
		for _, b := range bars {
			require.Positive(t, int(b.Len))
			for _, n := range b.Notes {
				require.Positive(t, int(n.Dur))
				require.LessOrEqual(t, n.At+n.Dur, b.Len)
			}
			for _, c := range b.Chords {
				require.Less(t, c.At, b.Len)
			}
		}
		for _, i := range s.Order {
			require.Less(t, i, len(bars))
		}
		require.LessOrEqual(t, len(s.Order), song.MostBars)
		_, err = s.Dump().JSON()
		require.NoError(t, err)
		_, _, _ = s.ToChart("fuzz.abc")
	})
}
