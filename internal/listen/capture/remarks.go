package capture

import (
	"fmt"
	"strings"

	"undersong/internal/sheet/pattern"
	"undersong/internal/text/wording"
)

// describe says how the pattern sounds, and what was guessed in it.
func (w *writer) describe(c *Captured) {
	p := c.Pattern
	p.Sounds = w.sounds()
	p.Source = "played over " + w.over()
	say := func(format string, args ...any) { c.Remarks = append(c.Remarks, fmt.Sprintf(format, args...)) }
	say("%s of %s, played %s at about %.0f beats a minute", count(p.Length, "bar", "bars"), p.Meter, wording.Times(c.Times), float64(c.Tempo))
	if c.Slips > 0 && c.Times > 2 {
		say("%s played otherwise once; what came most times stands here", count(c.Slips, "place was", "places were"))
	}
	if n := w.unsure(); n > 0 {
		say("%s came only every other time and were kept: play it three times, and the steady part is kept", count(n, "stroke", "strokes"))
	}
	switch others := w.r.rivals; {
	case w.t.o.Meter.Num > 0:
	case len(others) > 0:
		say("the meter was found by ear, and could be %s too: --meter %s", wording.Join(meterNames(others), "or"), others[0])
	default:
		say("the meter was found by ear; --meter names another")
	}
	if !p.Swing.Straight() {
		say("the pairs were played about %d:%d; feel: straight makes them even", p.Swing.Long, p.Swing.Short)
	}
	w.remarkCells(say)
	if p.Free {
		say("lengths: free lets the player hold notes short or long; lengths: held asks for them as written")
	} else {
		say("every note was held to the next; lengths: free lets the player choose")
	}
	if w.t.oneChord() {
		say("one chord cannot tell everything: a bass that stays when the chord changes (T1, T5), a step to the next chord (ap) or a fixed inversion (ch0) show over several chords, as in --chords \"C F G7 C\"")
	}
}

// remarkCells explains the freedoms that the cells have.
func (w *writer) remarkCells(say func(string, ...any)) {
	has := map[string]bool{}
	for h, row := range w.p.Rows {
		for _, c := range row {
			has["accent"] = has["accent"] || c.Accent
			has["any inversion"] = has["any inversion"] || c.Kind == pattern.Whole && c.Inversion == pattern.AnyInversion && c.Shape == pattern.Close
			has["shape"] = has["shape"] || c.Shape != pattern.Close
			has["approach"] = has["approach"] || c.Kind == pattern.Approach
			for _, t := range c.Tones {
				has["fifth"] = has["fifth"] || h == int(pattern.Left) && t.Degree == 5 && t.AnyOctave
				has["free tone"] = has["free tone"] || t.Degree == 0
				has["optional"] = has["optional"] || t.Optional
				has["fixed"] = has["fixed"] || len(c.Tones) > 0 && h == int(pattern.Right)
			}
		}
	}
	for _, r := range []struct{ what, text string }{
		{"accent", "> marks the strokes that were clearly louder"},
		{"any inversion", "ch is the whole chord in any inversion; ch0, ch1, ch2 ask for one, chn for the nearest"},
		{"shape", "one voicing for both hands: cho is open, chd has the second note from above an octave down, chs is spread"},
		{"fixed", "the right hand's notes keep their places; where they are a whole chord, ch would set them free"},
		{"fifth", "5,? is the fifth below the root or above it; 5 alone is the one above"},
		{"approach", "ap leads to the next bass by a half or whole step, apd by the key's own step, apc by a half step"},
		{"free tone", "*? is any tone of the chord, since it was another each time"},
		{"optional", "notes in ( ) were left out now and then, and may be"},
	} {
		if has[r.what] {
			say("%s", r.text)
		}
	}
}

func (w *writer) over() string {
	var all []string
	for _, c := range w.t.o.Chords {
		if n := len(all); n == 0 || all[n-1] != c.String() {
			all = append(all, c.String())
		}
	}
	return strings.Join(all, " ")
}

// sounds is a line for the list of patterns: who plays, and how often.
func (w *writer) sounds() string {
	text := "Captured: " + w.p.Hands()
	if w.shape != pattern.Close {
		text = "Captured: one voicing for both hands"
	}
	return fmt.Sprintf("%s, %s of %s", text, count(w.p.Length, "bar", "bars"), w.p.Meter)
}

func count(n int, one, more string) string {
	if n == 1 {
		return "one " + one
	}
	return fmt.Sprintf("%d %s", n, more)
}
