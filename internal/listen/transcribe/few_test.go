package transcribe

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// How much of the time of a few takes of each style is named right, root and whole
// label, of a decent player's and of a careless one's: as much as has been reached,
// so that what is lost shows at once and not only in the long table. More is
// welcome.
var fewRight = map[string][4]float64{
	"block":      {0.984, 0.889, 0.972, 0.866},
	"half-bar":   {0.981, 0.929, 0.928, 0.867},
	"quarters":   {0.991, 0.979, 0.991, 0.934},
	"broken":     {0.985, 0.979, 0.952, 0.916},
	"alberti":    {0.962, 0.930, 0.950, 0.844},
	"arpeggio":   {0.994, 0.993, 0.984, 0.827},
	"sixteenths": {0.954, 0.896, 0.933, 0.842},
	"root-fifth": {0.983, 0.961, 0.966, 0.838},
	"walking":    {0.965, 0.889, 0.942, 0.809},
	"octave-pop": {0.989, 0.986, 0.978, 0.921},
	"rolled":     {0.920, 0.861, 0.885, 0.772},
}

func TestAFewTakes(t *testing.T) {
	for s, style := range styles {
		least, ok := fewRight[style]
		assert.True(t, ok, style)
		for i, hard := range []bool{false, true} {
			var sum scores
			for n := range int(timingKinds) {
				tk := record(t, style, uint64(1000*s+n), n, n%3 == 2, hard)
				got, _ := Chords(tk.perf, Options{})
				sum.add(compare(tk.truth, guesses(got)))
			}
			assert.GreaterOrEqual(t, sum.root/sum.time, least[2*i], "%s, careless %v: root", style, hard)
			assert.GreaterOrEqual(t, sum.whole/sum.time, least[2*i+1], "%s, careless %v: whole label", style, hard)
		}
	}
}
