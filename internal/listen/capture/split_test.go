package capture

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// unitText writes units as "48 | 60+64+67".
func unitText(units []unit) string {
	var all []string
	for _, u := range units {
		var keys []string
		for _, n := range u.notes {
			keys = append(keys, fmt.Sprint(n.key))
		}
		text := strings.Join(keys, "+")
		if u.block != (len(u.notes) > 1) {
			text += " wrongly named"
		}
		all = append(all, text)
	}
	return strings.Join(all, " | ")
}

// What one hand strikes together: notes without a gap; a bass goes off the whole
// chord over it, where it is one of its notes or foreign.
func TestUnitsOfAGroup(t *testing.T) {
	for _, c := range []struct{ chord, keys, want string }{
		{"C", "C4", "60"},
		{"C", "C4 E4 G4", "60+64+67"},
		{"C", "C3 C4 E4 G4", "48 | 60+64+67"},
		{"C", "C3 E3 C4 G4", "48+52 | 60 | 67"},
		{"C", "C4 E4 G4 C5", "60 | 64+67+72"},
		{"C", "B3 C4 E4 G4", "59 | 60+64+67"},
		{"C7", "C4 E4 G4 Bb4", "60+64+67+70"}, // its own root is not a bass under the rest
		{"C", "C4 E4 A4 C5", "60+64+69+72"},
		{"C5", "C4 C5 G5", "60 | 72 | 79"},
	} {
		all := takeOver(t, c.chord, c.keys)
		assert.Equal(t, c.want, unitText(unitsOf(all.groups[0], all.o.Chords[0])), "%s over %s", c.keys, c.chord)
	}
}

// simultaneities are groups in their units.
func simultaneities(tk *take) (all []simultaneity) {
	for i, g := range tk.groups {
		all = append(all, simultaneity{unitsOf(g, tk.chordIn(i)), g.notes[0].on})
	}
	return all
}

// Where a right hand may begin: at its single notes and at its chords.
func TestWhereHandsMayPart(t *testing.T) {
	ms := simultaneities(takeOver(t, "C", "C3 C4 E4 G4, G3, C3 E4 G4 C5"))
	lines, blocks := bottoms(ms)
	assert.Equal(t, []pitch.Num{48, 55, 128}, lines)
	assert.Equal(t, []pitch.Num{60, 64, 128}, blocks)
	assert.True(t, bothPlay(ms, split{128, 60}))
	assert.False(t, bothPlay(ms, allLeft))
	assert.False(t, bothPlay(ms, allRight))
	assert.False(t, single(ms))
	assert.True(t, single(simultaneities(takeOver(t, "C", "C3, G3, E4"))))
	assert.False(t, single(simultaneities(takeOver(t, "C", "C3 E3, G3"))), "a third is more than one note")
	assert.False(t, single(simultaneities(takeOver(t, "C", "C3 C4, G3"))), "and so is an octave")
}

// Who plays is whoever was told, or the likeliest, of equals the left hand.
func TestWhoPlays(t *testing.T) {
	tk := takeOver(t, "C", "C3")
	assert.Equal(t, LeftAlone, tk.whoPlays([]float64{0, 1, 1, 1}))
	assert.Equal(t, RightAlone, tk.whoPlays([]float64{0, 2, 1, 1}))
	assert.Equal(t, BothHands, tk.whoPlays([]float64{0, 2, 1.5, 1}))
	assert.Equal(t, LeftAlone, tk.whoPlays([]float64{0, 2, 3, 4}))
	tk.o.Hands = RightAlone
	assert.Equal(t, RightAlone, tk.whoPlays([]float64{0, 1, 2, 2}))
}

// Which of two ways to give notes to hands is the likelier.
func TestLikelierHands(t *testing.T) {
	at := func(line, block pitch.Num) split { return split{line, block} }
	for _, c := range []struct {
		name, keys    string
		worse, better split
	}{
		{"a low line is the left hand's", "C3, E3, G3", allRight, allLeft},
		{"a high line is the right hand's", "C5, E5, G5", allLeft, allRight},
		{"the higher it climbs the more so", "C5, E6, G6", allLeft, allRight},
		{"low chords are the left hand's", "C3 E3 G3, C3 E3 G3", allRight, allLeft},
		{"high chords are the right hand's", "C5 E5 G5, C5 E5 G5", allLeft, allRight},
		{"basses and chords are for two", "C3, C4 E4 G4, C3, C4 E4 G4", allRight, at(128, 60)},
		{"three octaves are for two", "C2, C5, C2, C5", allLeft, at(72, 128)},
		{"a right hand's figure stands on the root", "G3, E4, C4, E4", at(64, 128), at(60, 128)},
		{"a right hand's line is not under the left's chords", "G3, C4 E4 G4, G3", at(0, 128), at(128, 0)},
	} {
		tk := takeOver(t, "C", c.keys)
		ms := simultaneities(tk)
		assert.Less(t, splitCost(ms, tk.o.Chords[0], c.better), splitCost(ms, tk.o.Chords[0], c.worse), c.name)
	}
}

// What a hand would have to strike or hold at once.
func TestWhatAHandHolds(t *testing.T) {
	struck := func(keys string, on, off time.Duration) []note {
		all := noted(t, keys)
		for i := range all {
			all[i].on, all[i].off = on*ms, off*ms
		}
		return all
	}
	var b burden
	b.reach(pattern.Left, nil, 0)
	b.reach(pattern.Left, struck("C3", 0, 500), 0)
	assert.Zero(t, b.whole)
	b.reach(pattern.Left, struck("G3", 450, 2000), 450*ms)
	assert.Zero(t, b.whole, "a note that is just let go is not held")
	b.reach(pattern.Right, struck("C5", 900, 2000), 900*ms)
	assert.Zero(t, b.whole, "the other hand may hold")
	b.reach(pattern.Left, struck("C3", 900, 1500), 900*ms)
	held := b.whole
	assert.Positive(t, held, "G3 is held under it")
	b.reach(pattern.Left, struck("C4", 3000, 3500), 3000*ms)
	assert.Equal(t, held, b.whole, "all was let go")
	b.reach(pattern.Left, struck("C3 D4", 5000, 5500), 5000*ms)
	assert.Equal(t, held, b.whole, "a ninth is within a hand")
	b.reach(pattern.Left, struck("C3 G4", 7000, 7500), 7000*ms)
	assert.Greater(t, b.whole, held, "a twelfth is not")
}
