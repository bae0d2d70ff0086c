package term

import (
	"math"
	"strings"
	"testing"
	"unicode"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
	"undersong/internal/ui/words"

	"undersong/internal/listen/keyboard"
)

var styles = []Style{{}, {Unicode: true}, {Colour: true}, {Colour: true, Unicode: true}, {Colour: true, Basic: true, Unicode: true}}

// checkPicture holds for every picture: the right number of lines, none too
// wide, and no command for the terminal but our own colours.
func checkPicture(t *testing.T, s words.View, w, h int, st Style) {
	t.Helper()
	lines := strings.Split(Render(s, w, h, st), "\n")
	require.Len(t, lines, h, "%dx%d", w, h)
	for _, line := range lines {
		require.LessOrEqual(t, ansi.StringWidth(line), w, "%dx%d %+v: %q", w, h, st, line)
		plain := line
		if st.Colour {
			plain = ansi.Strip(line)
		}
		require.False(t, strings.ContainsFunc(plain, func(r rune) bool {
			return r < ' ' || r >= 0x7f && r < 0xa0 || r >= 0x2028 && r <= 0x202e || unicode.Is(unicode.Cf, r)
		}), "%q", line)
		require.False(t, !st.Unicode && strings.ContainsFunc(line, func(r rune) bool { return r > 126 }), "%q", line)
	}
}

func TestEverySize(t *testing.T) {
	for name, s := range scenes() {
		t.Run(name, func(t *testing.T) {
			for w := 1; w <= 130; w++ {
				for h := 1 + w%5; h <= 52; h += 5 {
					checkPicture(t, s, w, h, styles[(w+h)%len(styles)])
				}
			}
		})
	}
	for _, size := range [][2]int{{0, 0}, {-1, 5}, {5, 0}} {
		assert.Empty(t, Render(playing(), size[0], size[1], Style{}))
	}
}

// The correction is the last thing to go: wherever its words fit on the screen
// they are all there.
func TestCorrectionIsNeverCut(t *testing.T) {
	s := playing()
	s.Correction = "F is in root position; keep the C and move up to F and A, then hold both for the whole bar"
	for w := 10; w <= 125; w += 5 {
		for h := 1; h <= 45; h++ {
			if len(newCanvas(w, h, Style{}).fixLines(&s)) > h {
				continue
			}
			got := strings.Join(strings.Fields(Render(s, w, h, Style{})), " ")
			require.Contains(t, got, "> "+s.Correction, "%dx%d", w, h)
		}
	}
}

// The parts go in the order that the pianist can spare them.
func TestPartsGoInOrder(t *testing.T) {
	has := func(h int, what string) bool {
		return strings.Contains(Render(playing(), 80, h, Style{}), what)
	}
	const keys, large, chart, heard, fix = "| # #", ".#'  ######", "[ C7", "F/A", "bass A"
	first := map[string]int{}
	for h := 24; h >= 1; h-- {
		for _, part := range []string{keys, large, chart, heard, fix} {
			if has(h, part) {
				first[part] = h
			}
		}
	}
	assert.Equal(t, 1, first[fix])
	assert.Less(t, first[fix], first[heard])
	assert.Less(t, first[heard], first[chart])
	assert.Less(t, first[chart], first[large])
	assert.Less(t, first[large], first[keys])
	assert.LessOrEqual(t, first[keys], 24)
}

// Without colour the same picture says the same: only the bodies of keys, which
// colour fills, are drawn otherwise.
func TestColourIsNeverTheOnlyCarrier(t *testing.T) {
	plain := func(s string) string {
		lines := strings.Split(strings.ReplaceAll(ansi.Strip(s), "█", " "), "\n")
		for i := range lines {
			lines[i] = strings.TrimRight(lines[i], " ")
		}
		return strings.Join(lines, "\n")
	}
	for name, s := range scenes() {
		for _, size := range sizes {
			without := plain(Render(s, size[0], size[1], Style{Unicode: true}))
			assert.Equal(t, without, plain(Render(s, size[0], size[1], Style{Unicode: true, Colour: true})), name)
			assert.Equal(t, without, plain(Render(s, size[0], size[1], Style{Unicode: true, Colour: true, Basic: true})), name)
		}
	}
}

func TestColour(t *testing.T) {
	rich := Render(playing(), 80, 24, Style{Colour: true, Unicode: true})
	assert.Contains(t, rich, "\x1b[0;"+richInks[inkWrong]+"mx", "a wrong key is amber")
	assert.Contains(t, rich, "\x1b[0;"+richInks[inkCurrent]+"m[ C7", "the current bar has a ground of its own")
	for _, line := range strings.Split(rich, "\n") {
		assert.Equal(t, 80, ansi.StringWidth(line), "the ground is painted to the edge")
		assert.True(t, strings.HasSuffix(line, "\x1b[0m"), "no colour leaks")
	}
	basic := Render(playing(), 80, 24, Style{Colour: true, Basic: true, Unicode: true})
	assert.Contains(t, basic, "\x1b[0;1;7m[ C7")
	assert.NotContains(t, basic, "38;5")
	assert.NotContains(t, Render(playing(), 80, 24, Style{Unicode: true}), "\x1b")
}

func BenchmarkRender(b *testing.B) {
	s := playing()
	for b.Loop() {
		Render(s, 120, 40, Style{Colour: true, Unicode: true})
	}
}

func TestTheViewStaysInPlace(t *testing.T) {
	row := func(s words.View, what string) int {
		for i, line := range strings.Split(Render(s, 80, 24, Style{}), "\n") {
			if strings.Contains(line, what) {
				return i
			}
		}
		return -1
	}
	with, without := playing(), playing()
	without.Correction, without.Heard, without.HeardWords, without.NextChord = "", "", "", ""
	for _, what := range []string{"[ C7", "you play", "bass C", "| # #", "q end"} {
		assert.Equal(t, row(with, what), row(without, what), what)
		assert.Positive(t, row(with, what), what)
	}
}

func TestWrap(t *testing.T) {
	tests := []struct {
		text string
		max  int
		want []string
	}{
		{"", 5, nil},
		{"go down to G", 20, []string{"go down to G"}},
		{"go down to G", 7, []string{"go down", "to G"}},
		{"half-diminished", 6, []string{"half-d", "iminis", "hed"}},
		{"a 日本", 1, []string{"a", "日", "本"}},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, wrapColumns(tt.text, tt.max), tt.text)
	}
}

func TestASCII(t *testing.T) {
	assert.Equal(t, `Frere Jacques, B#b dim -> "G" ?`, toASCII("Frère Jacques, B♯♭ ° → “G” 日"))
}

func TestKeyboardRange(t *testing.T) {
	tests := []struct {
		name      string
		width     int
		state     words.View
		low, high int
	}{
		{"wide: all 88 keys", 120, words.View{}, 21, 108},
		{"usual: C2 to C6", 80, words.View{}, 36, 84},
		{"tune's own octaves", 80, words.View{LowKey: 45, HighKey: 71}, 36, 72},
		{"a key outside the tune", 80, words.View{Down: keysOf(31)}, 24, 84},
		{"narrow: the octaves in use stay", 40, words.View{Down: keysOf(62, 65)}, 48, 72},
		{"the highest key there is", 80, words.View{LowKey: 100, HighKey: 127}, 96, 127},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			low, high, _ := newCanvas(tt.width, 4, Style{}).keyRange(&tt.state)
			assert.Equal(t, [2]int{tt.low, tt.high}, [2]int{low, high})
		})
	}
}

func FuzzRender(f *testing.F) {
	f.Add("F/A", "bar 6: go down to C", "C7", "Frère\x1b[2J\u202e", 80, 24, 2.5, 3, 1, uint8(1), uint64(1)<<60)
	f.Add("日本\u200d", "\u0301\x00\n", "🇦🇧🇨", "👩‍👩‍👧", 3, 2, math.NaN(), -4, 9, uint8(3), uint64(0))
	f.Fuzz(func(t *testing.T, heard, fix, name, lyric string, w, h int, beat float64, beats, current int, phase uint8, keys uint64) {
		w, h = 1+abs(w)%140, 1+abs(h)%60
		s := words.View{Title: name, Phase: sitting.Phase(phase % 8), CountIn: current, Current: current, Beat: beat, Beats: beats,
			Heard: heard, HeardWords: lyric, Wanted: name, WantedDetail: fix, NextChord: name, Correction: fix,
			CorrectionBar: beats, Down: keyboard.Set{keys, keys}, WrongKeys: keyboard.Set{keys >> 3}, LowKey: pitch.Num(uint8(keys)), HighKey: pitch.Num(uint8(keys >> 8)),
			Notice: lyric, AtPiano: phase%16 == 9, Menu: []words.Choice{{Key: "space", Text: lyric, Piano: "B0"}, {Key: "q", Text: "end"}}, Piano: fix}
		if phase%4 == 3 {
			s.Summary = []string{fix, lyric}
		}
		for i := range abs(current) % 12 {
			s.Bars = append(s.Bars, words.Bar{Number: i, Lyric: lyric, Section: lyric[:len(lyric)*(i%2)], NewLine: i%5 == 0,
				Chords: []words.ChordAt{{Name: name, Beat: beat}, {Name: heard, Beat: float64(i)}}})
		}
		checkPicture(t, s, w, h, styles[int(phase/6)%len(styles)])
	})
}

func abs(n int) int { return max(n, -(n + 1)) }
