package transcribe

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/test/material"
)

func segmentsOf(t *testing.T, beat time.Duration, names ...string) []Segment {
	t.Helper()
	var all []Segment
	at := time.Duration(0)
	for _, n := range names {
		length := beat
		for n[len(n)-1] == '.' {
			n, length = n[:len(n)-1], length+beat
		}
		s := Segment{Start: at, End: at + length}
		if n != "N" {
			c, err := chord.Parse(n)
			require.NoError(t, err)
			s.Chord = c
		}
		all = append(all, s)
		at += length
	}
	return all
}

func gridOf(beat time.Duration, beats, first, perBar int) Grid {
	var g Grid
	for i := range beats {
		g.Beats = append(g.Beats, time.Duration(i)*beat)
		if i >= first && (i-first)%perBar == 0 {
			g.BarStarts = append(g.BarStarts, i)
		}
	}
	return g
}

func TestChordsWrittenAsAChart(t *testing.T) {
	const beat = 500 * time.Millisecond
	segments := segmentsOf(t, beat, "G7", "C...", "F.", "C/E.", "N...", "C...")
	got := Chart("Heard", segments, gridOf(beat, 17, 1, 4))
	require.NotNil(t, got)
	assert.Equal(t, "title: Heard\nkey: C\nmeter: 4/4\ntempo: 120\nupbeat: 1\n\n(G7) | C | F C/E | N.C. | C |]\n", got.Text())
	again := material.Chart(t, got.Text())
	assert.Equal(t, got.Text(), again.Text())
}

func TestBarsOfOtherLengthsAreStretched(t *testing.T) {
	const beat = 600 * time.Millisecond
	g := gridOf(beat, 9, 0, 3)
	g.BarStarts = []int{0, 3, 5, 8}
	got := Chart("", segmentsOf(t, beat, "C..", "F", "G", "C.."), g)
	require.NotNil(t, got)
	assert.Equal(t, "3/4", got.Meter.String())
	assert.Len(t, got.Bars(), 4)
}

func TestNothingToWrite(t *testing.T) {
	assert.Nil(t, Chart("x", nil, Grid{}))
	assert.Nil(t, Chart("x", segmentsOf(t, time.Second, "C"), gridOf(time.Second, 2, 0, 4)))
}
