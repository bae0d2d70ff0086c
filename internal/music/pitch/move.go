package pitch

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Move says which key a piece is moved to: by the key's name, or by how far up or
// down. The zero value moves to C major.
type Move struct {
	key       Key
	semitones int   // counted; 0 where they are not
	fifths    []int // an interval along the line of fifths; several where its size was left open
}

// Named reports a key by name, and not how far from another.
func (m Move) Named() bool { return m.semitones == 0 && len(m.fifths) == 0 }

// From is the key that a piece in home is moved to, in the same mode unless it was
// named, written with the fewest sharps or flats. Where a second, third, sixth or
// seventh may be minor or major, it is the key with fewer of them.
func (m Move) From(home Key) Key {
	switch {
	case m.Named():
		return m.key
	case m.semitones != 0:
		return KeyAt(home.Tonic.Class().Up(m.semitones), home.Minor)
	}
	var best Key
	for i, f := range m.fifths {
		if k := home.withFifths(home.Fifths() + f).Simplest(); i == 0 || abs(k.Fifths()) < abs(best.Fifths()) {
			best = k
		}
	}
	return best
}

func abs(n int) int { return max(n, -n) }

// ParseMove reads a key as ParseKey does, or how far to move: "a third lower", "up a
// perfect fifth", "a whole tone higher", "+3", "-2 semitones", "capo 3".
func ParseMove(s string) (Move, error) {
	k, err := ParseKey(s)
	if err == nil {
		return Move{key: k}, nil
	}
	d, unknown := read(s)
	switch {
	case d == (distance{}) && keyHint(s) != "":
		return Move{}, err
	case d == (distance{}):
		return Move{}, fmt.Errorf("%w; or say how far to move, such as %s", err, farExamples)
	case unknown == "":
		return d.move(s)
	}
	return Move{}, fmt.Errorf("%q: what is %q? Say how far to move, such as %s", s, unknown, farExamples)
}

const farExamples = `"a third lower", "up a fifth", "a whole tone higher", +3, "-2 semitones" or "capo 3"`

// distance is how far to move, as far as it was said.
type distance struct {
	up      int    // 1, or -1 for down; 0 where it was not said
	count   int    // of semitones or whole tones; 0 where it was not said
	quality string // minor, major, perfect, augmented, diminished, half or whole
	what    string // second to seventh, tritone, octave, semitone, tone or capo
}

// farWords are the words of a distance, each with what it says.
var farWords = map[string]distance{
	"up": {up: 1}, "higher": {up: 1}, "above": {up: 1}, "down": {up: -1}, "lower": {up: -1}, "below": {up: -1},
	"minor": {quality: "minor"}, "major": {quality: "major"}, "perfect": {quality: "perfect"}, "augmented": {quality: "augmented"},
	"diminished": {quality: "diminished"}, "half": {quality: "half"}, "whole": {quality: "whole"},
	"second": {what: "second"}, "third": {what: "third"}, "fourth": {what: "fourth"}, "fifth": {what: "fifth"}, "sixth": {what: "sixth"},
	"seventh": {what: "seventh"}, "octave": {what: "octave"}, "tritone": {what: "tritone"}, "capo": {what: "capo"},
	"semitone": {what: "semitone"}, "semitones": {what: "semitone"}, "tone": {what: "tone"}, "tones": {what: "tone"}, "step": {what: "tone"}, "steps": {what: "tone"},
	"one": {count: 1}, "two": {count: 2}, "three": {count: 3}, "four": {count: 4}, "five": {count: 5}, "six": {count: 6},
	"a": {}, "an": {}, "the": {}, "by": {},
}

// read reads words in any order; unknown is the first that is none of a distance, or
// that says again what was said.
func read(s string) (d distance, unknown string) {
	text := strings.NewReplacer("\u2212", "-", "half-", "half ", "whole-", "whole ").Replace(strings.ToLower(strings.TrimSpace(s)))
	if rest := strings.TrimLeft(text, "+-"); len(text) == len(rest)+1 {
		d.up, text = 1, rest
		if s[0] != '+' {
			d.up = -1
		}
	}
	for _, word := range strings.Fields(text) {
		says, ok := farWords[word]
		if n, err := strconv.Atoi(word); err == nil && n > 0 && word[0] != '+' {
			says, ok = distance{count: n}, true
		}
		if (!ok || !d.add(says)) && unknown == "" {
			unknown = word
		}
	}
	return d, unknown
}

// add takes in what another word says, where it was not said yet.
func (d *distance) add(o distance) bool {
	if d.up*o.up != 0 || d.count*o.count != 0 || d.quality != "" && o.quality != "" || d.what != "" && o.what != "" {
		return false
	}
	*d = distance{d.up + o.up, d.count + o.count, d.quality + o.quality, d.what + o.what}
	return true
}

// farIntervals are the sizes of each interval along the line of fifths: C to G is 1.
var farIntervals = map[string]map[string]int{
	"second":  {"minor": -5, "major": 2, "augmented": 9},
	"third":   {"minor": -3, "major": 4, "diminished": -10},
	"fourth":  {"perfect": -1, "augmented": 6, "diminished": -8},
	"fifth":   {"perfect": 1, "diminished": -6, "augmented": 8},
	"sixth":   {"minor": -4, "major": 3, "augmented": 10},
	"seventh": {"minor": -2, "major": 5, "diminished": -9},
	"tritone": {"": 6},
}

// usual are the qualities of an interval that is called by its number alone.
var usual = map[string]bool{"perfect": true, "major": true, "minor": true}

// mostSemitones is less than an octave: that is the same key.
const mostSemitones = 11

// move is the distance as a Move; s is how it was written.
func (d distance) move(s string) (Move, error) {
	if d.what == "capo" && d.up == 0 {
		d.up = 1 // a capo raises what the hand plays
	}
	m, ok := d.size()
	switch {
	case d.what == "octave":
		return Move{}, fmt.Errorf("%q: an octave higher or lower is the same key", s)
	case !ok:
		return Move{}, fmt.Errorf("%q is no distance from 1 to %d semitones; say how far to move, such as %s", s, mostSemitones, farExamples)
	case d.up == 0:
		return Move{}, fmt.Errorf("%q: up or down? Say %q or %q", s, s+" higher", s+" lower")
	}
	m.semitones *= d.up
	for i := range m.fifths {
		m.fifths[i] *= d.up
	}
	return m, nil
}

// size is how far to move up.
func (d distance) size() (m Move, ok bool) {
	known := farIntervals[d.what]
	if known == nil || d.count > 0 {
		m.semitones, ok = d.semitones()
		return m, ok
	}
	for q, f := range known {
		if q == d.quality || d.quality == "" && usual[q] {
			m.fifths = append(m.fifths, f)
		}
	}
	slices.Sort(m.fifths)
	return m, m.fifths != nil
}

// semitones is the distance counted in them.
func (d distance) semitones() (n int, ok bool) {
	n = max(d.count, 1)
	switch {
	case d.what == "tone" && slices.Contains([]string{"", "whole"}, d.quality):
		n *= 2
	case d.what == "tone" && d.quality == "half", d.what == "semitone" && d.quality == "":
	case d.count == 0 || d.quality != "" || d.what != "" && d.what != "capo":
		return 0, false
	}
	return n, n <= mostSemitones
}
