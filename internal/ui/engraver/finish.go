package engraver

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// otherSerifs are fonts with the widths of Liberation Serif, by which the page was
// laid out, for programs that do not take the font that comes with it.
const otherSerifs = `font-family="Liberation, 'Liberation Serif', Tinos, 'Times New Roman', 'Nimbus Roman', Times, serif"`

// finished is a page as it is handed out: with its size, a title that is seen as
// one, and all music signs drawn instead of written in a font.
func finished(svg string, p Paper, first bool) string {
	svg = strings.Replace(svg, "<svg ", fmt.Sprintf(`<svg width="%gmm" height="%gmm" `, float64(p.Width)/10, float64(p.Height)/10), 1)
	svg = strings.ReplaceAll(svg, `font-family="Liberation, serif"`, otherSerifs)
	if first {
		svg = titled(svg)
	}
	return doubles.Replace(accidentals(metronomes(svg)))
}

// titleText is the text in the middle of a page's head.
var titleText = regexp.MustCompile(`(?s)(class="pgHead">.*?text-anchor="middle">.*?<tspan )font-size="(\d+)px"`)

// titled makes the title larger, which verovio takes from MusicXML without its size.
func titled(svg string) string {
	return titleText.ReplaceAllStringFunc(svg, func(s string) string {
		m := titleText.FindStringSubmatch(s)
		size, _ := strconv.Atoi(m[2])
		return fmt.Sprintf(`%sfont-weight="bold" font-size="%dpx"`, m[1], size*17/10)
	})
}

// accidental is one of a chord name, which verovio takes from the figured bass of the
// music font (SMuFL 1.4, "Figured bass").
var accidental = regexp.MustCompile(`font-family="Leipzig" font-size="(\d+)px">([\x{EA64}-\x{EA66}])<`)

// accidentals writes them as signs that other fonts have, too, and of the size of the
// letters.
func accidentals(svg string) string {
	return accidental.ReplaceAllStringFunc(svg, func(s string) string {
		m := accidental.FindStringSubmatch(s)
		size, _ := strconv.Atoi(m[1])
		sign := map[string]string{"\uEA64": "♭", "\uEA65": "♮", "\uEA66": "♯"}[m[2]]
		return fmt.Sprintf(`font-family="'DejaVu Sans', 'Noto Music', 'Segoe UI Symbol', 'Apple Symbols', sans-serif" font-size="%dpx">%s<`, size*52/100, sign)
	})
}

// doubles are the signs of a doubly altered bass, which hardly any font has.
var doubles = strings.NewReplacer("𝄪", "×", "𝄫", "♭♭")

// metronome is a tempo mark whose note is written in the music font.
var metronome = regexp.MustCompile(`(?s)<text x="(-?\d+)" y="(-?\d+)" font-size="0px">\s*<tspan [^>]*>\s*<tspan [^>]*>\s*<tspan font-family="Leipzig" font-size="(\d+)px">([^<]*)</tspan>`)

// The signs of the music font (SMuFL 1.4, "Metronome marks").
const (
	halfNote = '\uECA3'
	dot      = '\uECB7'
)

// metronomes draws the notes of tempo marks, which a program that does not take the
// font would leave out.
func metronomes(svg string) string {
	return metronome.ReplaceAllStringFunc(svg, func(s string) string {
		m := metronome.FindStringSubmatch(s)
		x, _ := strconv.Atoi(m[1])
		y, _ := strconv.Atoi(m[2])
		size, _ := strconv.Atoi(m[3])
		drawn, width := note(x, y, size, m[4])
		text := strings.Replace(s, `<text x="`+m[1]+`"`, fmt.Sprintf(`<text x="%d"`, x+width), 1)
		text = strings.Replace(text, m[4]+"</tspan>", "</tspan>", 1)
		return drawn + text
	})
}

// note draws a quarter or half note, dotted or not, and tells its width. It stands
// on the line of the text.
func note(x, y, size int, signs string) (drawn string, width int) {
	rx, ry := size*17/100, size*12/100
	fill := "currentColor"
	if strings.ContainsRune(signs, halfNote) {
		fill = "none"
	}
	cx, cy := x+rx, y-ry
	drawn = fmt.Sprintf(`<ellipse cx="%d" cy="%d" rx="%d" ry="%d" fill="%s" stroke-width="%d" transform="rotate(-22 %d %d)"/>`, cx, cy, rx, ry, fill, size/24, cx, cy)
	drawn += fmt.Sprintf(`<path d="M%d %d V%d" stroke-width="%d"/>`, x+2*rx-size/60, cy-ry/4, y-size*85/100, size/24)
	width = 2*rx + size/8
	if strings.ContainsRune(signs, dot) {
		drawn += fmt.Sprintf(`<circle cx="%d" cy="%d" r="%d" fill="currentColor"/>`, x+width, cy, size/18)
		width += size / 6
	}
	return drawn, width
}
