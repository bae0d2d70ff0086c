// Package material is charts, patterns and tunes for tests.
package material

import (
	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
)

// rhythms are note lengths in eighths, one row a bar in turn; a bar takes what
// fills it.
var rhythms = [][]meter.Ticks{{2, 2, 2, 2, 2}, {3, 1, 2, 1, 1, 2}, {4, 2, 1, 1, 2}, {1, 1, 2, 3, 1, 2}, {2, 1, 1, 4, 2}, {6, 2, 2}}

// steps are how the tune moves along the scale.
var steps = []int{1, 1, -1, 2, -1, -2, 1, -1, 3, -2, -1, 1, 2, -3, -1}

// compass is how many degrees above the tonic the tune climbs.
const compass = 9

// phraseBars is how many bars a phrase has.
const phraseBars = 4

// Sing gives every bar of c a tune in its key: on beats a note of the chord,
// between them notes of the scale. The same chart gets the same tune.
func Sing(c *chart.Chart) {
	scale := c.Key.Scale()
	tonic := pitch.Num(60 + (c.Key.Tonic.Class().Above(0)+5)%12 - 5) // between G3 and F#4
	degree, moved := 2, 0
	bars := c.Bars()
	for i, b := range bars {
		b.Melody = nil
		row := rhythms[i%len(rhythms)]
		for at, n := meter.Ticks(0), 0; at < b.Len; n++ {
			length := min(row[n%len(row)]*meter.Eighth, b.Len-at)
			degree = min(compass, max(0, degree+steps[moved%len(steps)]))
			moved++
			if at%c.Meter.Beat() == 0 {
				degree = onChord(b, at, scale, degree)
			}
			b.Melody = append(b.Melody, melody.Note{At: at, Dur: length, Pitch: pitchOf(tonic, scale, degree)})
			at += length
		}
		b.Melody[len(b.Melody)-1].Ends = i%phraseBars == phraseBars-1 || i == len(bars)-1
	}
}

// onChord is the degree nearest to one that belongs to the chord; that one
// where the chord has no note of the scale.
func onChord(b *chart.Bar, at meter.Ticks, scale [7]pitch.Note, degree int) int {
	set := b.ChordAt(at).Set()
	for d := 0; d <= compass; d++ {
		for _, near := range []int{degree - d, degree + d} {
			if near >= 0 && near <= compass && set.Has(scale[near%7].Class()) {
				return near
			}
		}
	}
	return degree
}

func pitchOf(tonic pitch.Num, scale [7]pitch.Note, degree int) pitch.Pitch {
	n := scale[degree%7]
	key := tonic + pitch.Num(n.Class().Above(scale[0].Class())+12*(degree/7))
	return key.Spell(n)
}
