package musicxml

import (
	"math"
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// measure is one part's measure. Places and lengths are in quarter notes.
type measure struct {
	number   string
	implicit bool
	line     int

	length  float64 // what stands in it, rests for the whole measure left out
	resting float64 // the longest rest for the whole measure
	notes   []note
	chords  []harmony

	time    meter.Meter // that begins here; zero for none
	key     *pitch.Key  // that begins here, as it sounds; nil for none
	tempo   pace        // the first given here; zero for none
	tempos  int         // how many are given here
	section string      // a rehearsal mark
	system  bool        // a new line of the page begins with it
	repeats int         // it is written as a sign that repeats the so many measures before
}

// note is a note or rest of one voice.
type note struct {
	at, dur     float64
	pitch       pitch.Pitch // as it sounds
	rest        bool        // or something that is no note of a tune
	tied, ends  bool
	voice       string
	staff       int
	lyrics      []syllable
	writtenWith bool // <chord/>
}

func (n note) end() float64 { return n.at + n.dur }

// state is what holds from measure to measure of a part.
type state struct {
	divisions float64
	transpose transposition
	repeats   int // see measure.repeats
}

func newState() state { return state{divisions: 1} }

// walker reads the music of a measure.
type walker struct {
	r    *reader
	p    *part
	m    *measure
	f    *flow
	at   float64 // where the next note begins
	last float64 // where the last one began
}

// longestQuarters bounds a place in a measure.
const longestQuarters = 4096

func (w *walker) music(n *node) error {
	for _, k := range n.kids {
		if err := w.element(k); err != nil {
			return err
		}
		if w.at > longestQuarters {
			return wrong(k, "the measure is longer than %d quarter notes", longestQuarters)
		}
	}
	w.m.repeats = w.p.repeats
	return nil
}

func (w *walker) element(k *node) error {
	switch k.name {
	case "note":
		return w.note(k)
	case "backup":
		w.at = max(0, w.at-w.duration(k))
	case "forward":
		w.at += w.duration(k)
		w.reach(w.at)
	case "attributes":
		return w.attributes(k)
	case "harmony":
		return w.harmony(k)
	case "direction":
		w.direction(k)
	case "sound":
		w.tempo(pace{}, k.at("tempo"))
		w.jump(k)
	case "barline":
		w.barline(k)
	case "print":
		w.m.system = w.m.system || k.at("new-system") == "yes" || k.at("new-page") == "yes"
	case "figured-bass":
		w.tell("figured bass is left out")
	}
	return nil
}

func (w *walker) tell(kind string) { w.r.tell(w.r.at, kind) }

func (w *walker) reach(at float64) { w.m.length = max(w.m.length, at) }

// duration is the <duration> of an element in quarters.
func (w *walker) duration(n *node) float64 {
	v, ok := n.number("duration")
	if !ok || v < 0 {
		return 0
	}
	return v / w.p.divisions
}

// offset is how much later than where it stands something is meant.
func (w *walker) offset(n *node) float64 {
	v, _ := n.number("offset")
	return v / w.p.divisions
}

// attributes reads what holds from here on.
func (w *walker) attributes(n *node) error {
	if k := n.child("transpose"); k != nil { // stands behind the key that it moves
		w.transposes(k)
	}
	for _, k := range n.kids {
		switch k.name {
		case "divisions":
			v := parseNumber(k.text)
			if !(v > 0 && v < 1e6) {
				return wrong(k, "a quarter note has %q divisions", brief(k.text))
			}
			w.p.divisions = v
		case "key":
			if k.at("number") == "" || k.at("number") == "1" { // other staves may have their own
				w.key(k)
			}
		case "time":
			if k.at("number") == "" || k.at("number") == "1" {
				w.time(k)
			}
		case "measure-style":
			w.style(k)
		}
	}
	return nil
}

// style reads how measures are written that repeat others. Rests of several
// measures stand in each of them.
func (w *walker) style(n *node) {
	k := n.child("measure-repeat")
	switch k.at("type") {
	case "start":
		w.p.repeats = 1
		if v := parseNumber(k.text); v >= 1 && v <= 8 {
			w.p.repeats = int(v)
		}
	case "stop":
		w.p.repeats = 0
	}
}

// time reads a time signature. What is counted in several note values or groups is
// their sum.
func (w *walker) time(n *node) {
	if n.has("senza-misura") {
		w.tell("measures without a time signature are as long as what stands in them")
		return
	}
	beats, types := n.all("beats"), n.all("beat-type")
	num, den := 0, 1
	for i := range min(len(beats), len(types)) {
		b, d := sum(beats[i].text), int(parseNumber(types[i].text))
		if b < 1 || b > 512 || d < 1 || d > 128 || d&(d-1) != 0 {
			num = 0
			break
		}
		common := max(den, d)
		num, den = num*common/den+b*common/d, common
	}
	if num < 1 || num > 1024 {
		w.tell("a time signature is not readable, and left out")
		return
	}
	if den == 1 {
		num, den = 2*num, 2
	}
	w.m.time = meter.Meter{Num: num, Den: den}
}

// sum is "3+2" or "4" as a number; 0 where it is none.
func sum(text string) int {
	total := 0
	for _, part := range strings.Split(text, "+") {
		v := parseNumber(part)
		if !(v >= 1 && v < 1000) {
			return 0
		}
		total += int(v)
	}
	return total
}

// ticks is a length in quarters as ticks.
func ticks(quarters float64) meter.Ticks {
	return meter.Ticks(math.Round(quarters * float64(meter.Quarter)))
}
