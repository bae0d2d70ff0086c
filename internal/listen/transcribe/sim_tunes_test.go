package transcribe

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// Progressions for simulated players, in C major or A minor. Bars are parted by
// |; the chords of a bar share it evenly, a dot holds on. They are the stock of
// pop and folk accompaniment (common practice, no source).
var majorTunes = []string{
	"C | G | Am | F | C | G | F | C",
	"C | G/B | Am | C/G | F | C/E | Dm7 | Gsus4 G",
	"C | Am | F | G | C | Am | Dm | G7",
	"F | G | Em | Am | F | G | C | C",
	"Am | F | C | G | Am | F | G | G",
	"C | C7 | F | Fm | C/G | G7 | C | C",
	"C Em | F G | C Em | F G | Am Em | F C | Dm G | C",
	"Cmaj7 | Fmaj7 | Cmaj7 | Fmaj7 | Dm7 | G7 | Cmaj7 | C7",
	"C | D7 | F | C | C | D7 | G | G7",
	"C | E7 | Am | C7/G | F | Fm | C G | C",
	"C | C/B | Am | Am/G | F | C/E | D/F# | G",
	"C G/B | Am G | F C/E | Dm G | C G/B | Am Em | F G | C",
	"F | C/E | Dm | C | Bb | F | G | G7",
	"C | Csus4 C | G | Gsus4 G | Am | F | Gsus4 | G",
	"Dm7 | G7 | Cmaj7 | Am7 | Dm7 | G7 | C | A7",
	"Am | G | F | E7 | Am | Dm | E7 | Am",
	"C | Em/B | Am | F | C/E | F | Gsus4 | G",
	"C | Bdim | E7 | Am | F | F#dim | G | G7",
	"F | G/F | Em7 | Am | Dm7 | G | C | C7",
	"C . . G | Am . . G | F . . C/E | Dm . G . | C . . G | F . . G | C | C",
	"C | F/C | C | F/C | Am | Dm | F | G",
	"C | Caug | Am/C | C7 | F | Fm6 | C/G G7 | C",
	"Am7 | D7 | Gmaj7 | Cmaj7 | F#m7b5 | B7 | Em | Em",
	"C | Bb | F | C | Ab | Bb | C | C",
	"F | Em | Dm7 | C | F | Em7 | Dm7 G | C",
	"Csus2 | C | Fsus2 | F | G | Am | F | G7sus4 G7",
	"C | Am7 | Fmaj7 | G | Em7 | Am7 | Dm7 | G7sus4",
	"C | C#dim7 | Dm7 | G7 | Em7 | A7 | Dm7 G7 | C",
	"C F | C G | Am Dm | G | C F | C/E Am | Dm G | C",
	"C | C | F | C | C | C | G | G | C | C | F | C | C | G | C | C",
}

var minorTunes = []string{
	"Am | Dm | E7 | Am | F | Dm | E7 | Am",
	"Am | G | F | E | Am | G | F | E7",
	"Am | F | C | G | Am | F | Dm | E7",
	"Am Em | F C | Dm Am | E E7 | Am Em | F C | Dm E7 | Am",
	"Am | Am/G | F#m7b5 | F | Dm7 | Esus4 E | Am | Am",
	"Am | Dm | G | C | F | Bdim | E7 | Am",
	"Am7 | Dm7 | Am7 | Dm7 | Fmaj7 | E7 | Am | E7",
	"Am | E/G# | Am/G | D/F# | F | C/E | Bm7b5 E7 | Am",
	"Am | C | G | Dm | Am | C | Esus4 | E",
	"Am . . G | F . . G | C . G/B . | Am | Dm . . Am | E7 | Am | Am",
}

// change is a chord of a tune: from a beat on, for so many beats.
type change struct {
	beat, beats int
	chord       chord.Chord
}

// tune writes a tune out in a key over bars of so many beats.
func tune(t testing.TB, text string, minor bool, key pitch.Key, perBar int) []change {
	t.Helper()
	home := pitch.Key{}
	if minor {
		home = pitch.Key{Tonic: pitch.NoteAtFifths(3), Minor: true}
	}
	up := home.To(key)
	var out []change
	beat := 0
	for _, bar := range strings.Split(text, "|") {
		fields := strings.Fields(bar)
		for i, f := range fields {
			from, to := beat+i*perBar/len(fields), beat+(i+1)*perBar/len(fields)
			if perBar == 3 && len(fields) == 2 {
				from, to = beat+2*i, beat+2+i // two beats and one
			}
			if f == "." {
				out[len(out)-1].beats += to - from
				continue
			}
			c, err := chord.Parse(f)
			require.NoError(t, err)
			if n := len(out); n > 0 && out[n-1].chord == c.Transpose(up) {
				out[n-1].beats += to - from
				continue
			}
			out = append(out, change{from, to - from, c.Transpose(up)})
		}
		beat += perBar
	}
	return out
}

// randomTune strings two stock phrases together in a random key.
func randomTune(t testing.TB, r *rand.Rand, perBar int) ([]change, pitch.Key) {
	minor := r.IntN(10) < 3
	stock := majorTunes
	if minor {
		stock = minorTunes
	}
	key := pitch.KeyAt(pitch.Class(r.IntN(12)), minor)
	text := stock[r.IntN(len(stock))]
	other := stock[r.IntN(len(stock))]
	if perBar == 3 { // no bars of four chords in a waltz
		for strings.Contains(text+other, ".") {
			text, other = stock[r.IntN(len(stock))], stock[r.IntN(len(stock))]
		}
	}
	return tune(t, text+" | "+other+" | "+text, minor, key, perBar), key
}
