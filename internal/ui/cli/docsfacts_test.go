package cli

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/music/chord"
	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/pattern"
	"undersong/internal/ui/manual"
	"undersong/internal/ui/words"
)

// told is a page as one line of words.
func told(t *testing.T, topic string) string {
	t.Helper()
	page, ok := manual.Find(topic)
	require.True(t, ok, topic)
	return strings.Join(strings.Fields(page.Text(80)), " ")
}

// What a page says in figures is what the program does.
func TestTheFiguresOfThePagesAreTheProgramsOwn(t *testing.T) {
	ms := func(d time.Duration) int64 { return d.Milliseconds() }
	for topic, words := range map[string][]string{
		"mistakes":   {fmt.Sprintf("%d, %d or %d ms", ms(rules.Gentle.Timing), ms(rules.Steady.Timing), ms(rules.Strict.Timing))},
		"keyboards":  {fmt.Sprintf("up to %d ms", ms(sitting.MostDelay))},
		"practising": {fmt.Sprintf("on MIDI channel %d,", usualWithChannel)},
		"caution":    {fmt.Sprintf("a break after some %.0f minutes", sitting.LongSession.Minutes())},
	} {
		for _, w := range words {
			assert.Contains(t, told(t, topic), w, topic)
		}
	}
}

func TestThePageTellsEveryMistake(t *testing.T) {
	for _, k := range append(finding.Kinds(finding.Flow), finding.Kinds(finding.Strokes)...) {
		assert.Regexp(t, `\b`+k.String()+`\b`, told(t, "mistakes"))
	}
	assert.Contains(t, told(t, "patterns"), strings.Join(pattern.PartWords()[1:4], ", "))
	for _, texture := range pattern.Textures() {
		assert.Contains(t, told(t, "patterns"), " "+texture+" ")
	}
}

// signs are those in the first columns of the tables of a page.
func signs(t *testing.T, name string) []string {
	t.Helper()
	var all []string
	for _, d := range docs(t) {
		for _, line := range d.lines {
			if d.name() != name || !strings.HasPrefix(line, "| `") {
				continue
			}
			first, _, _ := strings.Cut(line[2:], " | ")
			for _, m := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(first, -1) {
				all = append(all, m[1])
			}
		}
	}
	require.Greater(t, len(all), 10)
	return all
}

func TestEveryCellOfThePageIsOne(t *testing.T) {
	for _, sign := range signs(t, "writing-patterns.md") {
		cell := map[string]string{">": ">ch", "~": "~ch", ",": "1,", "'": "1'", "?": "1?"}[sign]
		if cell == "" {
			cell = sign
		}
		right, left := cell+" . . .", "1 . . ."
		switch {
		case strings.HasPrefix(cell, "ap"), cell == "-":
			right, left = "ch . . .", "1 "+cell+" . ."
		case cell == "chs": // for both hands
			left = right
		}
		text := fmt.Sprintf("name: mine\nlevel: 1\nmeter: 2/4\ngrid: eighths\nright: %s\nleft: %s\n", right, left)
		_, err := pattern.Parse([]byte(text), "mine.pattern")
		assert.NoError(t, err, "%s in\n%s", sign, text)
	}
}

func TestEverySignOfATuneIsOne(t *testing.T) {
	for _, sign := range signs(t, "tunes.md") {
		text := sign
		switch {
		case sign == "^^" || sign == "__":
			text += "C"
		case strings.HasSuffix(sign, "-"):
			text += sign[:len(sign)-1]
		}
		_, err := melody.NewReader(melody.Setting{Unit: meter.Quarter / 2}).Line(text)
		assert.NoError(t, err, sign)
	}
}

// What the page about charts names as chords and meters is read as such.
func TestTheChordsAndMetersOfThePageAreKnown(t *testing.T) {
	page := told(t, "charts")
	chords := strings.Fields(regexp.MustCompile(`Chords: (.*?) and the like`).FindStringSubmatch(page)[1])
	require.Greater(t, len(chords), 8)
	for _, name := range chords {
		_, err := chord.Parse(name)
		assert.NoError(t, err, name)
	}
	meters := regexp.MustCompile(`\d+/\d+`).FindAllString(regexp.MustCompile(`Meters: .*`).FindString(page)[:50], -1)
	require.Len(t, meters, 8)
	for _, name := range meters {
		_, err := meter.Parse(name)
		assert.NoError(t, err, name)
	}
}

// The keys that the page about practising tells are those of the program.
func TestTheKeysOfThePageDoWhatItSays(t *testing.T) {
	does := map[string][]sitting.Do{
		"pause": {sitting.DoPause, sitting.DoGoOn}, "again": {sitting.DoAgain}, "slower": {sitting.DoSlower},
		"faster": {sitting.DoFaster}, "loop": {sitting.DoLine, sitting.DoWhole}, "practise": {sitting.DoSuggested},
		"other": {sitting.DoHands}, "a": {sitting.DoHint}, "end": {sitting.DoEnd},
	}
	row := regexp.MustCompile("^\\| ((?:`[^`]+`,? ?)+)\\| (\\d) \\| (\\w+)")
	for _, d := range docs(t) {
		for _, line := range d.lines {
			m := row.FindStringSubmatch(line)
			if d.name() != "practising.md" || m == nil {
				continue
			}
			for _, do := range does[m[3]] {
				var menu sitting.Menu
				menu.Offer(sitting.Command{Do: do})
				assert.Equal(t, m[2], fmt.Sprint(menu.Choices[0].Place), "%s at the piano", do)
				for _, key := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(m[1], -1) {
					c, ok := words.Typed(&menu, sitting.Playing, key[1])
					assert.True(t, ok && c.Do == do, "%s: %s", key[1], do)
				}
			}
			delete(does, m[3])
		}
	}
	assert.Empty(t, does, "not told")
}
