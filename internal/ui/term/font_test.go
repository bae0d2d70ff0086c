package term

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

func TestLargeGlyphsAreEven(t *testing.T) {
	for r, glyph := range largeGlyphs {
		lines := strings.Split(strings.TrimPrefix(glyph, "\n"), "\n")
		require.Len(t, lines, largeRows, "%q", r)
		for _, line := range lines {
			assert.Equal(t, width(lines[0]), width(line), "%q: %q", r, line)
			assert.Empty(t, strings.Trim(line, " █▄▀"), "%q", r)
		}
	}
}

func TestMediumGlyphsAreEven(t *testing.T) {
	for r, glyph := range mediumGlyphs {
		lines := strings.Split(glyph, "/")
		require.LessOrEqual(t, len(lines), 2*mediumRows, "%q", r)
		for _, line := range lines {
			assert.Len(t, line, len(lines[0]), "%q: %q", r, line)
			assert.Empty(t, strings.Trim(line, ".#"), "%q", r)
		}
	}
}

// No two signs may look the same, or a chord could be read as another.
func TestGlyphsDiffer(t *testing.T) {
	for name, table := range map[string]map[rune]string{"large": largeGlyphs, "medium": mediumGlyphs} {
		seen := map[string]rune{}
		for r, glyph := range table {
			other, twice := seen[glyph]
			assert.False(t, twice, "%s: %q looks like %q", name, r, other)
			seen[glyph] = r
		}
	}
}

func TestEveryChordSymbolHasLargeLetters(t *testing.T) {
	c := newCanvas(10, 1, Style{Unicode: true})
	for fifths := -15; fifths <= 19; fifths++ {
		root := pitch.NoteAtFifths(fifths)
		for _, ct := range chord.Types() {
			symbol := chord.New(root, ct).Over(pitch.NoteAtFifths(0)).String()
			_, ok := c.large(symbol)
			assert.True(t, ok, symbol)
			_, ok = c.medium(symbol)
			assert.True(t, ok, symbol)
		}
	}
	for _, symbol := range []string{"N.C.", "B♭m7(♭5)", "F♯°7", "CΔ", "Bø7", "C+", "A-7", "?", "0123456789"} {
		_, ok := c.large(symbol)
		assert.True(t, ok, symbol)
	}
}

func TestMediumHasAllEnglish(t *testing.T) {
	c := newCanvas(10, 1, Style{Unicode: true})
	for r := 'a'; r <= 'z'; r++ {
		for _, s := range []string{string(r), strings.ToUpper(string(r))} {
			_, ok := c.medium(s)
			assert.True(t, ok, s)
		}
	}
	_, ok := c.medium(`F is in root position; keep the C (5th) and move up to F & A - "so": 3/4!? ♯♭ it's…`)
	assert.True(t, ok)
}

func TestHugeIsLargeDoubled(t *testing.T) {
	c := newCanvas(10, 1, Style{Unicode: true})
	rows, ok := c.huge("7")
	require.True(t, ok)
	assert.Equal(t, []string{
		"████████████",
		"████████████",
		"        ████",
		"      ██████",
		"      ██████",
		"    ██████  ",
		"    ██████  ",
		"  ██████    ",
		"  ██████    ",
		"  ████      ",
	}, rows)
}
