package words

import (
	"fmt"
	"slices"
	"strings"

	"undersong/internal/listen/capture"
	"undersong/internal/music/chord"
	"undersong/internal/sheet/pattern"
	"undersong/internal/text/wording"
)

// Describe says in a captured pattern how it sounds and where it comes from.
func Describe(c *capture.Captured) {
	who := c.Pattern.Hands()
	if has(c.Pattern, voiced) {
		who = "one voicing for both hands"
	}
	c.Pattern.Sounds = fmt.Sprintf("Captured: %s, %s of %s", who, oneOr(c.Pattern.Length, "bar", "bars"), c.Pattern.Meter)
	c.Pattern.Source = "played over " + strings.Join(chordNames(c.Chords), " ")
}

// chordNames are chords as they follow each other, the same ones in a row once.
func chordNames(all []chord.Chord) []string {
	var names []string
	for _, c := range slices.Compact(slices.Clone(all)) {
		names = append(names, c.String())
	}
	return names
}

// CapturedLines say what was guessed in a captured pattern and what can be changed, a
// sentence each.
func CapturedLines(c *capture.Captured) []string {
	p := c.Pattern
	lines := []string{fmt.Sprintf("%s of %s, played %s at about %.0f beats a minute", oneOr(p.Length, "bar", "bars"), p.Meter, wording.Times(c.Times), float64(c.Tempo))}
	add := func(text string) { lines = append(lines, text) }
	if c.Slips > 0 && c.Times > 2 {
		add(oneOr(c.Slips, "place was", "places were") + " played otherwise once; what came most times stands here")
	}
	if c.Unsure > 0 {
		add(oneOr(c.Unsure, "stroke was", "strokes were") + " played only every other time and kept: play it three times, and the steady part is kept")
	}
	if text := meterFound(c); text != "" {
		add(text)
	}
	if !p.Swing.Straight() {
		add(fmt.Sprintf("the pairs were played about %d:%d; feel: straight makes them even", p.Swing.Long, p.Swing.Short))
	}
	for _, f := range freedoms {
		if has(p, f.is) {
			add(f.text)
		}
	}
	if p.Free {
		add("lengths: free lets the player hold notes short or long; lengths: held asks for them as written")
	} else {
		add("every note was held to the next; lengths: free lets the player choose")
	}
	if len(chordNames(c.Chords)) == 1 {
		add("one chord cannot tell everything: a bass that stays when the chord changes (T1, T5), a step to the next chord (ap) or a fixed inversion (ch0) show over several chords, as in --chords \"C F G7 C\"")
	}
	return lines
}

func meterFound(c *capture.Captured) string {
	switch {
	case !c.ByEar:
		return ""
	case len(c.Rivals) == 0:
		return "the meter was found by ear; --meter names another"
	}
	names := make([]string, len(c.Rivals))
	for i, m := range c.Rivals {
		names[i] = m.String()
	}
	return fmt.Sprintf("the meter was found by ear, and could be %s too: --meter %s", wording.Join(names, "or"), names[0])
}

// freedoms are what a pattern's cells may leave to the player, and how it is written.
var freedoms = []struct {
	is   func(pattern.Hand, *pattern.Cell) bool
	text string
}{
	{func(_ pattern.Hand, c *pattern.Cell) bool { return c.Accent }, "> marks the strokes that were clearly louder"},
	{func(_ pattern.Hand, c *pattern.Cell) bool {
		return c.Kind == pattern.Whole && c.Inversion == pattern.AnyInversion && c.Shape == pattern.Close
	}, "ch is the whole chord in any inversion; ch0, ch1, ch2 ask for one, chn for the nearest"},
	{voiced, "one voicing for both hands: cho is open, chd has the second note from above an octave down, chs is spread"},
	{func(h pattern.Hand, c *pattern.Cell) bool { return len(c.Tones) > 0 && h == pattern.Right },
		"the right hand's notes keep their places; where they are a whole chord, ch would set them free"},
	{tone(func(h pattern.Hand, t *pattern.Tone) bool { return h == pattern.Left && t.Degree == 5 && t.AnyOctave }),
		"5,? is the fifth below the root or above it; 5 alone is the one above"},
	{func(_ pattern.Hand, c *pattern.Cell) bool { return c.Kind == pattern.Approach },
		"ap leads to the next bass by a half or whole step, apd by the key's own step, apc by a half step"},
	{tone(func(_ pattern.Hand, t *pattern.Tone) bool { return t.Degree == 0 }), "*? is any tone of the chord, since it was another each time"},
	{tone(func(_ pattern.Hand, t *pattern.Tone) bool { return t.Optional }), "notes in ( ) were left out now and then, and may be"},
}

func voiced(_ pattern.Hand, c *pattern.Cell) bool { return c.Shape != pattern.Close }

func tone(is func(pattern.Hand, *pattern.Tone) bool) func(pattern.Hand, *pattern.Cell) bool {
	return func(h pattern.Hand, c *pattern.Cell) bool {
		return slices.ContainsFunc(c.Tones, func(t pattern.Tone) bool { return is(h, &t) })
	}
}

// has reports a pattern with a cell of some kind.
func has(p *pattern.Pattern, is func(pattern.Hand, *pattern.Cell) bool) bool {
	for h, row := range p.Rows {
		for i := range row {
			if is(pattern.Hand(h), &row[i]) {
				return true
			}
		}
	}
	return false
}

// oneOr is "one bar" or "3 bars".
func oneOr(n int, one, more string) string {
	if n == 1 {
		return "one " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}
