package musicxml

import (
	"math"
	"regexp"

	"undersong/internal/music/meter"
)

// pace is a tempo: so many notes of a value, in quarters, a minute.
type pace struct{ perMinute, value float64 }

// quarters are those a minute.
func (p pace) quarters() float64 { return p.perMinute * p.value }

// in is the tempo in felt beats of a meter.
func (p pace) in(m meter.Meter) meter.Tempo {
	return meter.Tempo(p.perMinute * (p.value / (float64(m.Beat()) / float64(meter.Quarter))))
}

// metronome is a <metronome> mark; zero where it tells no number, such as one that
// says which values are equal.
func metronome(n *node) pace {
	var p pace
	for _, k := range n.kids {
		switch k.name {
		case "beat-unit":
			if p.value > 0 {
				return pace{}
			}
			p.value = values[k.text]
		case "beat-unit-dot":
			p.value *= 1.5
		case "per-minute":
			if m := parseNumber(digits.FindString(k.text)); m > 0 && m < 10000 {
				p.perMinute = m
				return p
			}
		}
	}
	return pace{}
}

// digits finds the number in "c. 108".
var digits = regexp.MustCompile(`[0-9]+(\.[0-9]+)?`)

// tempo notes a tempo: a mark, or how it sounds, in quarters. Where they agree the
// mark, which is what was written, counts.
func (w *walker) tempo(mark pace, sound string) {
	if v := parseNumber(sound); v > 0 && v < 10000 && !(math.Abs(v-mark.quarters()) < 0.01) {
		mark = pace{v, 1}
	}
	if mark.quarters() <= 0 {
		return
	}
	if w.m.tempos == 0 {
		w.m.tempo = mark
	}
	w.m.tempos++
}
