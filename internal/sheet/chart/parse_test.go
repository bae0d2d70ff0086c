package chart

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
)

func parse(t testing.TB, src string) *Chart {
	t.Helper()
	c, err := Parse([]byte(src), "")
	require.NoError(t, err, src)
	return c
}

// bars shows bars as chords with their place in ticks: "C@0+1920 G@1920+1920 | ...".
func bars(c *Chart) string {
	var all []string
	for _, b := range c.Bars() {
		var chords []string
		for _, p := range b.Chords {
			chords = append(chords, fmt.Sprintf("%s@%d+%d", p.Chord, p.At, p.Dur))
		}
		all = append(all, strings.Join(chords, " "))
	}
	return strings.Join(all, " | ")
}

// A quarter is 960 ticks, so an eighth 480 and a dotted quarter 1440 (arithmetic).
func TestChordsInTheBar(t *testing.T) {
	for _, c := range []struct{ meter, written, want string }{
		{"4/4", "| C |", "C@0+3840"},
		{"4/4", "| C G |", "C@0+1920 G@1920+1920"},
		{"4/4", "| C F G C |", "C@0+960 F@960+960 G@1920+960 C@2880+960"},
		{"4/4", "| C . G . |", "C@0+1920 G@1920+1920"},
		{"4/4", "| C / / G |", "C@0+2880 G@2880+960"},
		{"4/4", "| C .. G |", "C@0+2880 G@2880+960"},
		{"4/4", "| C . . G . . . . |", "C@0+1440 G@1440+2400"},
		{"4/4", "| C | . . G . |", "C@0+3840 | C@0+1920 G@1920+1920"},
		{"4/4", "| C | //// |", "C@0+3840 | C@0+3840"},
		{"4/4", "| C G | % | % |", "C@0+1920 G@1920+1920 | C@0+1920 G@1920+1920 | C@0+1920 G@1920+1920"},
		{"4/4", "| N.C. | C . NC . |", "N.C.@0+3840 | C@0+1920 N.C.@1920+1920"},
		{"4/4", "| C | G # and so on | F |", "C@0+3840 | G@0+3840"},
		{"4/4", "| C | F\n| G", "C@0+3840 | F@0+3840 | G@0+3840"},
		{"4/4", "| C |\nF | G", "C@0+3840 | F@0+3840 | G@0+3840"},
		{"4/4", "|C|F#m7/E|Bb6/9/D|", "C@0+3840 | F#m7/E@0+3840 | Bb6/9/D@0+3840"},
		{"2/4", "| C | C G | C . . G |", "C@0+1920 | C@0+960 G@960+960 | C@0+1440 G@1440+480"},
		{"3/4", "| C | C . G | C F G |", "C@0+2880 | C@0+1920 G@1920+960 | C@0+960 F@960+960 G@1920+960"},
		{"3/4", "| C . . G . . |", "C@0+1440 G@1440+1440"},
		{"6/8", "| C | C G | C . . . . G |", "C@0+2880 | C@0+1440 G@1440+1440 | C@0+2400 G@2400+480"},
		{"12/8", "| C | C G | C . . G | C . . . . . . . . . . G |", "C@0+5760 | C@0+2880 G@2880+2880 | C@0+4320 G@4320+1440 | C@0+5280 G@5280+480"},
		{"5/4", "| C | C . . G . | C D E F G |", "C@0+4800 | C@0+2880 G@2880+1920 | C@0+960 D@960+960 E@1920+960 F@2880+960 G@3840+960"},
		{"9/8", "| C | C . G |", "C@0+4320 | C@0+2880 G@2880+1440"},
		{"2/2", "| C G | C . . G |", "C@0+1920 G@1920+1920 | C@0+2880 G@2880+960"},
	} {
		got := parse(t, "key: C\nmeter: "+c.meter+"\n"+c.written)
		assert.Equal(t, c.want, bars(got), "%s in %s", c.written, c.meter)
		assertWhole(t, got)
	}
}

func TestUpbeats(t *testing.T) {
	for _, c := range []struct{ meter, upbeat, written, want string }{
		{"4/4", "2", "(C7) | F |", "C7@0+1920 | F@0+3840"},
		{"4/4", "2", "C7 | F |", "C7@0+1920 | F@0+3840"},
		{"4/4", "2 beats", "(G7 C7) | F |", "G7@0+960 C7@960+960 | F@0+3840"},
		{"4/4", "3", "( . C7 . ) | F |", ""},
		{"4/4", "3", "(N.C. C7 .) | F |", "N.C.@0+960 C7@960+1920 | F@0+3840"},
		{"4/4", "1.5", "(C7 . G7) | F |", "C7@0+960 G7@960+480 | F@0+3840"},
		{"4/4", "1", "| F |", "N.C.@0+960 | F@0+3840"},
		{"4/4", "0", "| F |", "F@0+3840"},
		{"6/8", "1 eighth", "(C7) | F |", "C7@0+480 | F@0+2880"},
		{"6/8", "1", "(C7) | F |", "C7@0+1440 | F@0+2880"},
		{"6/8", "0.5", "| F |", "N.C.@0+720 | F@0+2880"},
		{"2/4", "1 eighth", "| F |", "N.C.@0+480 | F@0+1920"},
		{"4/4", "2", "() | F |", "N.C.@0+1920 | F@0+3840"},
		{"4/4", "2", "( ) | F |", "N.C.@0+1920 | F@0+3840"},
		{"4/4", "2", "(C7) |:\nF :|", "C7@0+1920 | F@0+3840"},
		{"4/4", "2", "(C7) |\n| F |", "C7@0+1920 | F@0+3840"},
		{"4/4", "2", "(C7(b9)) |: F :|", "C7b9@0+1920 | F@0+3840"},
	} {
		src := "key: F\nupbeat: " + c.upbeat + "\nmeter: " + c.meter + "\n\n" + c.written
		got, err := Parse([]byte(src), "")
		if c.want == "" {
			assert.Error(t, err, src)
			continue
		}
		require.NoError(t, err, src)
		assert.Equal(t, c.want, bars(got), src)
		assertWhole(t, got)
	}
}

func TestHeadings(t *testing.T) {
	c := parse(t, "\uFEFF# my chart\r\nTitle: Song #1: a test \r\nBY: me\r\nkey:E flat major\r\n Tempo : 72.5 bpm\r\nmeter: 3/4\r\npattern: waltz\r\n| Eb |\r\n")
	assert.Equal(t, "Song #1: a test", c.Title)
	assert.Equal(t, "me", c.By)
	assert.Equal(t, "Eb", c.Key.String())
	assert.Equal(t, meter.Tempo(72.5), c.Tempo)
	assert.False(t, c.Untimed)
	assert.Equal(t, meter.Meter{Num: 3, Den: 4}, c.Meter)
	assert.Equal(t, "waltz", c.Pattern)

	c = parse(t, "key: Am\r| Am |\r")
	assert.Equal(t, meter.Meter{Num: 4, Den: 4}, c.Meter)
	assert.Equal(t, DefaultTempo, c.Tempo)
	assert.True(t, c.Untimed)
	assert.Empty(t, c.Title)
	assert.Zero(t, c.Upbeat)
}

func TestSectionsAndLines(t *testing.T) {
	c := parse(t, "key: C\n| C |\n[ Verse ]\n| F |\n| G |\n\n[Chorus 1: loud]\n| C | G |\n")
	require.Len(t, c.Sections, 3)
	assert.Equal(t, "", c.Sections[0].Name)
	assert.Equal(t, "Verse", c.Sections[1].Name)
	assert.Len(t, c.Sections[1].Lines, 2)
	assert.Equal(t, "Chorus 1: loud", c.Sections[2].Name)
	b := c.Sections[2].Lines[0].Bars[1]
	assert.Equal(t, []int{5, 8, 7}, []int{b.Number, b.Line, b.Col})
}

func TestWords(t *testing.T) {
	for _, c := range []struct {
		name, src string
		line      string
		bars      []string
	}{
		{"spread", "| C | F | G | C |\nsing  of the   morning", "sing of the morning", []string{"sing", "of", "the", "morning"}},
		{"more words than bars", "| C | F |\na b c d e", "a b c d e", []string{"a b c", "d e"}},
		{"fewer words than bars", "| C | F | G | C |\nla lo", "la lo", []string{"la", "", "lo", ""}},
		{"placed", "| C | F | G |\nw: | one | two and | three |", "one two and three", []string{"one", "two and", "three"}},
		{"placed without outer barlines", "| C | F | G |\nw: one | | three", "one three", []string{"one", "", "three"}},
		{"placed, too few", "| C | F | G |\nw: one", "one", []string{"one", "", ""}},
		{"chord names as words", "| C | F |\nw: A B", "A B", []string{"A", "B"}},
		{"one word like a chord", "| C | F |\nGo", "Go", []string{"Go", ""}},
		{"remark between", "| C | F |\n# softly\none two", "one two", []string{"one", "two"}},
		{"word with colon", "| C | F |\nhark: birds", "hark: birds", []string{"hark:", "birds"}},
	} {
		l := parse(t, "key: C\n"+c.src).Sections[0].Lines[0]
		assert.Equal(t, []string{c.line}, l.Lyrics, c.name)
		for i, want := range c.bars {
			assert.Equal(t, []string{want}, l.Bars[i].Lyrics, "%s, bar %d", c.name, i+1)
		}
	}
}

func TestWordsOnTheUpbeat(t *testing.T) {
	for src, want := range map[string][]string{
		"w: From | this | day":       {"From", "this", "day"},
		"w: | this | day |":          {"", "this", "day"},
		"O dear, what can it be now": {"O", "dear, what can", "it be now"}, // 9 beats, 7 words: one each 9/7 beats
	} {
		c := parse(t, "key: C\nupbeat: 1\n| C | F |\n"+src)
		for i, b := range c.Bars() {
			assert.Equal(t, want[i], b.Lyrics[0], src)
		}
	}
}

func TestVersesFollowThePasses(t *testing.T) {
	c := parse(t, "key: C\n|: C | F :| x3\nw: a | b\nw: c | d\n| G |\nw: e\nw: f\n")
	var sung []string
	for _, p := range c.Unfold() {
		sung = append(sung, p.Lyric())
	}
	assert.Equal(t, "a b c d c d e", strings.Join(sung, " "))
	assert.Equal(t, "", Played{Bar: &Bar{}, Pass: 1}.Lyric())
}

func TestChordAt(t *testing.T) {
	b := parse(t, "key: C\n| C . . G7 |").Bars()[0]
	for at, want := range map[meter.Ticks]string{0: "C", 2879: "C", 2880: "G7", 3839: "G7", 3840: "G7"} {
		assert.Equal(t, want, b.ChordAt(at).String(), at)
	}
	assert.True(t, (&Bar{}).ChordAt(0).IsNone())
}
