package abc

import (
	"math"
	"strconv"
	"strings"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

func defaultUnit(m meter.Meter) int64 { return int64(melody.DefaultUnit(m)) * melody.Fine }

// setting is the voice that a field is about: before any music all of them.
func (r *reader) setting() *voice {
	if !r.body || r.v == r.start {
		return r.start
	}
	return r.playing()
}

// meter reads M: (3.1.6).
func (r *reader) meter(value string) {
	v := r.setting()
	m, free, ok := parseMeter(value)
	if !ok {
		r.tell("the meter " + strconv.Quote(value) + " is not known, and passed over")
		return
	}
	if r.body && !v.empty() && !free && m != v.meter {
		v.next.meter = m
	}
	v.meter, v.free = m, free
	if !r.body && !v.given {
		v.unit = defaultUnit(m)
	}
}

func parseMeter(value string) (m meter.Meter, free, ok bool) {
	switch value = strings.ReplaceAll(value, " ", ""); value {
	case "C", "c":
		return common, false, true
	case "C|", "c|":
		return meter.Meter{Num: 2, Den: 2}, false, true
	case "none", "":
		return common, true, true
	}
	num, den, _ := strings.Cut(value, "/")
	for _, n := range strings.Split(strings.Trim(num, "()"), "+") {
		m.Num += number(strings.Trim(n, "()"), 1, 64)
	}
	m.Den = number(den, 1, 64)
	return m, false, m.Num > 0 && m.Num <= 64 && m.Den > 0 && m.Den&(m.Den-1) == 0
}

// length reads L: (3.1.7).
func (r *reader) length(value string) {
	num, den, slash := strings.Cut(strings.ReplaceAll(value, " ", ""), "/")
	n, d := number(num, 1, 64), 1
	if slash {
		d = number(den, 1, 1024)
	}
	if n == 0 || d == 0 {
		r.tell("the length " + strconv.Quote(value) + " is not known, and passed over")
		return
	}
	v := r.setting()
	v.unit, v.given = int64(meter.Whole)*melody.Fine*int64(n)/int64(d), true
	if !r.body {
		r.unit = 0
		if d <= 64 && d&(d-1) == 0 && n == 1 {
			r.unit = meter.Whole / meter.Ticks(d)
		}
	}
}

// beat is a tempo as written.
type beat struct {
	len    int64   // in melody.Fine parts of a tick; 0 for as many units as units says
	units  int64   // 0 where no tempo is written
	minute float64 // beats a minute
}

// speed reads Q: (3.1.8, 10.1): "Allegro" 1/4=120, 1/4 3/8=40, 120 and C3=40.
func (r *reader) speed(value string) {
	if r.body && !r.v.empty() {
		r.tell("the tempo changes, and the first one is kept")
		return
	}
	text := value
	for {
		from := strings.IndexByte(text, '"')
		if from < 0 {
			break
		}
		to := strings.IndexByte(text[from+1:], '"')
		if to < 0 {
			text = text[:from]
			break
		}
		text = text[:from] + " " + text[from+to+2:]
	}
	left, right, is := strings.Cut(text, "=")
	if !is {
		left, right = "", text
	}
	b := beat{minute: leading(right), units: 1}
	for _, part := range strings.Fields(left) {
		num, den, slash := strings.Cut(part, "/")
		switch n, d := number(num, 1, 99), number(den, 1, 128); {
		case slash && n > 0 && d > 0:
			b.len += int64(meter.Whole) * melody.Fine * int64(n) / int64(d)
		case strings.HasPrefix(part, "C"):
			b.units = max(int64(number(part[1:], 1, 99)), 1)
		}
	}
	if b.minute > 0 {
		r.tempo = b
	}
}

// leading is the number that a text begins with; 0 for none.
func leading(text string) float64 {
	text = strings.TrimSpace(text)
	end := 0
	for end < len(text) && (text[end] >= '0' && text[end] <= '9' || text[end] == '.') {
		end++
	}
	v, err := strconv.ParseFloat(text[:end], 64)
	if err != nil || v > 10000 {
		return 0
	}
	return v
}

// felt is the tempo in felt beats, to a hundredth where it is reckoned from others; 0
// for none that the program takes.
func (b beat) felt(m meter.Meter, unit int64) meter.Tempo {
	length := b.len
	if length == 0 {
		length = b.units * unit
	}
	t := meter.Tempo(b.minute)
	if felt := int64(m.Beat()) * melody.Fine; length != felt {
		t = meter.Tempo(math.Round(100*b.minute*float64(length)/float64(felt)) / 100)
	}
	if !(t >= meter.SlowestTempo && t <= meter.FastestTempo) {
		return 0
	}
	return t
}

// signature is what K: says.
type signature struct {
	alter [7]int
	key   pitch.Key // major or minor, by the mode's third
	mode  string    // where it is neither of them
}

// signatureOf has so many sharps, or flats where it is below 0.
func signatureOf(fifths int) signature {
	s := signature{key: pitch.Key{Tonic: pitch.NoteAtFifths(fifths)}}
	for _, n := range s.key.Scale() {
		s.alter[n.Letter] = n.Alter
	}
	return s
}

// modes are by their first three letters: how many fifths their signature lies from
// that of the major key on their tonic, and whether their third is minor (3.1.14).
var modes = map[string]struct {
	fifths int
	minor  bool
	name   string
}{
	"ion": {0, false, ""}, "maj": {0, false, ""}, "aeo": {-3, true, ""}, "min": {-3, true, ""}, "m": {-3, true, ""},
	"mix": {-1, false, "mixolydian"}, "dor": {-2, true, "dorian"}, "phr": {-4, true, "phrygian"},
	"lyd": {1, false, "lydian"}, "loc": {-5, true, "locrian"},
}

// key reads K: (3.1.14).
func (r *reader) key(value string) {
	v := r.setting()
	s, rest, ok := parseKey(value)
	before := v.key.key
	if ok {
		v.key = s
	}
	var plain []string
	for _, f := range words(rest) {
		if strings.IndexByte("^_=", f[0]) >= 0 {
			v.key.modify(f)
		} else {
			plain = append(plain, f)
		}
	}
	v.properties(plain)
	if r.body && !v.empty() && v.key.key != before {
		k := v.key.key
		v.next.key = &k
	}
}

// parseKey reads the tonic and mode; ok tells that there is one, or none is asked
// for.
func parseKey(value string) (s signature, rest string, ok bool) {
	switch first, after, _ := strings.Cut(value, " "); first {
	case "":
		return signatureOf(0), after, true
	case "none":
		return signatureOf(0), after, true
	case "HP", "Hp": // F and C are sharp on the pipes, be they written or not
		return signatureOf(2), after, true
	}
	tonic, rest, err := pitch.CutNote(strings.ToUpper(value[:1]) + value[1:])
	if err != nil || tonic.Alter > 1 || tonic.Alter < -1 {
		return s, value, false
	}
	mode, after := cutMode(rest)
	if mode == "" && rest != "" && rest[0]|0x20 >= 'a' && rest[0]|0x20 <= 'z' {
		return s, value, false // a clef, such as bass or alto
	}
	if mode == "exp" {
		s = signatureOf(0)
		s.key.Tonic = tonic
		return s, after, true
	}
	m := modes[mode]
	fifths := tonic.Fifths() + m.fifths
	if fifths < -11 || fifths > 11 {
		return s, value, false
	}
	s = signatureOf(fifths)
	s.key, s.mode = pitch.Key{Tonic: tonic, Minor: m.minor}, m.name
	return s, after, true
}

// cutMode cuts a mode's name off; it may stand right behind the tonic or after a
// space.
func cutMode(rest string) (mode, after string) {
	text := strings.TrimLeft(rest, " ")
	end := 0
	for end < len(text) && (text[end]|0x20 >= 'a' && text[end]|0x20 <= 'z') {
		end++
	}
	name := strings.ToLower(text[:end])
	if name == "m" {
		return "m", text[end:]
	}
	if len(name) >= 3 {
		if _, ok := modes[name[:3]]; ok || name == "exp" {
			return name[:3], text[end:]
		}
	}
	return "", rest
}

// modify changes the signature by accidentals such as ^f=c (3.1.14).
func (s *signature) modify(text string) {
	alter := 0
	for i, r := range text {
		switch r {
		case '^':
			if i == 0 || text[i-1] != '^' {
				alter = 0
			}
			alter++
		case '_':
			if i == 0 || text[i-1] != '_' {
				alter = 0
			}
			alter--
		case '=':
			alter = 0
		default:
			if p, ok := melody.Letter(r); ok {
				s.alter[p.Letter] = max(min(alter, 2), -2)
			}
		}
	}
}
