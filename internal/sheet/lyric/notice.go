package lyric

import (
	"fmt"
	"slices"
	"strings"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/song"
)

// notes tells what was assumed and what was passed over.
type notes struct {
	song  *song.Song
	sheet *sheet
	wish  song.Wish
}

func (n *notes) add(line int, format string, args ...any) {
	n.song.Notices = append(n.song.Notices, song.Notice{Line: line, Text: fmt.Sprintf(format, args...)})
}

// key settles the key: the sheet's, or the one that the chords suit best. With a capo
// the names are what the hand plays, so that the key is that of the names.
func (n *notes) key(chords []chord.Chord) {
	best, second, lead := keys(chords)
	n.song.Key = best
	said := n.sheet.heading.key
	capo := n.sheet.capo
	switch {
	case said == nil && len(chords) == 0:
		n.add(0, "there is no chord from which the key could be told: it is taken to be %s", keyWords(best))
	case said == nil && lead < near:
		n.add(0, "the chords suit %s best, and %s nearly as well: the key is taken to be %s", keyWords(best), keyWords(second), keyWords(best))
	case said == nil:
		n.add(0, "the chords suit %s best: that is taken for the key", keyWords(best))
	case len(chords) > 0 && capo > 0 && fit(chords, n.under(*said, capo)) > fit(chords, *said):
		n.song.Key = n.under(*said, capo)
	default:
		n.song.Key = *said
		if len(chords) > 0 && best != *said && lead >= near && fit(chords, best)-fit(chords, *said) > 1 {
			n.add(0, "the sheet says that its key is %s; its chords suit %s better", keyWords(*said), keyWords(best))
		}
	}
	if capo > 0 {
		sounds := pitch.KeyAt(n.song.Key.Tonic.Class().Up(capo), n.song.Key.Minor)
		n.add(n.sheet.capoLine, "there is a capo at fret %d: the chord names are what the hand plays there, in %s; what sounds is %s, %s higher, and a keyboard plays the names as written",
			capo, keyWords(n.song.Key), keyWords(sounds), semitones(capo))
	}
}

// under is the key of the names with a capo under a key that sounds.
func (n *notes) under(k pitch.Key, capo int) pitch.Key {
	return pitch.KeyAt(k.Tonic.Class().Up(-capo), k.Minor)
}

func semitones(n int) string {
	if n == 1 {
		return "one semitone"
	}
	return fmt.Sprintf("%d semitones", n)
}

func keyWords(k pitch.Key) string {
	if k.Minor {
		return k.Tonic.String() + " minor"
	}
	return k.Tonic.String() + " major"
}

// tell tells the rest, what concerns all first.
func (n *notes) tell(b *builder, from string) {
	s := n.sheet
	if from != "" {
		n.add(0, "the file is read as %s", from)
	}
	n.meter(b)
	n.dialect()
	n.unknown(b)
	n.taken(b)
	for _, t := range []struct {
		tally
		what string
	}{
		{s.tabs, "lines of tablature are passed over"},
		{s.grips, "fingerings of chords are passed over"},
		{s.orders, "instructions in braces that say nothing of chords or words are passed over"},
		{s.aside, "lines of text around the song are passed over"},
	} {
		if t.n > 0 {
			n.add(t.first, "%s (%d, first here)", t.what, t.n)
		}
	}
}

// meter tells how long bars and chords are taken to be.
func (n *notes) meter(b *builder) {
	m := n.song.Meter
	switch slashed := n.sheet.slashed(); {
	case n.wish.Meter.Num > 0 || n.sheet.heading.meter.Num > 0:
	case slashed == m:
		n.add(0, "the meter is taken to be %s, as the slashes in its bars show", m)
	default:
		n.add(0, "the meter is taken to be %s: the sheet says none", m)
	}
	if n.song.Tempo == 0 {
		n.add(0, "the tempo is taken to be %g beats a minute: the sheet says none", float64(chart.DefaultTempo))
	}
	switch {
	case b.per > 0 || b.single == 0:
	case b.paired > 0:
		n.add(0, "each chord is taken to last a bar, and two half a bar each where they stand over few syllables (bars with two: %d): the sheet has no bar lines there", b.paired)
	default:
		n.add(0, "each chord is taken to last a bar: the sheet has no bar lines there")
	}
}

func (n *notes) dialect() {
	if n.sheet.d.sung {
		n.add(0, "chord names are read as syllables: Do is C here, and La is A")
	}
	if n.sheet.d.german {
		n.add(0, "chord names are read as German ones: H is B here, and B is Bb")
	}
	if n.sheet.d.lower && n.sheet.d.minor {
		n.add(0, "chord names in small letters are read as minor ones: a is Am here")
	}
}

// unknown tells chords that have a chord's form and no meaning here.
func (n *notes) unknown(*builder) {
	var names []string
	line := 0
	for _, b := range n.song.Bars() {
		for _, c := range b.Chords {
			if !c.Known && !slices.Contains(names, c.Text) {
				names = append(names, c.Text)
				if line == 0 {
					line = b.Line
				}
			}
		}
	}
	if len(names) > 0 {
		n.add(line, "chords that are not known here are kept as they are written: %s", strings.Join(names, ", "))
	}
}

// taken tells which parts took the chords of others.
func (n *notes) taken(b *builder) {
	var even, uneven []string
	line, unevenLine := 0, 0
	for _, t := range b.taken {
		says := fmt.Sprintf("%s those of %s", t.part.name, t.from.name)
		if t.uneven {
			if uneven = append(uneven, says); unevenLine == 0 {
				unevenLine = t.part.line
			}
		} else if even = append(even, says); line == 0 {
			line = t.part.line
		}
	}
	if len(even) > 0 {
		n.add(line, "parts without chords take those of others: %s", list(even))
	}
	if len(uneven) > 0 {
		n.add(unevenLine, "parts without chords take those of others, line by line, though the number of their lines differs: %s", list(uneven))
	}
	for _, p := range b.bare {
		n.add(p.line, "%s has no chords, and there are none to take: it has a bar a line, in which the chord before goes on", p.name)
	}
	for _, p := range b.empty {
		n.add(p.line, "%s has neither chords nor words here, and is left out", p.name)
	}
}

// list joins the first few of several.
func list(all []string) string {
	const most = 4
	if len(all) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(all[:most], ", "), len(all)-most)
	}
	return strings.Join(all, ", ")
}
