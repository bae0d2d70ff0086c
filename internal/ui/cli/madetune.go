package cli

import (
	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
)

// lowestTune is the lowest note of a made tune: the E above middle C.
const lowestTune = pitch.Num(64)

// makeTune gives a chart of chords a tune of their own notes, one on each beat up
// to the last, so that a pattern which plays the tune can be shown.
func makeTune(c *chart.Chart) {
	for _, b := range c.Bars() {
		ch := b.Chords[0].Chord
		if ch.IsNone() {
			continue
		}
		notes := ch.Notes()
		beat := c.Meter.Beat()
		last := max(0, b.Len-2*beat)
		for at, i := meter.Ticks(0), 1; at <= last; at, i = at+beat, i+1 {
			n := notes[i%len(notes)]
			key := n.Class().From(lowestTune)
			dur := beat
			if at == last {
				dur = b.Len - at
			}
			b.Melody = append(b.Melody, melody.Note{At: at, Dur: dur, Pitch: key.Spell(n)})
		}
	}
}
