package handsep

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/pitch"
)

// Motion from keys to keys, in semitones of all fingers, worked by hand.
func TestMotion(t *testing.T) {
	for _, c := range []struct {
		from, to string
		want     int
	}{
		{"C4 E4 G4", "C4 E4 G4", 0},
		{"C4 E4 G4", "C4 F4 A4", 3},
		{"C4 E4 G4", "B3 D4 G4", 3},
		{"C4 E4 G4", "F4 A4 C5", 15},
	} {
		from, to := keys(c.from), keys(c.to)
		assert.Equal(t, c.want, Motion(&from, &to), "%s to %s", c.from, c.to)
	}
}

func TestTheNearestVoicing(t *testing.T) {
	for _, c := range []struct {
		pattern, from string
		tones         uint32
		want          string
		motion        int
	}{
		{"block-near", "C4 E4 G4", allTones, "C4 F4 A4", 3},
		{"block-near", "C5 E5 G5", allTones, "C5 F5 A5", 3},
		{"block-near", "B3 D4 G4", allTones, "A3 C4 F4", 6},  // C4 F4 A4 is as near, and higher
		{"block-root", "C4 E4 G4", allTones, "F4 A4 C5", 15}, // the root position is asked for
		{"block-near", "C4 E4 G4", 0b110, "F4 A4", 0},        // those tones that were struck
		{"block-near", "C4 F4 A4", allTones, "C4 F4 A4", 0},  // where it is
		{"block-near", "F3 A4 C5", allTones, "F4 A4 C5", 12}, // an octave over the lowest
		{"block-near", "", allTones, "", 0},
		{"block-near", "B7", allTones, "C7 F7 A7", 0}, // not above the piano
	} {
		h := newBench(t, "4/4", "| C | F |", c.pattern).Hands[right]
		w, from := h.Want(1), keys(c.from)
		got, ok := nearestVoicing(&from, w, c.tones)
		assert.Equal(t, c.want != "", ok)
		if c.tones == allTones {
			assert.Equal(t, keys(c.want), got, "%s from %s", c.pattern, c.from)
		} else {
			assert.Equal(t, 2, got.Len())
		}
		if c.motion > 0 {
			assert.Equal(t, c.motion, Shortest(&from, w, c.tones))
		}
	}
}

func TestAStackOfTones(t *testing.T) {
	w := newBench(t, "4/4", "| C | F |", "block-near").Hands[right].Want(1) // F
	for first, want := range map[pitch.Num]string{60: "C4 F4 A4", 65: "F4 A4 C5", 69: "A4 C5 F5"} {
		v, ok := closeFrom(first, w, allTones)
		assert.True(t, ok)
		assert.Equal(t, keys(want), v)
	}
	_, ok := closeFrom(61, w, allTones)
	assert.False(t, ok, "no tone of it")
	_, ok = closeFrom(96, w, allTones)
	assert.True(t, ok, "C7 to C8")
	_, ok = closeFrom(97, w, allTones)
	assert.False(t, ok, "beyond the piano")
	_, ok = closeFrom(-1, w, allTones)
	assert.False(t, ok)
	_, ok = closeFrom(60, w, 0)
	assert.False(t, ok)
}

// Where a hand should be.
func TestGoals(t *testing.T) {
	for _, c := range []struct {
		name, pattern, before, heard string
		which, j                     int
		want                         string
	}{
		{"near what it struck", "block-whole", "", "C5 F5 G5", 1, 1, "C5 F5 A5"},
		{"nothing struck: near the chord before", "block-whole", "C5 E5 G5", "", 1, 1, "C5 F5 A5"},
		{"nothing struck, nothing before: as shown", "block-whole", "", "", 1, 1, "C4 F4 A4"},
		{"the nearest inversion from the chord before", "block-near", "E4 G4 C5", "C4 F4 A4", 1, 1, "F4 A4 C5"},
		{"a lone bass: the nearest of its name", "block-whole", "", "E2", 0, 1, "F2"},
		{"or above", "block-whole", "", "E3", 0, 1, "F3"},
		{"a bass far off: where the hand lies", "block-whole", "", "B3", 0, 1, "F2"},
		{"a missing bass: where the hand lies", "block-whole", "", "", 0, 1, "F2"},
		{"a figure's note: in its octave", "low-high-middle-high", "", "F3", 0, 2, "E3"},
	} {
		h := newBench(t, "4/4", "| C | F |", c.pattern).Hands[c.which]
		if c.before != "" {
			st := h.Stroke(c.j - 1)
			st.Heard, st.Complete = keys(c.before), true
		}
		h.Stroke(c.j).Heard = keys(c.heard)
		goal := h.Goal(c.j)
		assert.Equal(t, keys(c.want), goal, c.name)
	}
	h := newBench(t, "4/4", "| C | F |", "block-near").Hands[right]
	h.Stroke(0).Heard = keys("E4 G4 C5")
	h.Stroke(1).Heard = keys("C4 F4 A4")
	goal := h.Goal(1)
	assert.Equal(t, keys("C4 F4 A4"), goal, "a chord before that was not complete says nothing")
	low := newBench(t, "4/4", "| C | F |", "block-whole").Hands[left]
	low.bearing.drift = -12
	goal = low.Goal(1)
	assert.Equal(t, keys("F1"), goal)
	figure := newBench(t, "4/4", "| C | F |", "low-high-middle-high").Hands[left]
	figure.bearing.shift = -12
	goal = figure.Goal(1)
	assert.Equal(t, keys("G2"), goal)
	shown := figure.Shown(1)
	assert.Equal(t, keys("G3"), shown)
}

// A lone bass is far off from more than an octave on.
func TestFarBasses(t *testing.T) {
	for _, c := range []struct {
		pattern, heard string
		which          int
		drift          int
		want           bool
	}{
		{"block-whole", "F3", 0, 0, false},
		{"block-whole", "Gb3", 0, 0, true},
		{"block-whole", "F1", 0, 0, false},
		{"block-whole", "E1", 0, 0, true},
		{"block-whole", "Gb3", 0, 12, false},
		{"block-whole", "F3", 0, -12, false}, // as far from where the hand lies, but an octave from what is written
		{"block-whole", "Gb3", 0, -12, true},
		{"block-whole", "F2 F4", 0, 0, false}, // in octaves
		{"block-whole", "", 0, 0, false},
		{"open-fifths", "F4 C5", 0, 0, false}, // no lone note
		{"low-high-middle-high", "C6", 0, 0, false},
	} {
		h := newBench(t, "4/4", "| C | F |", c.pattern).Hands[c.which]
		h.bearing.drift = c.drift
		j := 1
		h.Stroke(j).Heard = keys(c.heard)
		assert.Equal(t, c.want, h.FarBass(j), "%s %s", c.pattern, c.heard)
	}
}

// The tune E G C5 E | A F D F: a phrase may lie in any octave, but not change it.
func TestTheTuneOnTop(t *testing.T) {
	const none = -1
	for _, c := range []struct {
		name   string
		struck []string // note by note
		onTop  string   // y or n
		off    string   // y where the note lies in another octave
		leapt  []int
	}{
		{"as written", []string{"E4", "G4", "C5", "E4"}, "yyyy", "nnnn", []int{none, none, none, none}},
		{"an octave up", []string{"E5", "G5", "C6", "E5"}, "yyyy", "nnnn", []int{none, none, none, none}},
		{"a note an octave up", []string{"E4", "G5", "C5", "E4"}, "yyyy", "nynn", []int{none, none, none, none}},
		{"the first an octave down, and back", []string{"E3", "G4", "C5", "E4"}, "yyyy", "nnnn", []int{none, 0, none, none}},
		{"two changes to one octave move it", []string{"E4", "G5", "C6", "E5"}, "yyyy", "nynn", []int{none, none, none, none}},
		{"two changes to two octaves do not", []string{"E4", "G5", "C4", "E4"}, "yyyy", "nyyn", []int{none, none, none, none}},
		{"the first an octave down, on there, then back", []string{"E3", "G3", "C5", "E4"}, "yyyy", "nnyn", []int{none, none, none, none}},
		{"another note on top", []string{"E4", "A4", "C5", "E4"}, "ynyy", "nnnn", []int{none, none, none, none}},
	} {
		b := newBench(t, "4/4", "| C | F |\nm: | E2 G2 c2 E2 | A2 F2 D2 F2 |", "name: own\nmeter: 4/4\ngrid: quarters\nright: tu tu tu tu\nleft: 1 - - -\n")
		h := b.Hands[right]
		for j, note := range c.struck {
			h.Stroke(j).Heard = keys(note)
			onTop, leapt := h.TuneOnTop(j)
			assert.Equal(t, c.onTop[j] == 'y', onTop, "%s: %s", c.name, note)
			assert.Equal(t, c.leapt[j], leapt, "%s: %s", c.name, note)
			assert.Equal(t, c.off[j] == 'y', h.Stroke(j).OtherOctave, "%s: %s", c.name, note)
		}
	}
	b := newBench(t, "4/4", "| C | F |\nm: | E2 G2 c2 E2 | A2 F2 D2 F2 |", "name: own\nmeter: 4/4\ngrid: quarters\nright: tu tu tu tu\nleft: 1 - - -\n")
	h := b.Hands[right]
	h.bearing.shift = 12
	got := h.Written(1)
	assert.Equal(t, keys("G5"), got)
	goal := h.Goal(1)
	assert.Equal(t, keys("G5"), goal)
	h.bearing.shift, h.bearing.stray = 0, 0
	h.Stroke(0).Heard = keys("E3")
	h.TuneOnTop(0)
	h.Restart(0, b.place(1, 2))
	h.Stroke(1).Heard = keys("G4")
	_, leapt := h.TuneOnTop(1)
	assert.Equal(t, none, leapt, "what was before a new beginning is forgotten")
}

// A note that was alone in its octave is told while its stroke is remembered: 15 strokes on,
// no more 16 strokes on, however many between were left out.
func TestALeapOfTheTuneIsForgotten(t *testing.T) {
	for j, want := range map[int]int{1: 0, 15: 0, 16: -1, 17: -1} {
		b := newBench(t, "4/4", "| C | C | C | C | C |\nm: | E2 G2 c2 E2 | E2 G2 c2 E2 | E2 G2 c2 E2 | E2 G2 c2 E2 | E2 G2 c2 E2 |", "name: own\nmeter: 4/4\ngrid: quarters\nright: tu tu tu tu\nleft: 1 - - -\n")
		h := b.Hands[right]
		h.Stroke(0).Heard = keys("E3")
		h.TuneOnTop(0)
		tones := h.Want(j).Tones
		h.Stroke(j).Heard = pitch.NumsOf(tones[len(tones)-1].Key)
		_, leapt := h.TuneOnTop(j)
		assert.Equal(t, want, leapt, "stroke %d", j)
	}
}

// However far off a hand has struck, it should be where MIDI has keys, of the right name.
// However far off a hand has struck, it should be where MIDI has keys, of the right name.
func TestAGoalIsAKeyThatThereIs(t *testing.T) {
	for _, c := range []struct {
		pattern string
		drift   int // semitones by which the hand has struck higher than written
		goal    string
	}{
		{"block-whole", -36, "F-1"},
		{"block-whole", -48, "F-1"},
		{"block-whole", 72, "F8"},
		{"block-whole", 84, "F9"},
		{"block-whole", 96, "F9"},
		{"low-high-middle-high", -60, "G-1"},
		{"low-high-middle-high", 84, "G9"},
	} {
		h := newBench(t, "4/4", "| C | F |", c.pattern).Hands[left]
		h.bearing.drift, h.bearing.shift = c.drift, c.drift
		goal := h.Goal(1)
		assert.Equal(t, keys(c.goal), goal, "%s, %d semitones off", c.pattern, c.drift)
	}
}
