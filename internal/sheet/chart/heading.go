package chart

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/text/source"
)

var headingNames = []string{"title", "by", "key", "meter", "tempo", "upbeat", "unit", "pattern", "intro", "fills", "turnaround", "ending"}

// otherWords are what people may call a heading.
var otherWords = map[string]string{
	"name": "title", "song": "title", "tune": "title",
	"composer": "by", "author": "by", "artist": "by", "words": "by", "music": "by",
	"time": "meter", "signature": "meter", "metre": "meter", "time signature": "meter",
	"length": "unit", "note length": "unit", "unit note length": "unit",
	"bpm": "tempo", "speed": "tempo", "pickup": "upbeat", "anacrusis": "upbeat", "style": "pattern",
	"introduction": "intro", "fill": "fills", "outro": "ending", "coda": "ending", "tag": "ending",
}

func known(name string) bool { return slices.Contains(headingNames, name) }

// headingName cuts the name before a colon, in small letters. It is made of
// letters and inner spaces.
func headingName(text string) (string, bool) {
	name, _, ok := strings.Cut(text, ":")
	name = strings.ToLower(strings.TrimSpace(name))
	if !ok || name == "" {
		return "", false
	}
	for _, r := range name {
		if !unicode.IsLetter(r) && r != ' ' && r != '-' {
			return "", false
		}
	}
	return name, true
}

func (p *parser) heading(raw, name string) {
	col := indent(raw)
	before, value, _ := strings.Cut(raw, ":")
	valueCol := utf8.RuneCountInString(before) + 1 + indent(value)
	value = strings.TrimSpace(value)
	switch {
	case !known(name):
		p.fail(col, fmt.Sprintf("unknown heading %q", name), suggest(name))
		return
	case p.inMusic && name == "pattern":
		p.sectionPattern(value, col, valueCol)
		return
	case p.inMusic:
		p.fail(col, fmt.Sprintf("the heading %s stands below the first section or bar", name), "move it to the top; begin the line with w: if it is words")
		return
	case p.headings[name] > 0:
		p.fail(col, fmt.Sprintf("%s is given twice, first in line %d", name, p.headings[name]), "leave one out")
		return
	}
	p.headings[name] = p.at + 1
	switch name {
	case "fills":
		p.fills(value, valueCol)
		return
	case "intro", "turnaround", "ending":
		p.ask(name, value, valueCol)
		return
	}
	if err := p.set(name, value); err != nil {
		p.fail(valueCol, err.Error(), "")
		p.stop = p.stop || name == "meter" // every bar would seem wrong
	}
}

func (p *parser) set(name, value string) (err error) {
	switch name {
	case "title":
		p.c.Title = value
	case "by":
		p.c.By = value
	case "pattern":
		p.c.Pattern = value
	case "key":
		p.c.Key, err = pitch.ParseKey(value)
	case "meter":
		p.c.Meter, err = meter.Parse(value)
	case "tempo":
		p.c.Tempo, err = meter.ParseTempo(strings.TrimSuffix(value, "bpm"))
		p.c.Untimed = false
	case "upbeat":
		p.upbeatText = value
	case "unit":
		p.c.Unit, err = parseUnit(value)
	}
	return err
}

// startMusic ends the headings. Only now is the meter sure, which the upbeat is
// counted in.
func (p *parser) startMusic() {
	if p.inMusic {
		return
	}
	p.inMusic = true
	line := p.headings["upbeat"]
	if line == 0 {
		return
	}
	t, err := parseUpbeat(p.upbeatText, p.c.Meter)
	if err != nil {
		raw := p.lines[line-1]
		before, value, _ := strings.Cut(raw, ":")
		p.failAt(line, utf8.RuneCountInString(before)+1+indent(value), err.Error(), "")
		p.stop = true
	}
	p.c.Upbeat = t
}

// upbeatUnits are what an upbeat may be counted in besides beats, the longest
// first.
var upbeatUnits = []struct {
	name string
	len  meter.Ticks
}{{"quarter", meter.Quarter}, {"eighth", meter.Eighth}, {"sixteenth", meter.Sixteenth}}

// parseUpbeat reads "2", "1.5", "1 beat" or "3 eighths": 0 or more, less than a
// bar, in whole sixteenths.
func parseUpbeat(s string, m meter.Meter) (meter.Ticks, error) {
	fields := strings.Fields(s)
	unit := m.Beat()
	if len(fields) == 2 {
		name := strings.TrimSuffix(strings.ToLower(fields[1]), "s")
		found := name == "beat"
		for _, u := range upbeatUnits {
			if u.name == name {
				unit, found = u.len, true
			}
		}
		if !found {
			fields = nil
		}
	}
	bad := fmt.Errorf("upbeat %q is not a number of beats below the %d of a bar; write it as in upbeat: 1, upbeat: 1.5 or upbeat: 3 eighths", s, m.Beats())
	if len(fields) < 1 || len(fields) > 2 {
		return 0, bad
	}
	v, err := strconv.ParseFloat(fields[0], 64)
	if err != nil || !(v >= 0) || v*float64(unit) >= float64(m.Bar()) {
		return 0, bad
	}
	t := meter.Ticks(v * float64(unit))
	if float64(t) != v*float64(unit) || t%meter.Sixteenth != 0 {
		return 0, fmt.Errorf("upbeat %q is no whole number of sixteenths; write it as in upbeat: 1.5 or upbeat: 3 eighths", s)
	}
	return t, nil
}

// upbeatString writes an upbeat of whole sixteenths so that parseUpbeat reads it
// back.
func upbeatString(t meter.Ticks, m meter.Meter) string {
	if t%m.Beat() == 0 {
		return strconv.Itoa(int(t / m.Beat()))
	}
	unit := upbeatUnits[0]
	for _, u := range upbeatUnits[1:] {
		if t%unit.len != 0 {
			unit = u
		}
	}
	if n := t / unit.len; n != 1 {
		return fmt.Sprintf("%d %ss", n, unit.name)
	}
	return "1 " + unit.name
}

// parseUnit reads "1/8" and the like: a whole note or a half, quarter ... of one,
// to 1/64.
func parseUnit(s string) (meter.Ticks, error) {
	for den := 1; den <= 64; den *= 2 {
		if t := meter.Whole / meter.Ticks(den); s == unitString(t) || s == fmt.Sprintf("1/%d", den) {
			return t, nil
		}
	}
	return 0, fmt.Errorf("unit %q is not the value of a note; write it as in unit: 1/8", s)
}

func unitString(t meter.Ticks) string {
	if t == meter.Whole {
		return "1"
	}
	return fmt.Sprintf("1/%d", int(meter.Whole/t))
}

// suggest names the heading that an unknown one most likely means.
func suggest(name string) string {
	best := otherWords[name]
	for _, k := range headingNames {
		if best == "" && source.Edits(name, k) <= 1+len(k)/4 {
			best = k
		}
	}
	if best != "" {
		return "did you mean " + best + ":?"
	}
	return "the headings are " + strings.Join(headingNames, ", ") + "; begin a remark with #"
}
