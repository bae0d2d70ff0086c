package score

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/test/material"
)

func TestTuneWithoutAPattern(t *testing.T) {
	c := material.Chart(t, "key: C\nmeter: 4/4\ntempo: 80\n\n| C | G7 |\n")
	_, err := Tune(c, Options{})
	require.ErrorIs(t, err, ErrNoTune)

	g4 := pitch.Num(67).Spell(pitch.Note{Letter: 4})
	c.Bars()[1].Melody = []melody.Note{{At: meter.Half, Dur: meter.Half, Pitch: g4}}
	s, err := Tune(c, Options{Key: &pitch.Key{Tonic: pitch.Note{Letter: 1}}, Tempo: 60})
	require.NoError(t, err)
	assert.Equal(t, meter.Tempo(60), s.Tempo)
	assert.Empty(t, s.Wants)
	require.Len(t, s.Melody, 1)
	assert.Equal(t, pitch.Num(69), s.Melody[0].Key(), "up a tone with the chart")
	assert.Equal(t, meter.Whole+meter.Half, s.Melody[0].At)
	assert.Equal(t, "A7", s.Harmonies[1].Chord.String())

	_, err = Tune(c, Options{Span: Span{7, 9}})
	var span *SpanError
	require.ErrorAs(t, err, &span)
}
