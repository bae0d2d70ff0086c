package firstbass

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

func listenerOf(t *testing.T, text string, o Options) *Listener {
	t.Helper()
	return New(scoreOf(t, material.Chart(t, text), ""), o)
}

// A bar in which the tune only holds its note is passed over.
func TestTheBarAfter(t *testing.T) {
	l := listenerOf(t, held, Options{BassAlone, 2})
	assert.Equal(t, []int{2, 2, 3, -1}, []int{l.after(0), l.after(1), l.after(2), l.after(3)})
	assert.Equal(t, -1, l.Bar(), "before the first")
}

// A key counts for the beat that it is nearest to, in its bar.
func TestTheNearestBeat(t *testing.T) {
	const beat = meter.Quarter
	l := listenerOf(t, waltz, Options{BassAlone, 3}) // an upbeat of one beat, then bars of three
	for _, c := range []struct {
		bar       int
		pos, want meter.Ticks
	}{
		{0, 0, 0}, {0, beat - 1, beat - 1}, // the upbeat has one beat: it goes to no other bar
		{1, beat, beat}, {1, beat + beat/2 - 1, beat}, {1, beat + beat/2, 2 * beat}, {1, 3 * beat, 3 * beat},
		{1, 4 * beat, 4*beat - 1}, {1, 0, beat},
		{2, 4*beat + beat/3, 4 * beat}, {2, 6*beat - beat/3, 6 * beat},
	} {
		assert.Equal(t, c.want, l.onBeat(c.bar, c.pos), "bar %d, %d", c.bar, c.pos)
	}
}

// Foreign notes speak against a bass, and where all of them adorn it the first.
func TestWhatSpeaksAgainstABass(t *testing.T) {
	l := listenerOf(t, "key: C\nmeter: 4/4\nunit: 1/4\n| C | C | C | C |\nm: CDEF | D2^F2 | C4 | CDED |\n", Options{BassAlone, 2})
	bar := l.s.Bars[0].Len
	assert.Equal(t, []int{1}, l.against(int(Tonic), 0, bar), "D passes, and F")
	assert.Equal(t, []int{4, 5}, l.against(int(Tonic), bar, 2*bar))
	assert.Empty(t, l.against(int(Tonic), 2*bar, 3*bar), "nothing is foreign")
}

// The third goes with the tune: minor under F, major under F sharp; either where
// the tune has neither.
func TestTheThirdThatGoesWithTheTune(t *testing.T) {
	l := listenerOf(t, "key: Am\nmeter: 2/4\nunit: 1/4\n| Dm | D | Dm | Dm |\nm: df | d^f | f^f | da |\n", Options{WithTriad, 3})
	b := &l.th.primary[Subdominant]
	for bar, want := range []struct {
		third string
		both  bool
	}{{"F", false}, {"F#", false}, {"F", false}, {"F", true}} {
		third, both := l.third(b, bar)
		assert.Equal(t, want.third, third.String(), "bar %d", bar+1)
		assert.Equal(t, want.both, both, "bar %d", bar+1)
		assert.Equal(t, want.third == "F", l.thirdHere(b, bar, pitch.Class(5)), "F in bar %d", bar+1)
		assert.Equal(t, want.third == "F#" || want.both, l.thirdHere(b, bar, pitch.Class(6)), "F sharp in bar %d", bar+1)
	}
	assert.False(t, l.thirdHere(b, 0, pitch.Class(7)), "G is no third of D")
}

// A half step beside third or fifth is a slip to the key beside it.
func TestKeysBesideAChord(t *testing.T) {
	l := listenerOf(t, sounding.Lou, Options{WithTriad, 2})
	for class, want := range []bool{false, false, false, true, false, true, true, false, true, false, false, false} {
		assert.Equal(t, want, l.nearTone(&l.th.primary[Tonic], pitch.Class(class)), "%d half steps above C", class)
	}
}
