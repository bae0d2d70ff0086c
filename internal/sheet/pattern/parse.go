package pattern

import (
	"fmt"
	"strconv"
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/text/source"
	"undersong/internal/text/visible"
)

// Limits of a pattern file.
const (
	MaxSize   = 64 << 10 // bytes
	MaxLength = 16       // bars
)

// Default registers: a bass root at or above E1's octave neighbour E2, a whole
// chord in the right hand from the G below middle C up.
var defaultRegister = [2]pitch.Num{40, 55}

var headings = []string{"name", "sounds", "used", "source", "history", "level", "part", "meter", "grid", "feel", "lengths", "left-low", "right-low", "chords", "chords-minor", "slowing", "left", "right"}

// Parse reads a pattern file. Errors are *source.Error.
func Parse(src []byte, file string) (*Pattern, error) {
	p := &parser{file: file, p: &Pattern{Register: defaultRegister, Grid: Quarters, Level: 1}, seen: map[string]int{}}
	if len(src) > MaxSize {
		return nil, &source.Error{File: file, Line: 1, Col: 1, Reason: fmt.Sprintf("the file is larger than %d KiB", MaxSize>>10), Hint: "a pattern is a few lines of text; is this the right file?"}
	}
	if line, col, reason := source.Unreadable(src); reason != "" {
		return nil, &source.Error{File: file, Line: line, Col: col, Reason: reason, Hint: "a pattern is plain text; save it as UTF-8"}
	}
	p.lines = source.Lines(visible.Read(string(src)))
	for i := range p.lines {
		p.line = i
		if err := p.readLine(); err != nil {
			return nil, err
		}
	}
	return p.finish()
}

type parser struct {
	file  string
	lines []string
	line  int // index of the line being read
	p     *Pattern
	seen  map[string]int // heading to its line index
}

func (p *parser) fail(offset int, reason, hint string) error {
	text := p.lines[p.line]
	return &source.Error{File: p.file, Line: p.line + 1, Col: source.Column(text, offset), Text: text, Reason: reason, Hint: hint}
}

func (p *parser) readLine() error {
	text := p.lines[p.line]
	trimmed := strings.TrimSpace(text)
	if trimmed == "" || trimmed[0] == '#' {
		return nil
	}
	name, value, ok := strings.Cut(text, ":")
	indent := len(name) - len(strings.TrimLeft(name, " \t"))
	name = strings.TrimSpace(name)
	if !ok {
		return p.fail(indent, fmt.Sprintf("%q is not a line of a pattern", short(trimmed)), `write "name: value", with the rows last, as in "left: 1 . 5 ."`)
	}
	valueAt := strings.IndexByte(text, ':') + 1
	lead := len(value) - len(strings.TrimLeft(value, " \t"))
	if first, twice := p.seen[name]; twice {
		return p.fail(indent, fmt.Sprintf("%s stands already in line %d", name, first+1), "keep one of the two")
	}
	p.seen[name] = p.line
	return p.heading(name, strings.TrimSpace(value), indent, valueAt+lead)
}

func short(s string) string {
	if r := []rune(s); len(r) > 24 {
		return string(r[:24]) + "…"
	}
	return s
}

func (p *parser) heading(name, value string, nameAt, valueAt int) error {
	pt := p.p
	if value == "" {
		return p.fail(valueAt, name+" has no value", "write it behind the colon, or leave the line out")
	}
	switch name {
	case "name":
		return p.setName(value, valueAt)
	case "sounds":
		pt.Sounds = value
	case "used":
		pt.Used = value
	case "source":
		pt.Source = value
	case "history":
		pt.History = value
	case "level":
		n, err := strconv.Atoi(value)
		if err != nil || n < 1 || n > 5 {
			return p.fail(valueAt, fmt.Sprintf("level %q", short(value)), "a level is a number from 1 (first weeks) to 5 (advanced)")
		}
		pt.Level = n
	case "meter":
		return p.setMeter(value, valueAt)
	case "grid":
		return p.setGrid(value, valueAt)
	case "feel":
		return p.setFeel(value, valueAt)
	case "lengths":
		if value != "free" && value != "held" {
			return p.fail(valueAt, fmt.Sprintf("lengths %q", short(value)), "lengths are held (as written) or free (short or long as the player likes)")
		}
		pt.Free = value == "free"
	case "left-low":
		return p.setRegister(Left, value, valueAt)
	case "right-low":
		return p.setRegister(Right, value, valueAt)
	case "part":
		return p.setPart(value, valueAt)
	case "slowing":
		return p.setSlowing(value, valueAt)
	case "left", "right", "chords", "chords-minor": // read when meter and grid are known
	default:
		hint := "headings are " + strings.Join(headings, ", ")
		if near := source.Nearest(name, headings); near != "" {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		return p.fail(nameAt, fmt.Sprintf("a pattern has no heading %q", short(name)), hint)
	}
	return nil
}

// nameFault is what keeps a name from standing on a command line and in a file
// name, and how many bytes into it; "" where nothing does.
func nameFault(name string) (at int, reason string) {
	for i, r := range name {
		if !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '-' && i > 0) {
			return i, fmt.Sprintf("%q cannot stand in a pattern's name", r)
		}
	}
	if len(name) > 60 {
		return 0, "the name is longer than 60 letters"
	}
	return 0, ""
}

const nameForm = "use small letters, digits and -, as in slow-waltz"

// CheckName refuses a name that a pattern cannot have.
func CheckName(name string) error {
	if _, reason := nameFault(name); reason != "" || name == "" {
		return fmt.Errorf("a pattern cannot be called %q; %s", short(name), nameForm)
	}
	return nil
}

func (p *parser) setName(value string, at int) error {
	if i, reason := nameFault(value); reason != "" {
		return p.fail(at+i, reason, nameForm)
	}
	p.p.Name = value
	return nil
}

func (p *parser) setMeter(value string, at int) error {
	if value == "any" {
		return nil
	}
	m, err := meter.Parse(value)
	if err != nil {
		return p.fail(at, err.Error(), `or write "any" for a pattern of one cell on a grid of bars or beats`)
	}
	p.p.Meter = m
	return nil
}

func (p *parser) setGrid(value string, at int) error {
	for g, word := range gridWords {
		if word == value {
			p.p.Grid = Grid(g)
			return nil
		}
	}
	return p.fail(at, fmt.Sprintf("grid %q", short(value)), "a grid is one of "+strings.Join(gridWords[:], ", "))
}

func (p *parser) setFeel(value string, at int) error {
	if value == "straight" {
		return nil
	}
	swing, ok := ratio(strings.TrimPrefix(value, "swung "))
	if !ok || !strings.HasPrefix(value, "swung ") {
		return p.fail(at, fmt.Sprintf("feel %q", short(value)), `write "straight", or "swung 2:1" (long to short, from 1:1 to 4:1)`)
	}
	p.p.Swing = swing
	return nil
}

func (p *parser) setRegister(h Hand, value string, at int) error {
	pi, err := pitch.ParsePitch(value)
	if err != nil {
		return p.fail(at, err.Error(), "a register is its lowest note, as in C3; middle C is C4")
	}
	if n := pi.Num(); n < pitch.PianoLow || n > pitch.PianoHigh-12 {
		return p.fail(at, fmt.Sprintf("%s leaves no octave on the keyboard", pi), "a register starts between A0 and C7")
	}
	p.p.Register[h] = pi.Num()
	return nil
}

// finish reads the rows and checks the pattern as a whole.
func (p *parser) finish() (*Pattern, error) {
	if len(p.seen) == 0 {
		return nil, &source.Error{File: p.file, Reason: "there is no pattern in it", Hint: `a pattern has "name:", "meter:", "grid:" and a row for each hand, as in "left: 1 . 5 ."`}
	}
	for _, must := range []string{"name", "meter"} {
		if _, ok := p.seen[must]; !ok {
			return nil, &source.Error{File: p.file, Reason: "the pattern has no " + must, Hint: fmt.Sprintf("add a line %q", must+": "+map[string]string{"name": "slow-waltz", "meter": "3/4"}[must])}
		}
	}
	if err := p.checkGrid(); err != nil {
		return nil, err
	}
	for _, h := range []Hand{Left, Right} {
		line, ok := p.seen[h.String()]
		if !ok {
			continue
		}
		p.line = line
		if err := p.readRow(h); err != nil {
			return nil, err
		}
	}
	if err := p.checkRows(); err != nil {
		return nil, err
	}
	return p.p, p.checkPart()
}

func (p *parser) checkGrid() error {
	pt := p.p
	place := func(name string) {
		if line, ok := p.seen[name]; ok {
			p.line = line
		}
	}
	if pt.AnyMeter() {
		if pt.Grid != Bars && pt.Grid != Beats {
			place("grid")
			return p.fail(0, fmt.Sprintf("a pattern for any meter cannot count in %s", pt.Grid), "use the grid bars or beats, or name a meter")
		}
	} else if pt.Meter.Bar()%pt.Grid.Ticks(pt.Meter) != 0 || pt.Grid == Triplets && pt.Meter.Compound() {
		place("grid")
		return p.fail(0, fmt.Sprintf("a bar of %s cannot be played in %s", pt.Meter, pt.Grid), "choose a grid that fills the bar")
	}
	if !pt.Swing.Straight() && !pt.swings() {
		place("feel")
		return p.fail(0, fmt.Sprintf("%s in %s cannot be swung", pt.Grid, pt.Meter), swingNeeds)
	}
	return nil
}
