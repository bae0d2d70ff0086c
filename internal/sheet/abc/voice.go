package abc

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/text/wording"
)

// voice is one voice of a tune (7) with what is in force in it.
type voice struct {
	id, name string
	begun    bool // its settings are its own
	meter    meter.Meter
	free     bool  // no meter is given
	unit     int64 // in melody.Fine parts of a tick
	given    bool  // L: gave it
	key      signature
	shift    int // semitones (4.6)

	firstKey   signature // with the first bar
	firstMeter meter.Meter

	bars        []*bar
	current     *bar                // being read, or nil
	next        bar                 // what is said already about the bar to come
	accidentals map[pitch.Pitch]int // since the bar began, by letter, and by octave where they hold for one
	tied        *pitch.Pitch        // of the last note, if it is tied
	share       int64               // eighths that a broken rhythm leaves to the next note; 0 for none
	tuplet      tuplet
	ends        bool // a phrase mark waits for its note
	skip        int  // bars of an overlay to pass over, this one included
	aligned     int  // notes that have had their words (5.1)
	lineFrom    int  // the first note of the last line of music
	verses      int  // lines of words since then
	sung        []*event
}

// bar is a bar while it is read.
type bar struct {
	events         []*event
	chords         []symbol
	opens, closes  int   // how often the part is repeated: 1 for |: and 2 for |::
	endings        []int // which begin here
	stops          bool  // its barline ends an ending (4.10)
	barline        chart.Barline
	part           int // place in the reader's parts
	meter          meter.Meter
	key            *pitch.Key
	breaks, simile bool
	line, col      int
	under          []string // words of a bar without notes, one a verse
	ending         int      // see song.Bar
	first, last    bool     // of what is played several times
	signs          signs
	times          int
}

// event is a note or rest.
type event struct {
	rest      bool
	note      melody.Note
	dur       int64 // in melody.Fine parts of a tick
	bar       int   // its place in the voice
	syllables []syllable
	joins     bool // goes on with the note before: cut for a chord's sake
}

// symbol is a chord symbol before one of the bar's events.
type symbol struct {
	event int
	text  string
}

type tuplet struct {
	p, q int64
	left int
}

// take is what a length comes to in the tuplet.
func (t *tuplet) take(dur int64) int64 {
	if t.left == 0 {
		return dur
	}
	t.left--
	return dur * t.q / t.p
}

func (v *voice) empty() bool { return v.current == nil && len(v.bars) == 0 }

// playing is the voice that music is for.
func (r *reader) playing() *voice {
	if r.v == r.start {
		if len(r.voices) == 0 {
			r.voices = append(r.voices, &voice{})
		}
		r.v = r.voices[0]
	}
	if v, s := r.v, r.start; !v.begun {
		v.begun, v.meter, v.free, v.unit, v.given, v.key = true, s.meter, s.free, s.unit, s.given, s.key
		v.shift += s.shift
	}
	return r.v
}

// mostVoices is more than any score has.
const mostVoices = 64

// voice goes on with a voice, or makes it known (7.1).
func (r *reader) voice(value string, inline bool) {
	fields := words(value)
	if len(fields) == 0 {
		return
	}
	id := fields[0]
	at := slices.IndexFunc(r.voices, func(v *voice) bool { return v.id == id })
	if at < 0 {
		if len(r.voices) == mostVoices {
			r.tell(fmt.Sprintf("only the first %d voices are read", mostVoices))
			return
		}
		at = len(r.voices)
		r.voices = append(r.voices, &voice{id: id})
	}
	v := r.voices[at]
	if r.body {
		r.v = v
		r.playing()
		if inline {
			v.lineFrom, v.verses = len(v.sung), 0
		}
	}
	v.properties(fields[1:])
}

// properties reads name="Soprano" clef=treble-8 octave=1 and the like; what is not
// known is ignored (7.1).
func (v *voice) properties(fields []string) {
	for _, f := range fields {
		name, value, is := strings.Cut(f, "=")
		value = strings.Trim(value, `"`)
		switch {
		case !is || name == "clef":
			v.shift += clefShift(strings.TrimPrefix(f, "clef="))
		case name == "name" || name == "nm":
			v.name = plainText(value)
		case name == "octave":
			v.shift += 12 * number(value, -9, 9)
		case name == "transpose" || name == "t":
			v.shift += number(value, -48, 48)
		}
	}
}

// clefShift is how far a clef such as treble-8 moves the notes, in semitones (4.6).
func clefShift(clef string) int {
	switch {
	case strings.HasSuffix(clef, "+8"):
		return 12
	case strings.HasSuffix(clef, "-8"):
		return -12
	}
	return 0
}

// number reads a number; 0 where it is none or out of bounds.
func number(text string, low, high int) int {
	n, err := strconv.Atoi(strings.TrimPrefix(text, "+"))
	if err != nil || n < low || n > high {
		return 0
	}
	return n
}

// words splits at spaces that stand in no quotation marks, nor around =.
func words(text string) []string {
	var all []string
	var now strings.Builder
	quoted := false
	text = strings.NewReplacer(" = ", "=", " =\"", "=\"", "= \"", "=\"").Replace(text)
	for _, r := range text {
		switch {
		case r == '"':
			quoted = !quoted
			now.WriteRune(r)
			if !quoted && strings.Contains(now.String(), "=") {
				all = append(all, now.String())
				now.Reset()
			}
		case (r == ' ' || r == '\t') && !quoted:
			if now.Len() > 0 {
				all = append(all, now.String())
				now.Reset()
			}
		default:
			now.WriteRune(r)
		}
	}
	if now.Len() > 0 {
		all = append(all, now.String())
	}
	return all
}

// singing are words in the names of voices that have the tune.
var singing = []string{"melod", "tune", "vocal", "voice", "lead", "sopran", "song", "chant"}

// tune is the voice that has the tune: one whose name says so, or else the first
// with notes.
func (r *reader) tune() *voice {
	var first *voice
	var left []string
	for _, v := range r.voices {
		if len(v.bars) == 0 {
			continue
		}
		if first == nil || len(first.sung) == 0 || !first.sings() && v.sings() && len(v.sung) > 0 {
			first = v
		}
	}
	for _, v := range r.voices {
		if v != first && len(v.bars) > 0 {
			left = append(left, v.called())
		}
	}
	if len(left) > 0 {
		r.told.list = append(r.told.list, notice(fmt.Sprintf("the tune is taken from the voice %s; left out: %s", first.called(), wording.Join(left, "and"))))
	}
	return first
}

func (v *voice) sings() bool {
	name := strings.ToLower(v.id + " " + v.name)
	return slices.ContainsFunc(singing, func(w string) bool { return strings.Contains(name, w) })
}

func (v *voice) called() string {
	if v.name != "" && v.name != v.id {
		return v.id + " (" + v.name + ")"
	}
	return v.id
}
