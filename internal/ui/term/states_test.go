package term

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/session/sitting"
	"undersong/internal/ui/words"
)

// drawn is a view at 80x24 in plain letters, line by line.
func drawn(s words.View) []string { return strings.Split(Render(s, 80, 24, Style{}), "\n") }

func TestATunePausedSaysSoAndWhatMayBeAsked(t *testing.T) {
	s := scenes()["by-ear"]
	s.Piano = "at the piano: hold the two lowest keys"
	playing := drawn(s)
	s.Phase, s.Notice = sitting.Paused, "paused"
	s.Menu = []words.Choice{{Key: "space", Text: "go on", Short: "go on"}, {Key: "q", Text: "end", Short: "end"}}
	lines := drawn(s)
	assert.Equal(t, " paused", lines[2], "where the phrase stood")
	assert.Equal(t, " at the piano: hold the two lowest keys", lines[22])
	assert.Equal(t, " space go on, q end", lines[23])
	assert.Contains(t, strings.Join(lines, "\n"), "> a little higher", "what was said last stays")
	assert.Equal(t, " phrase 2 of 4", playing[2])
	assert.Equal(t, " at the piano: hold the two lowest keys", playing[22])
	s.Notice = "keyboard unplugged: waiting for Digital Piano"
	large := strings.Split(Render(s, 80, 24, Style{Unicode: true}), "\n")
	assert.Len(t, newCanvas(80, 24, Style{Unicode: true}).mediumLines(s.Notice, 78), 3)
	assert.True(t, strings.HasPrefix(large[2+3*mediumRows+1], " █████  █████  █████"), "the notes below it")
}

func TestWhatIsNeverWantedHasNoLabel(t *testing.T) {
	s := playing()
	s.Wanted, s.WantedDetail = "", ""
	text := strings.Join(drawn(s), "\n")
	assert.Contains(t, text, "wanted", "it comes and goes")
	assert.Contains(t, text, "o go to")
	s.Unasked = true
	text = strings.Join(drawn(s), "\n")
	assert.NotContains(t, text, "wanted")
	assert.NotContains(t, text, "o go to")
	assert.Contains(t, text, "* held")
	s.Phase = sitting.CountingIn
	assert.NotContains(t, strings.Join(drawn(s), "\n"), "first", "nor in the count-in")
	s.Phase = sitting.PlaceLost
	assert.Contains(t, strings.Join(drawn(s), "\n"), "place")
	s.Showing, s.Unasked = true, false
	assert.NotContains(t, strings.Join(drawn(s), "\n"), "o go to", "nothing to go to in a demonstration")
}

func TestWhatToBeginWithBearsNoMark(t *testing.T) {
	s := playing()
	s.Correction, s.CorrectionBar, s.Prompt = "", 0, "play the tune, and under it F or C"
	assert.Contains(t, drawn(s), " play the tune, and under it F or C")
	s.Praise = "that's it"
	text := strings.Join(drawn(s), "\n")
	assert.Contains(t, text, "ok that's it")
	assert.NotContains(t, text, s.Prompt)
}

// Commands are read from the piano stool: in one column of large letters, in two where
// they are too many, and in plain ones only where there is no room.
func TestCommandsAreAsLargeAsThereIsRoom(t *testing.T) {
	s := scenes()["commands"]
	for _, c := range []struct {
		width, height int
		plain, short  bool
	}{{100, 30, false, false}, {80, 24, false, true}, {70, 24, true, false}, {80, 16, true, false}, {80, 17, false, true}} {
		style := Style{Unicode: true}
		text := Render(s, c.width, c.height, style)
		assert.Equal(t, c.plain, strings.Contains(text, "practise 5-8 left"), "%dx%d", c.width, c.height)
		canvas := newCanvas(c.width, c.height, style)
		rows, ok := canvas.medium("G1 practise")
		require.True(t, ok)
		assert.Equal(t, c.short, strings.Contains(text, strings.TrimSpace(rows[0])), "%dx%d", c.width, c.height)
	}
	s.Menu = s.Menu[:7]
	rows, _ := newCanvas(80, 24, Style{Unicode: true}).medium("A1  left hand")
	assert.Contains(t, Render(s, 80, 24, Style{Unicode: true}), strings.TrimSpace(rows[0]), "seven have room in one column")
}

func TestASummaryIsNeverCutWithoutAWord(t *testing.T) {
	s := scenes()["finished"]
	read := func(corrections int) []string {
		s.Summary = []string{"12 strokes right, 36 to mend"}
		for n := range corrections {
			s.Summary = append(s.Summary, fmt.Sprintf("bar %d, beat 1: no bass - strike F", n+1))
		}
		return drawn(s)
	}
	lines := read(9)
	assert.Equal(t, []string{"", " bar 1, beat 1: no bass - strike F", "", " bar 2, beat 1: no bass - strike F"}, lines[3:7], "apart where there is room")
	lines = read(16)
	assert.Equal(t, " 12 strokes right, 36 to mend", lines[2])
	assert.Equal(t, " bar 1, beat 1: no bass - strike F", lines[3], "close together where there is not")
	assert.Equal(t, " bar 16, beat 1: no bass - strike F", lines[18])
	lines = read(30)
	assert.Equal(t, " bar 19, beat 1: no bass - strike F", lines[21])
	assert.Equal(t, " ...", lines[22], "and there is more")
	assert.Contains(t, lines[23], "q end")
}
