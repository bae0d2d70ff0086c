package term

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/test/golden"

	"undersong/internal/ui/words"

	"undersong/internal/session/sitting"

	"undersong/internal/listen/keyboard"
)

func bar(n int, lyric string, chords ...string) words.Bar {
	b := words.Bar{Number: n, Lyric: lyric}
	for i, name := range chords {
		b.Chords = append(b.Chords, words.ChordAt{Name: name, Beat: 1 + float64(i)*2})
	}
	return b
}

// valley is Down in the Valley, its eight bars with chords as often sung.
func valley() []words.Bar {
	bars := []words.Bar{
		bar(1, "Down in the", "F"), bar(2, "val-", "F"), bar(3, "ley, the", "F"), bar(4, "val-", "C7"),
		bar(5, "ley so", "C7"), bar(6, "low,", "C7", "C7/E"), bar(7, "hang your head", "Gm7"), bar(8, "o- ver,", "F"),
	}
	bars[0].Section = "Verse"
	bars[4].NewLine = true
	return bars
}

// playing is bar 6 with the wrong bass.
func playing() words.View {
	return words.View{
		Title: "Down in the Valley", Key: "F major", Pattern: "waltz: bass and two chords",
		Meter: meter.Meter{Num: 3, Den: 4}, Tempo: 92, Level: "early",
		Phase: sitting.Playing, Bars: valley(), Current: 5, Beat: 2, Beats: 3,
		NextChord: "Gm7", BeatsToNext: 2,
		Heard: "F/A", HeardWords: "F major, first inversion",
		Wanted: "C7", WantedDetail: "bass C",
		Down: keysOf(45, 60, 65), WantedKeys: keysOf(36, 58, 64), WrongKeys: keysOf(45),
		Correction: "bar 6, beat 1: bass A, this bar is C7 - go down to C", CorrectionBar: 6,
		Right: 14, Wrong: 2, Pass: 1,
		Menu: asked(), Piano: "at the piano: hold the two lowest keys",
	}
}

// asked is all that may be asked in practice.
func asked() []words.Choice {
	return []words.Choice{
		{Key: "space", Text: "pause", Short: "pause", Piano: "1"}, {Key: "a", Text: "again", Short: "again", Piano: "2"}, {Key: "s", Text: "slower", Short: "slower", Piano: "3"},
		{Key: "f", Text: "faster", Short: "faster", Piano: "4"}, {Key: "l", Text: "loop this line", Short: "line", Piano: "5"}, {Key: "p", Text: "practise 5-8 left", Short: "practise", Piano: "6"},
		{Key: "o", Text: "left hand", Short: "left", Piano: "7"}, {Key: "q", Text: "end", Short: "end", Piano: "9"},
	}
}

func scenes() map[string]words.View {
	right := playing()
	right.Correction, right.CorrectionBar, right.Praise = "", 0, "that's it"
	right.Heard, right.HeardWords = "C7", "C dominant seventh"
	right.Down, right.WantedKeys, right.WrongKeys = keysOf(36, 58, 60, 64), keyboard.Set{}, keyboard.Set{}

	count := playing()
	count.Phase, count.CountIn, count.Current, count.Beat = sitting.CountingIn, 3, 0, 1
	count.Correction, count.Heard, count.Down, count.WrongKeys = "", "", keyboard.Set{}, keyboard.Set{}
	count.Wanted, count.WantedDetail, count.WantedKeys = "F", "bass F", keysOf(41, 57, 60, 65)

	waiting := playing()
	waiting.Phase, waiting.Notice = sitting.Away, "keyboard unplugged: waiting for Digital Piano"
	waiting.Correction, waiting.Down, waiting.WantedKeys, waiting.WrongKeys = "", keyboard.Set{}, keyboard.Set{}, keyboard.Set{}

	lost := playing()
	lost.Phase, lost.Correction = sitting.PlaceLost, ""

	free := words.View{Title: "Free playing", Key: "E minor", Phase: sitting.Playing,
		Heard: "F#m7b5/C", HeardWords: "F# half-diminished seventh, second inversion", Down: keysOf(48, 54, 57, 64)}

	done := playing()
	done.Phase = sitting.Finished
	done.Summary = []string{"Down in the Valley, once through: 44 strokes right, 3 to mend.",
		"Bar 6: bass A where C belongs, three times. Play bars 5 to 8 slowly with the left hand alone, and say the bass aloud.",
		"Bars 1 to 4: steady, well done."}
	byEar := words.View{Title: "Clementine", Current: -1, Phase: sitting.Playing, Correction: "a little higher",
		Tune: &words.Tune{Phrases: []sitting.FoundPhrase{{Found: true, Right: true}, {Found: true}, {}, {}}, Current: 1, Found: 3, Notes: 8}}

	byEar.Menu = []words.Choice{{Key: "space", Text: "pause", Short: "pause", Piano: "1"}, {Key: "h", Text: "hint", Short: "hint", Piano: "8"}, {Key: "q", Text: "end", Short: "end", Piano: "9"}}

	commands := playing()
	commands.Phase, commands.AtPiano = sitting.Paused, true
	for i, key := range []string{"B0", "C1", "D1", "E1", "F1", "G1", "A1", "C2"} {
		commands.Menu[i].Piano = key
	}

	return map[string]words.View{"commands": commands, "by-ear": byEar, "wrong-bass": playing(), "right": right, "count-in": count, "waiting": waiting,
		"lost": lost, "free": free, "finished": done}
}

var sizes = [][2]int{{80, 24}, {100, 30}, {120, 40}, {40, 12}}

func TestRenderGolden(t *testing.T) {
	styles := map[string]Style{"ascii": {}, "unicode": {Unicode: true}}
	for name, s := range scenes() {
		for style, st := range styles {
			for _, size := range sizes {
				file := fmt.Sprintf("%s-%dx%d-%s.txt", name, size[0], size[1], style)
				t.Run(file, func(t *testing.T) {
					golden.Equal(t, file, Render(s, size[0], size[1], st)+"\n")
				})
			}
		}
	}
}

// What was said last is the last thing to go.
func TestWordsByEarAreNeverCut(t *testing.T) {
	s := scenes()["by-ear"]
	for w := 16; w <= 120; w += 8 {
		for h := 1; h <= 40; h++ {
			if lines := newCanvas(w, h, Style{}).fixLines(&s); len(lines) <= h {
				require.Contains(t, strings.Join(strings.Fields(Render(s, w, h, Style{})), " "), "> a little higher", "%dx%d", w, h)
			}
		}
	}
}
