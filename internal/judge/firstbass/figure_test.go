package firstbass

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
	"undersong/internal/test/material"
)

// A second passing tone, over C: it goes on the same way to a note of the chord, or
// out of the stretch. The notes are counted from 0, and the stretch ends at a beat.
func TestTwoPassingTones(t *testing.T) {
	for _, c := range []struct {
		what, tune string
		second     int
		way        int
		until      meter.Ticks // beats
		want       bool
	}{
		{"on to C", "GABc | dcBA", 2, 1, 4, true},
		{"the other way", "GABc | dcBA", 2, -1, 4, false},
		{"downwards", "GAGF | EFED", 3, -1, 8, true},
		{"on to another foreign note", "GABc | dcBA", 1, 1, 4, false},
		{"which is out of the stretch", "GABc | dcBA", 1, 1, 2, true},
		{"for two beats", "AB2c", 1, 1, 4, false},
		{"the tune ends on it", "GGAB", 3, 1, 4, false},
	} {
		th := barsOf(t, "C", "4/4", c.tune, 2)
		assert.Equal(t, c.want, th.passesOn(&th.primary[Tonic], c.second, c.way, c.until*meter.Quarter), c.what)
	}
}

// What comes before a stretch may have another chord.
func TestWhatComesBeforeAStretch(t *testing.T) {
	th := barsOf(t, "C", "4/4", "DEFG", 2)
	for _, c := range []struct {
		what string
		note int
		from meter.Ticks
		want bool
	}{
		{"E is a note of C", 1, 0, true},
		{"D is none", 0, 0, false},
		{"while it sounds", 0, meter.Eighth, false},
		{"but it is over", 0, meter.Quarter, true},
		{"long since", 0, meter.Half, true},
		{"F sounds still", 2, meter.Half + meter.Eighth, false},
	} {
		assert.Equal(t, c.want, th.own(&th.primary[Tonic], c.note, c.from), c.what)
	}
}

// A note that fills a stretch adorns nothing in it.
func TestAnOrnamentIsAPartOfItsStretch(t *testing.T) {
	th := barsOf(t, "C", "4/4", "CDEC", 2)
	d := run{1, 1, meter.Quarter, meter.Half}
	b := &th.primary[Tonic]
	assert.True(t, th.embellishes(b, d, 0, meter.Whole))
	assert.True(t, th.embellishes(b, d, 0, meter.Half))
	assert.False(t, th.embellishes(b, d, meter.Quarter, meter.Half))
	accented := barsOf(t, "C", "4/4", "FCEG", 2)
	f := run{0, 0, 0, meter.Quarter}
	assert.False(t, accented.embellishes(&accented.primary[Tonic], f, 0, meter.Whole), "an accented note that leaps")
	sigh := barsOf(t, "C", "4/4", "FEEG", 2)
	assert.True(t, sigh.embellishes(&sigh.primary[Tonic], f, 0, meter.Whole), "one that steps down to the chord")
}

// Where a bass may begin or end to fit: strong beats, and beats on which another
// note begins. An upbeat is the end of a bar.
func TestSpotsOfABar(t *testing.T) {
	const q = meter.Quarter
	for _, c := range []struct {
		what, upbeat, tune string
		want               []meter.Ticks
	}{
		{"an upbeat of one", "1", "G | c4", []meter.Ticks{0, q}},
		{"of two, from the middle on", "2", "G2 | c4", []meter.Ticks{0, 2 * q}},
		{"of two notes", "2", "GA | c4", []meter.Ticks{0, q, 2 * q}},
		{"of three, with the middle in it", "3", "G3 | c4", []meter.Ticks{0, q, 3 * q}},
		{"of two and a half", "2.5", "G5/2 | c4", []meter.Ticks{0, q / 2, 2*q + q/2}},
	} {
		ch := material.Chart(t, "key: C\nmeter: 4/4\nupbeat: "+c.upbeat+"\nunit: 1/4\n(N.C.) | N.C. |\nm: "+c.tune+" |\n")
		th := NewTheory(scoreOf(t, ch, ""), 2)
		assert.Equal(t, c.want, th.spots[0], c.what)
	}
	assert.Equal(t, []meter.Ticks{0, 2 * q, 4 * q}, barsOf(t, "C", "4/4", "C4", 2).spots[0])
	assert.Equal(t, []meter.Ticks{0, q, 2 * q, 4 * q}, barsOf(t, "C", "4/4", "CDD2", 2).spots[0], "D goes on")
	assert.Equal(t, []meter.Ticks{0, 3 * q}, barsOf(t, "C", "3/4", "C3", 2).spots[0])
}
