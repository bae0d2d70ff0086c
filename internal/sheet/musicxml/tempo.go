package musicxml

import (
	"math"
	"regexp"
)

// metronome is a <metronome> mark in quarters a minute; 0 where it tells no
// number, such as one that says which values are equal.
func metronome(n *node) float64 {
	v := 0.
	for _, k := range n.kids {
		switch k.name {
		case "beat-unit":
			if v > 0 {
				return 0
			}
			v = values[k.text]
		case "beat-unit-dot":
			v *= 1.5
		case "per-minute":
			if m := parseNumber(digits.FindString(k.text)); m > 0 && m < 10000 {
				return v * m
			}
		}
	}
	return 0
}

// digits finds the number in "c. 108".
var digits = regexp.MustCompile(`[0-9]+(\.[0-9]+)?`)

// tempo notes a tempo: a mark, or how it sounds. Where they agree the mark, which
// is what was written, counts.
func (w *walker) tempo(mark float64, sound string) {
	v := parseNumber(sound)
	if !(v > 0 && v < 10000) {
		v = mark
	}
	if v <= 0 {
		return
	}
	if mark > 0 && math.Abs(v-mark) < 0.01 {
		v = mark
	}
	if w.m.tempos == 0 {
		w.m.tempo = v
	}
	w.m.tempos++
}
