package lyric

import (
	"encoding/binary"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"

	"undersong/internal/sheet/song"
)

// tunes in brackets, without sections: the truth that each layout below is made from.
var tunes = map[string]string{
	"Red River Valley": `From this [G]valley they [D7]say you are [G]going,
We will miss your bright eyes and sweet [D7]smile,
For they [G]say you are [G7]taking the [C]sunshine
That has [D7]brightened our pathway a [G]while.`,
	"Wayfaring Stranger": `I am a [Am]poor wayfaring stranger
A travelling [Dm]through this world be[Am]low,
There is no [Am]sickness, no toil or [F]danger
In that bright [E7]land to which I [Am]go.`,
	"Auld Lang Syne": `Should [Bb]auld acquaintance [F7]be forgot,
And [Bb]never brought to [Eb]mind?
Should [Gm]auld acquaintance [Cm7]be for[F7]got,
For [Eb]auld lang [Bb/F]syne?`,
	"Shenandoah": `Oh [D]Shenandoah, I [F#m]long to see you,
A[Bm]way, you [G]rolling river.
[E7/B]Oh Shenandoah, I [C#m7b5]long to [F#7]see you,
[N.C.]Away, we're [A7]bound a[D]way.`,
}

// wordsOf splits a line in brackets into its words and the chords with their columns.
func wordsOf(line string) (text string, chords []song.Over) {
	at := regexp.MustCompile(`\[([^\]]*)\]`)
	from := 0
	for _, m := range at.FindAllStringSubmatchIndex(line, -1) {
		text += line[from:m[0]]
		chords = append(chords, song.Over{Symbol: line[m[2]:m[3]], Column: len([]rune(text))})
		from = m[1]
	}
	return text + line[from:], chords
}

// above lays one line out with its chords, as written, so many characters to the left.
func above(line string, write func(string) string, left int) string {
	text, chords := wordsOf(line)
	top := ""
	for _, c := range chords {
		for len([]rune(top)) < c.Column-left || top != "" && len([]rune(top)) > c.Column-left && !strings.HasSuffix(top, " ") {
			top += " "
		}
		top += write(c.Symbol)
	}
	return top + "\n" + text
}

func plainly(s string) string { return s }

func lined(write func(string) string, left int) func(string) string {
	return func(tune string) string {
		var all []string
		for _, l := range strings.Split(tune, "\n") {
			all = append(all, above(l, write, left))
		}
		return strings.Join(all, "\n") + "\n"
	}
}

var toGerman = strings.NewReplacer("Bb", "B", "Eb", "Es", "C#", "Cis", "F#", "Fis", "B", "H")

func german(s string) string {
	if s == "N.C." {
		return s
	}
	return toGerman.Replace(s)
}

// small writes minor chords small, as German and Dutch sheets do.
func small(s string) string {
	if m := regexp.MustCompile(`^([A-G][#b]?)m(.*)$`).FindStringSubmatch(s); m != nil {
		return strings.ToLower(m[1]) + m[2]
	}
	return s
}

func unicodeSigns(s string) string {
	return strings.NewReplacer("#", "♯", "m7b5", "m7♭5", "Bb", "B♭", "Eb", "E♭").Replace(s)
}

// tabbed makes a tab of the spaces before each tab stop.
func tabbed(text string) string {
	lines := strings.Split(text, "\n")
	for i := range lines {
		if i%2 == 0 {
			out, r := "", []rune(lines[i])
			for len(r) > tabStop {
				head := strings.TrimRight(string(r[:tabStop]), " ")
				if len([]rune(head)) < tabStop {
					head += "\t"
				}
				out, r = out+head, r[tabStop:]
			}
			lines[i] = out + string(r)
		}
	}
	return strings.Join(lines, "\n")
}

func each(f func(i int, line string) string) func(string) string {
	return func(text string) string {
		lines := strings.Split(text, "\n")
		for i := range lines {
			lines[i] = f(i, lines[i])
		}
		return strings.Join(lines, "\n")
	}
}

func swap(pairs ...string) func(string) string { return strings.NewReplacer(pairs...).Replace }

func utf16le(mark string) func(string) string {
	return func(text string) string {
		b := []byte(mark)
		for _, u := range utf16.Encode([]rune(text)) {
			b = binary.LittleEndian.AppendUint16(b, u)
		}
		return string(b)
	}
}

// layouts are ways to type and paste a tune.
var layouts = []struct {
	name  string
	first func(string) string // of the tune in brackets
	then  []func(string) string
}{
	{"brackets", plainly, nil},
	{"above", lined(plainly, 0), nil},
	{"German", lined(german, 0), []func(string) string{func(s string) string { return s + "\nH  E\n" }}},
	{"small minors", lined(small, 0), []func(string) string{func(s string) string { return s + "\nC  F  G\n" }}},
	{"Unicode", lined(unicodeSigns, 0), nil},
	{"tabs", lined(plainly, 0), []func(string) string{tabbed}},
	{"parentheses from the sign", lined(func(s string) string { return "(" + s + ")" }, 0), nil},
	{"parentheses from the name", lined(func(s string) string { return "(" + s + ")" }, 1), nil},
	{"square brackets above", lined(func(s string) string { return "[" + s + "]" }, 0), nil},
	{"bold above", lined(func(s string) string { return "**" + s + "**" }, 0), nil},
	{"bold inside", swap("[", "**", "]", "**"), nil},
	{"parentheses inside", swap("[", "(", "]", ")"), nil},
	{"bold tags above", lined(plainly, 0), []func(string) string{each(func(i int, l string) string {
		if i%2 == 0 {
			return regexp.MustCompile(`\S+`).ReplaceAllString(l, "<b>$0</b>")
		}
		return l
	})}},
	{"chord tags", lined(plainly, 0), []func(string) string{each(func(i int, l string) string {
		if i%2 == 0 {
			return regexp.MustCompile(`\S+`).ReplaceAllString(l, "[ch]$0[/ch]")
		}
		return l
	})}},
	{"spaces that do not break", lined(plainly, 0), []func(string) string{swap(" ", "\u00a0")}},
	{"spaces as pages spell them", lined(plainly, 0), []func(string) string{swap(" ", "&nbsp;")}},
	{"characters without width", lined(plainly, 0), []func(string) string{each(func(_ int, l string) string { return "\u200b" + strings.ReplaceAll(l, "e", "\u200de") })}},
	{"spaces at the ends", lined(plainly, 0), []func(string) string{each(func(_ int, l string) string { return l + "   \t " })}},
	{"lone CR", lined(plainly, 0), []func(string) string{swap("\n", "\r")}},
	{"CR LF", lined(plainly, 0), []func(string) string{swap("\n", "\r\n")}},
	{"UTF-16 with a mark", lined(plainly, 0), []func(string) string{utf16le("\xFF\xFE")}},
	{"UTF-16 without a mark", lined(plainly, 0), []func(string) string{utf16le("")}},
	{"all lines apart", lined(plainly, 0), []func(string) string{swap("\n", "\n\n")}},
	{"quoted", lined(plainly, 0), []func(string) string{each(func(_ int, l string) string { return "> " + l })}},
	{"indented", lined(plainly, 0), []func(string) string{each(func(_ int, l string) string { return "    " + l })}},
	{"bar lines", lined(func(s string) string { return s + " |" }, 0), nil},
	{"a tablature between", lined(plainly, 0), []func(string) string{func(s string) string { return "e|--0--2--|\nB|--1-----|\n\n" + s + "\ne|--0--2--|\n" }}},
	{"a title and fields", lined(plainly, 0), []func(string) string{func(s string) string {
		return "The Title\nby Somebody\n\nKey: G - Capo 3 - Tempo: 80\nTuning: EADGBE\nSubmitted by someone\nhttp://example.org/x\n\nIntro: G D | Em\n\n[Verse 1]\n" + s
	}}},
	{"a number", lined(plainly, 0), []func(string) string{each(func(i int, l string) string {
		if i == 1 {
			return "1. " + l
		}
		if i == 0 {
			return "   " + l
		}
		return l
	})}},
	{"names in several tongues", lined(plainly, 0), []func(string) string{func(s string) string {
		l := strings.SplitAfter(s, "\n")
		return "Strophe 1\n" + l[0] + l[1] + "REFRAIN:\n" + l[2] + l[3] + "\n(Estribillo)\n" + l[4] + l[5] + "{start_of_bridge}\n" + l[6] + l[7] + "{end_of_bridge}\n"
	}}},
}

// clear takes off what a layout leaves beside the words.
func clear(text string) string {
	text = strings.TrimPrefix(strings.TrimSpace(text), "1. ")
	return strings.Join(strings.Fields(text), " ")
}

// counted compares the chords read with those of the truth, each by the word and the
// place in it that it stands over, two characters more or less being the same syllable
// where names stand in signs of their own.
func counted(t *testing.T, layout, tune string, s *song.Song) (right, all int) {
	t.Helper()
	lines := strings.Split(tune, "\n")
	words := s.Words
	if !assert.Len(t, words, len(lines), layout) {
		return 0, 1
	}
	for i, l := range lines {
		text, chords := wordsOf(l)
		assert.Equal(t, text, clear(words[i].Text), layout)
		shift := strings.Index(words[i].Text, text)
		for j, c := range chords {
			all++
			if j >= len(words[i].Chords) {
				continue
			}
			got := words[i].Chords[j]
			if got.Symbol == c.Symbol && distance(got.Column-shift, c.Column) <= 1 {
				right++
			}
		}
	}
	return right, all
}

func TestLayouts(t *testing.T) {
	right, all := 0, 0
	for _, l := range layouts {
		for title, tune := range tunes {
			if l.name == "Unicode" && title == "" {
				continue
			}
			text := l.first(tune)
			for _, f := range l.then {
				text = f(text)
			}
			name := fmt.Sprintf("%s: %s", l.name, title)
			s, err := Read([]byte(text), "song.txt", song.Wish{})
			if !assert.NoError(t, err, "%s\n%s", name, text) {
				continue
			}
			r, n := counted(t, name, tune, s)
			if r < n {
				t.Logf("%s: %d of %d\n%s\n%s", name, r, n, text, bracketed(s))
			}
			right, all = right+r, all+n
		}
	}
	t.Logf("%d of %d chords stand over their syllables", right, all)
	assert.Greater(t, float64(right), 0.997*float64(all), "what is left is chord names that have no room beside each other")
}
