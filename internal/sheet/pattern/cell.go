package pattern

import (
	"fmt"
	"strconv"
	"strings"

	"undersong/internal/music/chord"
)

// What cells may look like, kind by kind; it closes every error about one.
const (
	toneForms     = "tones are degrees such as 1, b7 or =4, or * (any chord tone), joined as in 1+3+5; (5) may be left out; , ' behind go an octave down or up, ? is any octave"
	wholeForms    = "a whole chord is ch, ch0 ch1 ch2 ch3 (an inversion) or chn (the nearest); with o (open), d (second note from above an octave down) or s (over both hands), as in cho; ch-1 goes without its root, ch-1+9 takes a seventh's ninth"
	approachForms = "an approach note is ap, apd (from the key's next note) or apc (from a half step away); apd, comes from below, apd' from above"
	cellForms     = "a cell is . (rest), - (hold), degrees such as 1 or 1+3+5, * (any chord tone), ch (the chord), ap (approach note), tu (the tune), T1 or T5 (the key's own), % in a fill (the accompaniment goes on), with > (accent) or ~ (roll) in front"
)

// formsFor are the forms that a cell was most likely meant to have.
func formsFor(cell string) string {
	body := strings.TrimLeft(cell, ">~")
	switch {
	case strings.HasPrefix(body, "ch"):
		return wholeForms
	case strings.HasPrefix(body, "ap"):
		return approachForms
	case strings.HasPrefix(body, "tu"), strings.HasPrefix(body, "<tu"):
		return tuneForms
	case body != "" && strings.ContainsRune("0123456789b#=(*", rune(body[0])):
		return toneForms
	}
	return cellForms
}

// cellError is a mistake in a cell, some bytes into it.
type cellError struct {
	offset int
	reason string
}

func (e *cellError) Error() string { return e.reason }

func parseCell(s string) (Cell, error) {
	var c Cell
	at, err := parseMarks(&c, s)
	if err != nil {
		return c, err
	}
	body := s[at:]
	switch {
	case body == "." || body == "-" || body == "%":
		if at > 0 {
			return c, &cellError{0, "a rest or a hold takes no accent and no roll"}
		}
		c.Kind = map[string]Kind{".": Rest, "-": Hold, "%": GoOn}[body]
	case strings.HasPrefix(body, "ch"):
		err = parseWhole(&c, body[2:], at+2)
	case strings.HasPrefix(body, "tu"):
		err = parseTune(&c, body[2:], at+2)
	case strings.HasPrefix(body, "ap"):
		err = parseApproach(&c, body[2:], at+2)
	default:
		c.Kind = Tones
		c.Tones, err = parseTones(body, at)
	}
	return c, err
}

func parseWhole(c *Cell, s string, at int) error {
	c.Kind, c.Inversion = Whole, AnyInversion
	switch {
	case s == "":
	case s[0] == 'n':
		c.Inversion = NearestInversion
		s, at = s[1:], at+1
	case s[0] >= '0' && s[0] <= '3':
		c.Inversion = int(s[0] - '0')
		s, at = s[1:], at+1
	}
	if s != "" && (s[0] == byte(Open) || s[0] == byte(Drop) || s[0] == byte(Spread)) {
		if c.Inversion == NearestInversion {
			return &cellError{at, "the nearest inversion is close; leave out the n"}
		}
		c.Shape = Shape(s[0])
		s, at = s[1:], at+1
		if c.Shape == Spread && (c.Inversion >= 0 || strings.ContainsAny(s, "+-")) {
			return &cellError{at - 1, "a chord spread over both hands lies one way: bass and fifth or seventh on the left, the rest on the right"}
		}
	}
	s, added, plus := strings.Cut(s, "+")
	if plus && added != "9" {
		return &cellError{at + len(s), fmt.Sprintf("only the ninth can be added to a whole chord, as in ch-1+9, not %q", short(added))}
	}
	c.Ninth = plus
	marks, without, cut := strings.Cut(s, "-")
	if cut {
		if err := parseWithout(c, without, at+len(marks)); err != nil {
			return err
		}
	}
	var err error
	c.Octave, err = onlyOctave(marks, at)
	return err
}

// parseWithout reads the degree that a whole chord leaves out.
func parseWithout(c *Cell, s string, at int) error {
	d, err := strconv.Atoi(s)
	if err != nil || d < 1 || d > 13 || s[0] == '+' || s[0] == '0' {
		return &cellError{at, fmt.Sprintf("after - a whole chord names the degree it leaves out, as in ch-1, not %q", s)}
	}
	if c.Inversion >= 0 {
		return &cellError{at, "a chord with a degree left out cannot ask for an inversion"}
	}
	c.Without = d
	return nil
}

// parseMarks reads an accent and a roll in front of a cell; what they mark begins
// at body.
func parseMarks(c *Cell, s string) (body int, err error) {
	for body < len(s) && (s[body] == '>' || s[body] == '~') {
		mark := &c.Accent
		if s[body] == '~' {
			mark = &c.Roll
		}
		if *mark {
			return body, &cellError{body, fmt.Sprintf("%q stands twice", s[body:body+1])}
		}
		*mark = true
		body++
	}
	return body, nil
}

// parseApproach reads what stands behind "ap".
func parseApproach(c *Cell, s string, at int) (err error) {
	c.Kind = Approach
	if s != "" && (s[0] == byte(ScaleStep) || s[0] == byte(HalfStep)) {
		c.Step = Step(s[0])
		s, at = s[1:], at+1
	}
	c.Octave, err = onlyOctave(s, at)
	if err == nil && (c.Octave > 1 || c.Octave < -1) {
		err = &cellError{at, "an approach comes from below (ap,) or above (ap')"}
	}
	return err
}

func onlyOctave(s string, at int) (int, error) {
	n, rest := cutOctave(s)
	if rest != "" {
		return 0, &cellError{at + len(s) - len(rest), fmt.Sprintf("%q is not understood here", rest)}
	}
	if n > 3 || n < -3 {
		return 0, &cellError{at, "more than three octaves up or down leave the keyboard"}
	}
	return n, nil
}

func cutOctave(s string) (octaves int, rest string) {
	for s != "" {
		switch s[0] {
		case ',':
			octaves--
		case '\'':
			octaves++
		default:
			return octaves, s
		}
		s = s[1:]
	}
	return octaves, s
}

// mostTones is how many notes one hand can be asked for.
const mostTones = 6

func parseTones(s string, at int) ([]Tone, error) {
	var tones []Tone
	for _, part := range strings.Split(s, "+") {
		t, err := parseTone(part, at)
		if err != nil {
			return nil, err
		}
		tones = append(tones, t)
		at += len(part) + 1
	}
	if len(tones) > mostTones {
		return nil, &cellError{0, fmt.Sprintf("one hand cannot strike %d notes at once", len(tones))}
	}
	for _, t := range tones {
		if !t.Optional {
			return tones, nil
		}
	}
	return nil, &cellError{0, "something must be struck: not every note can be left out"}
}

func parseTone(s string, at int) (Tone, error) {
	var t Tone
	body := s
	if strings.HasPrefix(body, "(") && strings.HasSuffix(body, ")") && len(body) > 2 {
		t.Optional = true
		body, at = body[1:len(body)-1], at+1
	}
	if strings.HasPrefix(body, "T") {
		err := parseKeyTone(&t, body[1:], s, at)
		return t, err
	}
	rest := strings.TrimLeft(body, "=b#")
	digits := rest[:len(rest)-len(strings.TrimLeft(rest, "0123456789"))]
	name := body[:len(body)-len(rest)+len(digits)]
	switch {
	case strings.HasPrefix(body, "*"):
		name = "*"
	case digits == "":
		return t, &cellError{at, fmt.Sprintf("%q is not a cell", s)}
	default:
		if err := t.setDegree(name); err != nil {
			return t, &cellError{at, err.Error()}
		}
	}
	err := t.setOctave(body[len(name):], at+len(name))
	return t, err
}

// parseKeyTone reads what stands behind T: the degree 1 or 5, and octave marks.
func parseKeyTone(t *Tone, body, whole string, at int) error {
	if body == "" || body[0] != '1' && body[0] != '5' || len(body) > 1 && body[1] >= '0' && body[1] <= '9' {
		return &cellError{at, fmt.Sprintf("%q: the key lends its first note, T1, or its fifth, T5", short(whole))}
	}
	t.Degree, t.OfKey = int(body[0]-'0'), true
	return t.setOctave(body[1:], at+2)
}

// setOctave reads the marks behind a tone.
func (t *Tone) setOctave(marks string, at int) error {
	marks, t.AnyOctave = strings.CutSuffix(marks, "?")
	var err error
	t.Octave, err = onlyOctave(marks, at)
	return err
}

// setDegree reads "5", "b7", "#4" or "=7". An altered degree, or one behind =,
// is meant as written, counted on the major scale; a plain one is the chord's own.
func (t *Tone) setDegree(name string) error {
	text, natural := strings.CutPrefix(name, "=")
	d, iv, err := chord.ParseDegree(text)
	if err != nil {
		return err
	}
	_, plainly, _ := chord.ParseDegree(strconv.Itoa(d))
	t.Degree, t.Alter = d, iv.Semitones-plainly.Semitones
	t.Written = natural || t.Alter != 0
	if natural && t.Alter != 0 {
		return fmt.Errorf("%q: = stands before a plain degree, as in =7", name)
	}
	return nil
}
