package engine

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/sounding"
)

// What is told of a stroke that may stand for one place or another, once the next has
// said for which.
func TestWhatTheNextStrokeSays(t *testing.T) {
	once := func(n, after float64, keys ...pitch.Num) func(*sounding.Take) {
		at := time.Duration(n * float64(beat))
		return func(p *sounding.Take) {
			for _, k := range keys {
				p.Add(k, at, at+time.Duration(after*float64(beat)))
			}
		}
	}
	instead := func(h pattern.Hand, bar int, keys ...pitch.Num) func(*sounding.Take) {
		return func(p *sounding.Take) { p.Keys(h, bar, 1, keys...) }
	}
	for _, c := range []struct {
		name, pattern string
		change        func(*sounding.Take)
		want          string
	}{
		{"a chord once more, before it is due again", "bossa-nova", once(5.75, 0.2, 60, 65, 69), "right extra: bar 2, beat 2.75: C F A do not belong here - leave out C F A"},
		{"long before that", "shuffle", once(6.25, 0.2, 60, 65, 69), "right extra: bar 2, beat 3.25: C F A do not belong here - leave out C F A"},
		{"a chord too many among others, as the next bass tells", "driving-eighths", once(6.25, 0.2, 60, 65, 69), "right extra: bar 2, beat 4.75: C F A do not belong here - leave out C F A"},
		{"a bass once more, in the middle of its bar", "open-whole", once(18, 1.5, 57), "left extra: bar 5, beat 3: A does not belong here - leave out A"},
		{"a bass left out, of which the chord has a note", "arpeggio-triplets", instead(left, 2), "left missing: bar 2, beat 1: no chord - strike F F"},
		{"the bass of the bar before", "stride", instead(left, 3, 41), "left wrong-bass: bar 3, beat 1: bass F, the root is wanted here - go up to G"},
		{"a bass that the chord before has", "two-beat", instead(left, 6, 45), "left wrong-bass: bar 6, beat 1: bass A, the root is wanted here - go down to F"},
		{"a bass of no chord near by", "harp-wave", instead(left, 2, 55), "left wrong-bass: bar 2, beat 1: bass G, this is F - go down to F"},
	} {
		s := sounding.ScoreOf(t, "4/4", ledTune, c.pattern)
		p := sounding.Exact(s)
		c.change(p)
		assert.Equal(t, []string{c.want}, ledWrongs(s, p.Events()), c.name)
	}
}
