package handsep

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/listen/keyboard"
	"undersong/internal/music/pitch"
)

func TestAnOnsetIsLowToHigh(t *testing.T) {
	var o Onset
	assert.False(t, o.Active())
	for i, key := range []pitch.Num{64, 60, 67, 60} {
		assert.True(t, o.Add(Strike{Key: key, Velocity: uint8(i)}))
	}
	assert.True(t, o.Active())
	var got []pitch.Num
	for _, n := range o.Notes() {
		got = append(got, n.Key)
	}
	assert.Equal(t, []pitch.Num{60, 60, 64, 67}, got)
	assert.Equal(t, uint8(1), o.Notes()[0].Velocity, "of one key the first struck first")
	for range pitch.MostNums - 4 {
		assert.True(t, o.Add(Strike{Key: 80}))
	}
	assert.False(t, o.Add(Strike{Key: 81}), "full")
	o.End()
	assert.False(t, o.Active())
	assert.True(t, o.Add(Strike{Key: 81}))
}

func TestNotesOfAHand(t *testing.T) {
	var o Onset
	o.Add(Strike{Key: 40, Hand: left})
	o.Add(Strike{Key: 60, Hand: right, Taken: true})
	assert.True(t, o.Has(left) && o.Has(right))
	assert.True(t, o.hasFresh(left))
	assert.False(t, o.hasFresh(right))
	assert.True(t, o.Told())
	assert.False(t, o.allTold())
	assert.Equal(t, keys("E2"), o.Take(left))
	assert.True(t, o.allTold())
	assert.Equal(t, pitch.Nums{}, o.Take(left), "only once")
	o.End()
	o.Add(Strike{Key: 40, Hand: right})
	assert.False(t, o.Has(left) || o.Told())
}

// The windows of a stroke, at their bounds.
func TestWindows(t *testing.T) {
	w := Window{Reach: 300 * ms, Before: 120 * ms, After: 150 * ms, Due: 60 * ms}
	for _, c := range []struct {
		until                           time.Duration
		tooEarly, tooLate, due, mayRoll bool
		away                            int
	}{
		{300 * ms, true, false, false, false, 100},
		{121 * ms, true, false, false, false, 40},
		{120 * ms, false, false, false, false, 40},
		{101 * ms, false, false, false, false, 33},
		{100 * ms, false, false, false, true, 33},
		{61 * ms, false, false, false, true, 20},
		{60 * ms, false, false, true, true, 20},
		{0, false, false, true, true, 0},
		{-150 * ms, false, false, true, true, 50},
		{-151 * ms, false, true, true, true, 50},
		{-300 * ms, false, true, true, true, 100},
		{-900 * ms, false, true, true, true, 100},
	} {
		o := Open{Until: c.until, Window: w}
		assert.Equal(t, c.tooEarly, o.tooEarly(), "%v: too early", c.until)
		assert.Equal(t, c.tooLate, o.tooLate(), "%v: too late", c.until)
		assert.Equal(t, c.due, o.due(), "%v: due", c.until)
		assert.Equal(t, c.mayRoll, o.mayRoll(), "%v: may roll", c.until)
		assert.Equal(t, c.away, o.away(), "%v: away", c.until)
	}
	own := Open{}
	assert.False(t, own.tooEarly() || own.tooLate())
	assert.True(t, own.due() && own.mayRoll())
	assert.Zero(t, own.away(), "the player's own time is right")
}

// An onset waits for a roll where one is wanted, as long as there is room.
func TestTheTimeOfARoll(t *testing.T) {
	for _, c := range []struct {
		name, pattern string
		change        func(b *bench)
		want          time.Duration
	}{
		{"a roll in a whole bar", "rolled-whole", nil, 200 * ms},
		{"no roll", "block-whole", nil, keyboard.Together},
		{"a roll that nothing follows", "rolled-whole", func(b *bench) { b.open(4, 1) }, 200 * ms},
		{"half the way to the next stroke", "name: x\nmeter: 4/4\ngrid: eighths\nright: ~ch ch - - - - - -\nleft: 1 - - - - - - -\n", nil, 125 * ms},
		{"half the way to the other hand's", "name: x\nmeter: 4/4\ngrid: eighths\nright: ~ch - - - - - - -\nleft: . 1 - - - - - -\n", nil, 125 * ms},
		{"a roll that was told", "rolled-whole", func(b *bench) { b.Hands[right].Stroke(0).Judged = true; b.Hands[left].Stroke(0).Judged = true }, keyboard.Together},
		{"long before its beat", "rolled-whole", func(b *bench) {
			for i := range b.Onset.Open {
				b.Onset.Open[i].Until = 101 * ms
			}
		}, keyboard.Together},
		{"just before its beat", "rolled-whole", func(b *bench) {
			for i := range b.Onset.Open {
				b.Onset.Open[i].Until = 100 * ms
			}
		}, 200 * ms},
		{"while another stroke comes first", "name: x\nmeter: 4/4\ngrid: eighths\nright: . ~ch - - - - - -\nleft: 1 - - - - - - -\n", func(b *bench) {
			b.Onset.Open[right] = Open{Stroke: 0}
		}, keyboard.Together},
	} {
		b := newBench(t, "4/4", "| C | F | G7 | C |", c.pattern).open(1, 1)
		if c.change != nil {
			c.change(b)
		}
		b.strike("C3")
		assert.Equal(t, c.want, b.Onset.Ends()-b.Onset.Start, c.name)
	}
}

// Which keys still sound, and which stroke they belong to.
func TestKeysThatSound(t *testing.T) {
	b := newBench(t, "4/4", "| C | F |", "block-whole").open(1, 1).strike("C3 C4 E4 G4").told(left, right)
	h, _ := b.Release(60)
	assert.Nil(t, h)
	h, _ = b.Release(60)
	assert.Nil(t, h, "once")
	b.Release(64)
	h, j := b.Release(67)
	assert.Same(t, b.Hands[right], h, "the last of its stroke")
	assert.Zero(t, j)
	b.Struck(48)
	h, _ = b.Release(48)
	assert.Nil(t, h, "struck anew: it belongs to nothing")

	b = newBench(t, "4/4", "| C | F |", "block-whole").open(1, 1).strike("C3 C4 E4 G4").told(left, right)
	b.ReleaseAll()
	for _, key := range []pitch.Num{48, 60, 64, 67} {
		h, _ = b.Release(key)
		assert.Nil(t, h)
	}
	b = newBench(t, "4/4", "| C | F |", "block-whole").open(2, 1).strike("F2 F4 A4 C5").told(left, right)
	h, j = b.Release(41)
	assert.Same(t, b.Hands[left], h)
	assert.Equal(t, 1, j, "of the second bar")
	b = newBench(t, "4/4", "| C | F |", "block-whole").open(1, 1).strike("C3 C4 E4 G4").told(left, right)
	b.Hands[left].Stroke(ring)
	h, _ = b.Release(48)
	assert.Nil(t, h, "its stroke is forgotten")
}

// What is kept of a stroke's notes.
func TestWhatIsKeptOfAStroke(t *testing.T) {
	b := newBench(t, "4/4", "| C | F |\nm: | E8 | F8 |", "name: own\nmeter: 4/4\ngrid: bars\nright: tu+ch\nleft: 1\n").open(1, 1)
	h := b.Hands[right]
	b.Onset.Start = time.Second
	b.Onset.Add(Strike{Key: 64, Velocity: 90, At: time.Second + 20*ms, Hand: right})
	b.Onset.Add(Strike{Key: 55, Velocity: 50, At: time.Second, Hand: right})
	b.Commit(h)
	st := h.Stroke(b.Onset.Open[right].Stroke)
	assert.Equal(t, 2, st.Struck)
	assert.Equal(t, time.Second, st.FirstAt)
	assert.Equal(t, time.Second+20*ms, st.LastAt)
	assert.Equal(t, time.Second+10*ms, st.Mean())
	assert.Equal(t, 140, st.Velocity)
	assert.Equal(t, 90, st.TopVelocity)
	assert.Equal(t, 1, st.Onsets)
	assert.Equal(t, 2, st.Sounding)
	b.Commit(h)
	assert.Equal(t, 1, st.Onsets, "nothing fresh")
	b.Onset.Add(Strike{Key: 65, Velocity: 100, At: time.Second + 60*ms, Hand: right})
	b.Commit(h)
	assert.Equal(t, 1, st.Foreign)
	assert.Equal(t, 2, st.Struck, "foreign notes are left out")
	assert.Equal(t, 2, st.Onsets)
	assert.Equal(t, 3, st.Heard.Len())
	st.Judged = true
	b.Onset.Add(Strike{Key: 60, Velocity: 100, At: time.Second + 70*ms, Hand: right})
	b.Commit(h)
	assert.Equal(t, 140, st.Velocity, "and what came after it was told")
	assert.Equal(t, 2, st.Onsets)
}

// A stroke that was complete long before is past.
func TestPastStrokes(t *testing.T) {
	b := newBench(t, "4/4", "| C | F |", "block-whole")
	st := &Stroke{Complete: true, DoneAt: time.Second}
	b.Onset.Start = time.Second + 100*ms
	assert.False(t, b.past(st))
	b.Onset.Start++
	assert.True(t, b.past(st))
	st.Complete = false
	assert.False(t, b.past(st))
}
