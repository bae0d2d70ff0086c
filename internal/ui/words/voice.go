package words

import (
	"fmt"
	"slices"
	"strings"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/compass"
	"undersong/internal/sheet/score"
	"undersong/internal/text/shell"
)

// HoldTwoKeys asks for the range of a voice.
const HoldTwoKeys = "Hold two keys together: the lowest and the highest note that you sing with ease"

// TuneLies tells how high and how low a chart's tune lies, as a whole and in each of
// its sections; nil for a chart without one.
func TuneLies(c *chart.Chart) []string {
	whole, sections, ok := compass.Of(c)
	if !ok {
		return nil
	}
	lines := []string{"The tune lies from " + span(whole.Low, whole.High) + ", most of its time from " + span(whole.From, whole.To) + "."}
	for _, l := range sections {
		name := l.Section
		if name == "" {
			name = "The beginning"
		}
		lines = append(lines, fmt.Sprintf("  %s: %s, mostly %s", name, span(l.Low, l.High), span(l.From, l.To)))
	}
	return lines
}

func span(low, high pitch.Pitch) string { return low.String() + " to " + high.String() }

// KeyTable is a table of keys for a voice, with its heading.
func KeyTable(fits []compass.Fit, home pitch.Key) [][]string {
	table := [][]string{{"key", "the tune", "mostly", "why"}}
	for _, f := range fits {
		table = append(table, []string{f.Key.String(), span(f.Lie.Low, f.Lie.High), span(f.Lie.From, f.Lie.To), strings.Join(whyKey(f), ", ")})
	}
	return table
}

// whyKey says what speaks for a key, and against it.
func whyKey(f compass.Fit) []string {
	var why []string
	switch {
	case f.Below > 0 && f.Above > 0:
		why = append(why, fmt.Sprintf("%s too low and %s too high", semitones(f.Below), semitones(f.Above)))
	case f.Below > 0:
		why = append(why, semitones(f.Below)+" too low")
	case f.Above > 0:
		why = append(why, semitones(f.Above)+" too high")
	}
	return append(why, moved(f), signs(f.Key))
}

func semitones(n int) string {
	if n == 1 {
		return "a semitone"
	}
	return fmt.Sprintf("%d semitones", n)
}

// moved says how far a key lies from the sheet's own, and in which octave it is sung.
func moved(f compass.Fit) string {
	text := "as written"
	switch {
	case f.Semitones > 0:
		text = semitones(f.Semitones) + " up"
	case f.Semitones < 0:
		text = semitones(-f.Semitones) + " down"
	}
	switch {
	case f.Octaves < 0:
		text += ", sung " + octavesText(-f.Octaves) + " lower"
	case f.Octaves > 0:
		text += ", sung " + octavesText(f.Octaves) + " higher"
	}
	return text
}

// signs are a key's sharps or flats.
func signs(k pitch.Key) string {
	n, name := k.Fifths(), "sharp"
	if n < 0 {
		n, name = -n, "flat"
	}
	switch n {
	case 0:
		return "no sharps or flats"
	case 1:
		return "1 " + name
	}
	return fmt.Sprintf("%d %ss", n, name)
}

// KeyForVoice tells the key that was chosen for a voice.
func KeyForVoice(f compass.Fit, r compass.Range) string {
	text := fmt.Sprintf("In %s for a voice from %s: the tune lies from %s (%s).", f.Key, span(r.Low, r.High), span(f.Lie.Low, f.Lie.High), moved(f))
	if !f.Fits() {
		text = fmt.Sprintf("No key fits a voice from %s; nearest is %s: the tune lies from %s (%s).", span(r.Low, r.High), f.Key, span(f.Lie.Low, f.Lie.High), strings.Join(whyKey(f)[:2], ", "))
	}
	return text
}

// AfterKeys says what to do with the best key.
func AfterKeys(f compass.Fit, file string) string {
	text := fmt.Sprintf("undersong chart %s --key %s prints it in the first of these; practice and play take --key, too, or --range.", shell.File(file), f.Key)
	if !f.Fits() {
		return "No key fits the whole tune: leave a note out, or sing it an octave apart there.\n" + text
	}
	return text
}

// OnKeyboard tells what a keyboard with fewer keys has elsewhere: at most a sentence
// for each hand and way.
func OnKeyboard(s *score.Score, k pitch.Keyboard) []string {
	var all []string
	for _, m := range s.Moved {
		way, n := "higher", m.Octaves
		if n < 0 {
			way, n = "lower", -n
		}
		text := fmt.Sprintf("On %d keys the %s hand plays %s %s %s than on a piano.", k, m.Hand, barsText(printedNumbers(s, m.Bars)), octavesText(n), way)
		if m.Meets {
			text += " There it meets the other hand: play the notes they share once."
		}
		all = append(all, text)
	}
	return all
}

// printedNumbers are the numbers of bars as printed, each once.
func printedNumbers(s *score.Score, bars []int) []int {
	var all []int
	for _, i := range bars {
		all = append(all, s.Bars[i].Number)
	}
	slices.Sort(all)
	return slices.Compact(all)
}
