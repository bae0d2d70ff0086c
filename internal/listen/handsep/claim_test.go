package handsep

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// late moves the onset after its strokes by some time, early before them.
func (b *bench) late(by time.Duration) *bench {
	for i := range b.Onset.Open {
		b.Onset.Open[i].Until = -by
	}
	return b
}

// The windows are 170 ms wide to either side.
func TestNotesAsked(t *testing.T) {
	for _, c := range []struct {
		name, notes     string
		late            time.Duration
		astray, unasked bool
	}{
		{"in time", "C4 E4 G4", 0, false, false},
		{"wrong, in time", "D4 F4 A4", 0, false, false},
		{"late", "C4 E4 G4", 300 * ms, false, false},
		{"wrong and late", "D4 F4 A4", 170 * ms, false, false},
		{"wrong, and later", "D4 F4 A4", 171 * ms, true, true},
		{"right and early", "C4 E4 G4", -170 * ms, false, false},
		{"right, and earlier: kept", "C4 E4 G4", -171 * ms, true, false},
		{"wrong and early", "D4 F4 A4", -171 * ms, true, true},
		{"a part of it, early", "C4", -171 * ms, true, true},
		{"a part of it, late", "C4", 171 * ms, false, false},
		{"with a wrong note, late", "C4 F4", 171 * ms, true, true},
		{"a doubled note alone serves nothing, late", "B3", 171 * ms, true, true},
	} {
		b := newBench(t, "4/4", "| C | F |", "block-whole").open(1, 1).late(c.late).strike(c.notes)
		h := b.Hands[right]
		for i := range b.Onset.notes[:b.Onset.n] {
			b.Onset.notes[i].Hand = right
		}
		assert.Equal(t, c.astray, b.Astray(h), "%s: astray", c.name)
		assert.Equal(t, c.unasked, b.Unasked(h), "%s: unasked", c.name)
	}
	b := newBench(t, "4/4", "| C | F |", "block-whole").open(1, 1).late(-171 * ms).strike("C4 E4 G4")
	b.Hands[right].Stroke(0).Early = keys("C4")
	assert.True(t, b.Unasked(b.Hands[right]), "early ones are kept once")
	b = newBench(t, "4/4", "| C | F |", "two-beat").open(1, 1).strike("C3 E4")
	assert.True(t, b.Unasked(b.Hands[right]), "nothing is open")
	b = newBench(t, "4/4", "| C | F |", "broken-up").open(1, 1).strike("C3 E5")
	assert.False(t, b.Unasked(b.Hands[right]), "a free hand may play what it likes")
	b = newBench(t, "4/4", "| C | F |", "block-whole").open(1, 1).strike("C3 C4 E4 G4").told(left, right)
	b.Onset.Start += afterthought + 1
	assert.True(t, b.Unasked(b.Hands[right]), "the stroke is past")
}

// A chord that comes note by note goes on, however late.
func TestAChordNoteByNote(t *testing.T) {
	b := newBench(t, "4/4", "| C | F |", "block-whole").open(1, 1)
	h := b.Hands[right]
	assert.False(t, h.Broken(0), "nothing came")
	b.strike("C4").told(right)
	st := h.Stroke(0)
	st.Judged = false
	assert.True(t, h.Broken(0), "one note of three")
	b.open(1, 1).late(300 * ms).strike("E4")
	assert.False(t, b.Astray(h))
	b.Commit(h)
	assert.True(t, h.Broken(0), "two, one by one")
	b.open(1, 1).late(500 * ms).strike("E5")
	assert.True(t, b.Astray(h), "what is there already does not go on with it")
	st.Foreign = 1
	assert.False(t, h.Broken(0), "with a wrong note it is another chord")
	st.Foreign, st.Judged = 0, true
	assert.False(t, h.Broken(0))
	for _, c := range []struct {
		change func(st *Stroke)
		want   bool
	}{{func(*Stroke) {}, false}, {func(st *Stroke) { st.Foreign = 1 }, true}, {func(st *Stroke) { st.Judged = true }, true}} {
		b := newBench(t, "4/4", "| C | F |", "block-whole").open(1, 1).strike("C4").told(right)
		st := b.Hands[right].Stroke(0)
		st.Judged = false
		c.change(st)
		b.open(1, 1).late(300 * ms).strike("E4")
		b.Onset.notes[0].Hand = right
		assert.Equal(t, c.want, b.Unasked(b.Hands[right]))
	}

	tenth := newBench(t, "4/4", "| C | F |", "stride-tenths").open(1, 1).late(300 * ms)
	tenth.Onset.Add(Strike{Key: 36, Hand: left}) // C2
	assert.False(t, tenth.Astray(tenth.Hands[left]), "two notes are a chord, of which the other may come")

	two := newBench(t, "4/4", "| C | F |", "block-whole").open(1, 1).strike("C4 E4").told(right)
	two.Hands[right].Stroke(0).Judged = false
	assert.False(t, two.Hands[right].Broken(0), "two at once lack a note")
	lone := newBench(t, "4/4", "| C | F |", "block-whole").open(1, 1).strike("C3").told(left)
	lone.Hands[left].Stroke(0).Judged = false
	assert.False(t, lone.Hands[left].Broken(0), "a lone note is no chord")
	fifth := newBench(t, "4/4", "| C | F |", "stride-tenths").open(1, 1)
	h = fifth.Hands[left]
	h.Stroke(0).Served, h.Stroke(0).Heard, h.Stroke(0).Onsets = 1, keys("C2"), 1
	assert.Equal(t, 2, Lacking(h.Want(0), 0), "a tenth")
	assert.False(t, h.Broken(0), "half of two notes is no beginning of many")
	h.Stroke(0).Onsets = 2
	assert.True(t, h.Broken(0))
}

// What may be told before the onset is over.
func TestSureOfAStroke(t *testing.T) {
	for _, c := range []struct {
		name, pattern string
		beat          float64
		notes         string
		which         int
		want          bool
	}{
		{"the chord is there", "block-whole", 1, "C3 C4 E4 G4", 1, true},
		{"and the bass", "block-whole", 1, "C3", 0, true},
		{"the chord lacks a note", "block-whole", 1, "C3 C4 E4", 1, false},
		{"with a wrong note", "block-whole", 1, "C3 C4 E4 F4 G4", 1, false},
		{"a note that the bass may want, nearer to it", "block-whole", 1, "C3 E3 G3", 1, false},
		{"the bass may be the chord's", "block-whole", 1, "C4", 0, false},
		{"nothing is open", "two-beat", 1, "C3 E4", 1, false},
		{"a bass where a tune may be", "broken-up", 1, "C3", 0, true},
		{"so high that it may be the tune's", "broken-up", 1, "C4", 0, false},
		{"a figure's note", "arpeggio-falling", 1, "C5", 1, true},
		{"a note too far below for the hand", "block-whole", 1, "A2 C4 E4 G4", 1, false},
		{"a chord tone at the bottom that may be meant as the bass", "block-whole", 1, "G3 C4 E4", 1, false},
	} {
		b := newBench(t, "4/4", "| C | F |", c.pattern).open(1, c.beat).strike(c.notes)
		for i := range b.Onset.notes[:b.Onset.n] {
			if c.name == "a note too far below for the hand" {
				b.Onset.notes[i].Hand = right
			}
		}
		assert.Equal(t, c.want, b.Sure(b.Hands[c.which]), c.name)
	}
	judged := newBench(t, "4/4", "| C | F |", "block-whole").open(1, 1).strike("C3").told(left)
	assert.False(t, judged.Sure(judged.Hands[left]))
	early := newBench(t, "4/4", "| C | F |", "block-whole").open(1, 1).late(-171 * ms).strike("C3 C4 E4 G4")
	assert.False(t, early.Sure(early.Hands[right]))
	free := newBench(t, "4/4", "| C | F |", "broken-up").open(1, 1).strike("E5")
	assert.False(t, free.Sure(free.Hands[right]))
	wrong := newBench(t, "4/4", "| C | F |", "block-whole").open(1, 1).strike("C3 C4 E4 G4")
	wrong.Hands[right].Stroke(0).Foreign = 1
	assert.False(t, wrong.Sure(wrong.Hands[right]), "it has a wrong note")
}

// Notes that the other hand may want: C3 is the bass, C4 E4 G4 the chord.
func TestNotesThatBothHandsMayWant(t *testing.T) {
	for _, c := range []struct {
		name, notes string
		which       int
		change      func(b *bench)
		want        bool
	}{
		{"the chord as written", "C4 E4 G4", 1, nil, false},
		{"its C is where the bass is", "C3 E3 G3", 1, nil, true},
		{"what is near the bass is not of its name", "D3 E3 G3", 1, nil, false},
		{"as near to one hand as to the other", "C4 E4 G4", 1, func(b *bench) { b.Hands[left].bearing.drift = 12 }, true},
		{"the bass has come", "C3 E3 G3", 1, func(b *bench) { b.Hands[left].Stroke(0).Judged = true }, false},
		{"no bass is open", "C3 E3 G3", 1, func(b *bench) { b.Onset.Open[left] = Nothing }, false},
		{"the bass is the chord's C", "C4", 0, nil, true},
		{"the bass is its own", "C3", 0, nil, false},
	} {
		b := newBench(t, "4/4", "| C | F |", "block-whole").open(1, 1)
		for i, k := 0, keys(c.notes); i < k.Len(); i++ {
			b.Onset.Add(Strike{Key: k.At(i), Hand: pattern.Hand(c.which)})
		}
		if c.change != nil {
			c.change(b)
		}
		assert.Equal(t, c.want, b.contested(b.Hands[c.which]), c.name)
	}
}

// Beside a free hand a note more than nine semitones towards it may be its own.
func TestNotesThatMayBeSung(t *testing.T) {
	for _, c := range []struct {
		pattern, note string
		which         int
		want          bool
	}{
		{"broken-up", "A3", 0, false}, // from C3
		{"broken-up", "A#3", 0, true},
		{"broken-up", "C2", 0, false},
		{"name: x\nmeter: 4/4\ngrid: eighths\nright: 5 3 1 3 5 3 1 3\n", "A#3", 1, false}, // from G4
		{"name: x\nmeter: 4/4\ngrid: eighths\nright: 5 3 1 3 5 3 1 3\n", "A3", 1, true},
		{"name: x\nmeter: 4/4\ngrid: eighths\nright: 5 3 1 3 5 3 1 3\n", "G5", 1, false},
	} {
		b := newBench(t, "4/4", "| C | F |", c.pattern).open(1, 1)
		k := keys(c.note)
		b.Onset.Add(Strike{Key: k.At(0), Hand: pattern.Hand(c.which)})
		assert.Equal(t, c.want, b.contested(b.Hands[c.which]), "%s, hand %d", c.note, c.which)
	}
}

// A chord with its bass's name in it, wider than a hand: an octave and a second is
// its span.
func TestNotesTooFarApart(t *testing.T) {
	for _, c := range []struct {
		name, notes string
		change      func(b *bench)
		want        bool
	}{
		{"a ninth", "A2 C3 B3", nil, false},
		{"a minor tenth", "A2 C3 C4", nil, true},
		{"the bass has come", "A2 C3 C4", func(b *bench) { b.Hands[left].Stroke(0).Judged = true }, false},
		{"the bass is not due", "A2 C3 C4", func(b *bench) { b.Onset.Open[left].Until = 86 * ms }, false},
		{"the bass is due", "A2 C3 C4", func(b *bench) { b.Onset.Open[left].Until = 85 * ms }, true},
		{"no bass is asked for", "A2 C3 C4", func(b *bench) { b.Onset.Open[left] = Nothing }, false},
	} {
		b := newBench(t, "4/4", "| C | F |", "block-whole").open(1, 1).strike(c.notes)
		for i := range b.Onset.notes[:b.Onset.n] {
			b.Onset.notes[i].Hand = right
		}
		if c.change != nil {
			c.change(b)
		}
		assert.Equal(t, c.want, b.wide(b.Hands[right]), c.name)
	}
	free := newBench(t, "4/4", "| C | F |", "broken-up").open(1, 1).strike("C2 C4")
	for i := range free.Onset.notes[:2] {
		free.Onset.notes[i].Hand = left
	}
	assert.False(t, free.wide(free.Hands[left]), "what the free hand plays is not known")
	asked := newBench(t, "4/4", "| C | F |", "stride-tenths").open(1, 1)
	w := asked.Hands[left].Want(0)
	assert.Equal(t, 16, int(w.Tones[len(w.Tones)-1].Key-w.Tones[0].Key), "a tenth is asked for")
	for _, tone := range w.Tones {
		asked.Onset.Add(Strike{Key: tone.Key, Hand: left})
	}
	assert.False(t, asked.wide(asked.Hands[left]))
}

// A lone note that the right hand has no use for is a try at the bass, where that is
// due and has not come.
func TestTheBassIsReclaimed(t *testing.T) {
	for _, c := range []struct {
		name, pattern string
		beat          float64
		notes         string
		change        func(b *bench)
		want          string
	}{
		{"the right hand rests", "two-beat", 1, "B3", nil, "B3 |"},
		{"or has its chord", "block-whole", 1, "C4 E4 G4 A5", nil, "A5 | C4 E4 G4"},
		{"the chord lacks a note", "block-whole", 1, "C4 E4 A5", nil, "| C4 E4 A5"},
		{"two foreign notes", "block-whole", 1, "C4 E4 G4 A5 B5", nil, "| C4 E4 G4 A5 B5"},
		{"two notes while the right hand rests", "two-beat", 1, "B3 D4", nil, "| B3 D4"},
		{"nothing foreign", "block-whole", 1, "C4 E4 G4 C5", nil, "| C4 E4 G4 C5"},
		{"a chord tone under the whole chord", "block-whole", 1, "G3 C4 E4 G4", nil, "G3 | C4 E4 G4"},
		{"of the chord struck before", "block-whole", 1, "G3 C4 E4 G4", func(b *bench) {
			b.Onset.notes[1].Taken, b.Onset.notes[2].Taken, b.Onset.notes[3].Taken = true, true, true
			b.Hands[right].Stroke(0).Served = 7
		}, "G3 | C4 E4 G4"},
		{"the rest of which came in another onset", "block-whole", 1, "G3 C4", func(b *bench) {
			b.Onset.notes[1].Taken = true
			b.Hands[right].Stroke(0).Served = 7
		}, "G3 | C4"},
		{"a doubled chord, where the hand lies an octave up", "block-whole", 1, "C4 E4 G4 C5", func(b *bench) { b.Hands[right].bearing.drift = 12 }, "C4 | E4 G4 C5"},
		{"as near with the lowest as with the top", "block-whole", 1, "G3 C4 E4 G4", func(b *bench) { b.Hands[right].bearing.drift = -2 }, "G3 | C4 E4 G4"},
		{"it is itself a part of the chord told of", "block-whole", 1, "G3 C4 E4 G4", func(b *bench) { b.Onset.notes[0].Taken = true }, "| G3 C4 E4 G4"},
		{"a chord tone that is there once", "block-whole", 1, "G3 C4 E4", nil, "| G3 C4 E4"},
		{"twice, but the chord lacks another", "block-whole", 1, "G3 E4 G4", nil, "| G3 E4 G4"},
		{"under the whole chord, and two foreign notes", "block-whole", 1, "G3 C4 E4 G4 A5 B5", nil, "| G3 C4 E4 G4 A5 B5"},
		{"a tune in octaves over the bass", "broken-up", 1, "B4 B5", nil, "| B4 B5"},
		{"a lone chord tone, the chord being there", "block-whole", 1, "G3", func(b *bench) { b.Hands[right].Stroke(0).Served = 7 }, "| G3"},
		{"the bass has come", "two-beat", 1, "B3", func(b *bench) { b.Hands[left].Stroke(0).Judged = true }, "| B3"},
		{"or a part of it", "two-beat", 1, "B3", func(b *bench) { b.Hands[left].Stroke(0).Heard = keys("C3") }, "| B3"},
		{"it is not due yet", "two-beat", 1, "B3", func(b *bench) { b.late(-86 * ms) }, "| B3"},
		{"just due", "two-beat", 1, "B3", func(b *bench) { b.late(-85 * ms) }, "B3 |"},
		{"a little late", "two-beat", 1, "B3", func(b *bench) { b.late(85 * ms) }, "B3 |"},
		{"not due any more", "two-beat", 1, "B3", func(b *bench) { b.late(86 * ms) }, "| B3"},
		{"the time is the player's own", "two-beat", 1, "B3", func(b *bench) { b.Onset.Open[left].Window = Window{} }, "| B3"},
		{"one hand alone is judged", "two-beat", 1, "B3", func(b *bench) { b.score.Only = score.LeftAlone }, "| B3"},
		{"nothing is asked of the left hand", "two-beat", 2, "C4 E4 G4 A5", nil, "| C4 E4 G4 A5"},
		{"a chord is asked of it", "open-fifths", 1, "C4 E4 G4 A5", nil, "| C4 E4 G4 A5"},
		{"a figure is", "low-high-middle-high", 1.5, "C6", nil, "| C6"},
		{"the right hand is free", "broken-up", 1, "B4", nil, "| B4"},
		{"the left has a note", "two-beat", 1, "C3 B3", nil, "C3 | B3"},
		{"the right hand's next chord comes soon, and may have slipped", "driving-eighths", 1, "C4 E4 G4 A5", nil, "| C4 E4 G4 A5"},
		{"just as soon as a chord may come early", "driving-eighths", 1, "C4 E4 G4 A5", func(b *bench) { b.Onset.Open[right].Reach = 250 * ms }, "| C4 E4 G4 A5"},
		{"it comes later", "driving-eighths", 1, "C4 E4 G4 A5", func(b *bench) { b.Onset.Open[right].Reach = 249 * ms }, "A5 | C4 E4 G4"},
		{"and the onset late", "driving-eighths", 1, "C4 E4 G4 A5", func(b *bench) { b.late(1 * ms); b.Onset.Open[right].Reach = 249 * ms }, "| C4 E4 G4 A5"},
		{"soon, but the note is nearer the bass", "driving-eighths", 1, "A2 C4 E4 G4", nil, "A2 | C4 E4 G4"},
		{"the chord was the last", "name: once\nmeter: 4/4\ngrid: quarters\n\nright: ch - - - | - - - -\nleft: 1 - - - | - - - -\n", 1, "C4 E4 G4 A5", nil, "A5 | C4 E4 G4"},
	} {
		b := newBench(t, "4/4", "| C | F |", c.pattern).open(1, c.beat).strike(c.notes)
		for i := range b.Onset.notes[:b.Onset.n] {
			n := &b.Onset.notes[i]
			n.Hand = right
			if n.Key == 48 {
				n.Hand = left
			}
		}
		if c.change != nil {
			c.change(b)
		}
		b.Reclaim()
		assert.Equal(t, c.want, b.who(), c.name)
	}
}
