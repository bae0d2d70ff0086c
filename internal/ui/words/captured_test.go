package words

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/listen/capture"
	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
)

// capturedAs is a capture of a pattern that was played four times over chords.
func capturedAs(t *testing.T, heading, rows, chords string) *capture.Captured {
	t.Helper()
	p, err := pattern.Parse([]byte("name: own\n"+heading+"\n"+rows+"\n"), "own.pattern")
	require.NoError(t, err)
	c := &capture.Captured{Pattern: p, Tempo: 95.6, Bars: 4, Times: 4}
	for _, name := range strings.Fields(chords) {
		ch, err := chord.Parse(name)
		require.NoError(t, err)
		c.Chords = append(c.Chords, ch)
	}
	return c
}

func TestWhatIsSaidOfACapture(t *testing.T) {
	c := capturedAs(t, "meter: 3/4\ngrid: quarters\nlengths: free", "right: . ch ch\nleft: 1 . .", "C C C")
	Describe(c)
	assert.Equal(t, "Captured: both hands, one bar of 3/4", c.Pattern.Sounds)
	assert.Equal(t, "played over C", c.Pattern.Source)
	assert.Equal(t, []string{
		"one bar of 3/4, played 4 times at about 96 beats a minute",
		"ch is the whole chord in any inversion; ch0, ch1, ch2 ask for one, chn for the nearest",
		"lengths: free lets the player hold notes short or long; lengths: held asks for them as written",
		`one chord cannot tell everything: a bass that stays when the chord changes (T1, T5), a step to the next chord (ap) or a fixed inversion (ch0) show over several chords, as in --chords "C F G7 C"`,
	}, CapturedLines(c))

	c = capturedAs(t, "meter: 4/4\ngrid: eighths\nfeel: swung 3:2", "right: >1+3+5 . . . . . . . | . . . . . . . .\nleft: 1 . 5,? . *? . 1+(3) ap | 1 . . . . . . .", "C F F C")
	c.Slips, c.Unsure, c.ByEar, c.Rivals = 2, 1, true, []meter.Meter{{Num: 2, Den: 2}, {Num: 6, Den: 8}}
	Describe(c)
	assert.Equal(t, "Captured: both hands, 2 bars of 4/4", c.Pattern.Sounds)
	assert.Equal(t, "played over C F C", c.Pattern.Source)
	assert.Equal(t, []string{
		"2 bars of 4/4, played 4 times at about 96 beats a minute",
		"2 places were played otherwise once; what came most times stands here",
		"one stroke was played only every other time and kept: play it three times, and the steady part is kept",
		"the meter was found by ear, and could be 2/2 or 6/8 too: --meter 2/2",
		"the pairs were played about 3:2; feel: straight makes them even",
		"> marks the strokes that were clearly louder",
		"the right hand's notes keep their places; where they are a whole chord, ch would set them free",
		"5,? is the fifth below the root or above it; 5 alone is the one above",
		"ap leads to the next bass by a half or whole step, apd by the key's own step, apc by a half step",
		"*? is any tone of the chord, since it was another each time",
		"notes in ( ) were left out now and then, and may be",
		"every note was held to the next; lengths: free lets the player choose",
	}, CapturedLines(c))

	c.Times, c.Rivals = 2, nil
	said := CapturedLines(c)
	assert.NotContains(t, said, "2 places were played otherwise once; what came most times stands here", "of two times neither is most")
	assert.Contains(t, said, "the meter was found by ear; --meter names another")

	c = capturedAs(t, "meter: 4/4\ngrid: bars", "right: cho\nleft: .", "C F")
	Describe(c)
	assert.Equal(t, "Captured: one voicing for both hands, one bar of 4/4", c.Pattern.Sounds)
	assert.Contains(t, CapturedLines(c), "one voicing for both hands: cho is open, chd has the second note from above an octave down, chs is spread")
}
