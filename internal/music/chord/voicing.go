package chord

import (
	"slices"
	"sort"

	"undersong/internal/music/pitch"
)

// HandTones are the pitch classes that one hand plays for the chord, root
// first, at most most of them. A tall chord first gives up its root, which the
// other hand has, then its fifth, then the eleventh (common practice, no source).
func (c Chord) HandTones(most int) []pitch.Class {
	tones := c.Type.Tones()
	for _, d := range []int{1, 5, 11, 9} {
		if len(tones) <= most {
			break
		}
		tones = without(tones, d)
	}
	classes := make([]pitch.Class, len(tones))
	for i, tone := range tones {
		classes[i] = c.Root.Class().Up(tone.Interval.Semitones)
	}
	return classes
}

func without(tones []Tone, degree int) []Tone {
	kept := make([]Tone, 0, len(tones))
	for _, t := range tones {
		if t.Degree != degree {
			kept = append(kept, t)
		}
	}
	return kept
}

// Close stacks pitch classes in close position: lowest has class bottom and
// lies at or above low, the others follow upwards within the octave.
func Close(classes []pitch.Class, bottom pitch.Class, low pitch.Num) []pitch.Num {
	first := bottom.From(low)
	keys := make([]pitch.Num, len(classes))
	for i, c := range classes {
		keys[i] = first + pitch.Num(c.Above(bottom))
	}
	sort.Slice(keys, func(i, j int) bool { return keys[i] < keys[j] })
	return keys
}

// Opened is a close voicing with its second note from below an octave up.
func Opened(keys []pitch.Num) []pitch.Num { return moved(keys, 1, 12) }

// Dropped is a close voicing with its second note from above an octave down.
func Dropped(keys []pitch.Num) []pitch.Num { return moved(keys, len(keys)-2, -12) }

// moved takes the i-th of three notes or more elsewhere; of fewer none.
func moved(keys []pitch.Num, i int, by pitch.Num) []pitch.Num {
	keys = slices.Clone(keys)
	if len(keys) > 2 {
		keys[i] += by
		slices.Sort(keys)
	}
	return keys
}

// HandAt are keys in the middle of a hand that lies from low up, from where its
// first whole chord is looked for: around middle C in a usual right hand.
func HandAt(low pitch.Num) []pitch.Num { return []pitch.Num{low + 5, low + 9, low + 12} }

// Motion is the total semitones that the fingers travel from one voicing to
// another, voice by voice from below; with unequal numbers of notes each note
// of the larger counts from the nearest of the smaller.
func Motion(from, to []pitch.Num) int {
	if len(from) > len(to) {
		from, to = to, from
	}
	if len(from) == 0 {
		return 0
	}
	sum := 0
	for i, k := range to {
		if len(from) == len(to) {
			sum += distance(from[i], k)
			continue
		}
		best := distance(from[0], k)
		for _, f := range from[1:] {
			best = min(best, distance(f, k))
		}
		sum += best
	}
	return sum
}

func distance(a, b pitch.Num) int {
	if a > b {
		return int(a - b)
	}
	return int(b - a)
}

// Nearest is the close voicing of classes with the least Motion from prev whose
// lowest note lies in low to low+23. Of equal ones the lower is taken.
func Nearest(prev []pitch.Num, classes []pitch.Class, low pitch.Num) []pitch.Num {
	var best []pitch.Num
	for octave := pitch.Num(0); octave < 24; octave += 12 {
		for _, bottom := range classes {
			v := Close(classes, bottom, low+octave)
			if best == nil || less(v, best, prev) {
				best = v
			}
		}
	}
	return best
}

func less(a, b, prev []pitch.Num) bool {
	ma, mb := Motion(prev, a), Motion(prev, b)
	return ma < mb || ma == mb && a[0] < b[0]
}

// Turned is a close chord's next inversions: up, with the lowest note an octave
// higher, and down.
func Turned(keys []pitch.Num) [2][]pitch.Num {
	n := len(keys)
	up := append(slices.Clone(keys[1:]), keys[0]+12)
	down := append([]pitch.Num{keys[n-1] - 12}, keys[:n-1]...)
	slices.Sort(up)
	slices.Sort(down)
	return [2][]pitch.Num{up, down}
}
