// Package score lays a pattern over a chart in a key: what is wanted from each
// hand, when, in which register, and with which freedoms.
package score

import (
	"fmt"
	"sort"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/text/wording"
)

// Score is the wanted performance. In JSON it is without the patterns and the chart
// that it was made of.
type Score struct {
	Title   string
	Key     pitch.Key
	Meter   meter.Meter
	Tempo   meter.Tempo
	Untimed bool             // nobody asked for that tempo: the chart names none
	Pattern *pattern.Pattern `json:"-"` // the accompaniment of most; Bars say what else is played
	Chart   *chart.Chart     `json:"-"` // as it is played, in the score's key: with intro and ending
	Only    Only             // the hand that is judged; the other's strokes stand in Wants too

	Bars      []Bar     // as played, repeats written out
	Harmonies []Harmony // without gaps from 0 to Length
	Melody    []Note    // by time, without overlap; nil where the chart has none
	Wants     []Want    // by time; at the same time left before right
	Length    meter.Ticks
	Slowing   Slowing // a ritardando, where the music ends with one
	Moved     []Moved `json:",omitempty"` // what a keyboard with fewer keys has elsewhere
}

// Bar is a bar as played.
type Bar struct {
	Number  int // as printed; the upbeat is 0; the bars of an intro are -1, -2, ...
	Printed int // its place among the bars of Score.Chart, from 0
	Pass    int // time through a repeat, from 1
	Section string
	At, Len meter.Ticks

	Pattern *pattern.Pattern `json:"-"` // what is played: the accompaniment, an intro, an ending ...; nil in a tune alone
	Fill    *pattern.Pattern `json:"-"` // what takes its end over, or nil
	count   int              // bars since the pattern began
}

// Playing names what is played in a bar: a pattern, and the fill at its end.
func (b *Bar) Playing() string {
	switch {
	case b.Pattern == nil:
		return ""
	case b.Fill != nil:
		return b.Pattern.Name + ", " + b.Fill.Name
	}
	return b.Pattern.Name
}

// Harmony is a span of one chord. Neighbours differ.
type Harmony struct {
	At, End meter.Ticks
	Chord   chord.Chord
}

// Role is what a stroke does in the texture.
type Role uint8

// The roles.
const (
	Bass   Role = iota // the lowest note, alone in the left hand
	Block              // notes struck together
	Figure             // one note of a broken chord
	Melody             // a note of the tune, on top of what lies beneath it
)

// Want is one wanted stroke of one hand.
type Want struct {
	At, Dur meter.Ticks
	Hand    pattern.Hand
	Role    Role
	Bar     int     // index into Score.Bars
	Beat    float64 // in its bar, from 1
	Chord   chord.Chord
	Harmony int // index into Score.Harmonies

	Tones     []Tone // low to high as demonstrated
	Allowed   chord.Set
	Inversion int         // pattern.AnyInversion, NearestInversion, or 0 to 3; only for whole chords
	Bottom    pitch.Class // the class that a named inversion puts lowest
	Whole     bool        // a whole chord, in any close or open voicing
	Tune      pitch.Pitch // of a Melody: the note that its highest tone plays, as it is spelled

	Accent   bool
	Roll     bool
	Anchor   bool // a figure, or a phrase of the tune, begins here: the hand may take another octave
	Approach bool
	Free     bool // its length is the player's own
}

// Tone is one wanted note.
type Tone struct {
	Key       pitch.Num // where a demonstration puts it
	Accept    chord.Set // classes that do
	AnyOctave bool
	Optional  bool
}

// Keys are the demonstrated keys, low to high.
func (w *Want) Keys() []pitch.Num {
	keys := make([]pitch.Num, len(w.Tones))
	for i, t := range w.Tones {
		keys[i] = t.Key
	}
	return keys
}

// HarmonyAt is the index of the harmony that sounds at a time, clamped to the
// first and last.
func (s *Score) HarmonyAt(at meter.Ticks) int {
	after := sort.Search(len(s.Harmonies), func(i int) bool { return s.Harmonies[i].At > at })
	return max(0, after-1)
}

// BarAt is the index of the bar that a time falls in, clamped.
func (s *Score) BarAt(at meter.Ticks) int {
	after := sort.Search(len(s.Bars), func(i int) bool { return s.Bars[i].At > at })
	return max(0, after-1)
}

// Beat is one felt beat of a score.
type Beat struct {
	At    meter.Ticks
	First bool // of a bar
}

// Beats lists the beats of the bars; of an upbeat those that are there, which are
// the last of its bar.
func (s *Score) Beats() []Beat {
	var all []Beat
	beat := s.Meter.Beat()
	for i, b := range s.Bars {
		before := meter.Ticks(0) // the part of the bar that an upbeat leaves out
		if i == 0 {
			before = s.Meter.Bar() - b.Len
		}
		for at := (before + beat - 1) / beat * beat; at < before+b.Len; at += beat {
			all = append(all, Beat{b.At + at - before, at == 0})
		}
	}
	return all
}

// Span is a run of bars by their printed numbers, both ends included. The zero
// value is the whole chart.
type Span struct{ From, To int }

// Options say what of a chart is to be played, and how.
type Options struct {
	Key   *pitch.Key  // nil for the chart's own
	Tempo meter.Tempo // 0 for the chart's own
	Span  Span
	Only  Only // one hand alone; what the other plays is not judged
	Parts Parts
	Round bool // it will be played round and round; see Parts

	Keyboard pitch.Keyboard // on which it is played
}

// Only narrows a score to one hand.
type Only uint8

// What of a pattern is wanted.
const (
	BothHands Only = iota
	LeftAlone
	RightAlone
)

var onlyNames = []string{"both", "left", "right"}

// String is both, left or right.
func (o Only) String() string { return onlyNames[o] }

// MarshalText is what String writes.
func (o Only) MarshalText() ([]byte, error) { return []byte(o.String()), nil }

// UnmarshalText reads it.
func (o *Only) UnmarshalText(text []byte) error { return wording.Named(o, onlyNames, text, "hands") }

// Judges reports whether a hand is listened to.
func (o Only) Judges(h pattern.Hand) bool {
	return o == BothHands || o == LeftAlone && h == pattern.Left || o == RightAlone && h == pattern.Right
}

// Alone is the score with the strokes of the judged hand only, and the keys
// between which that hand is looked for: those it is asked for, and a fourth
// around them.
func (s *Score) Alone() (alone *Score, low, high pitch.Num) {
	c := *s
	c.Wants = nil
	low, high = 127, 0
	for _, w := range s.Wants {
		if !s.Only.Judges(w.Hand) {
			continue
		}
		c.Wants = append(c.Wants, w)
		low = min(low, w.Tones[0].Key-aFourth)
		high = max(high, w.Tones[len(w.Tones)-1].Key+aFourth)
	}
	return &c, low, high
}

const aFourth = 5 // semitones

// HandError is a pattern without the hand that is to play it alone.
type HandError struct {
	Pattern *pattern.Pattern
	Hand    pattern.Hand
}

func (e *HandError) Error() string {
	return fmt.Sprintf("pattern %q gives the %s hand nothing to play; it is for the %s", e.Pattern.Name, e.Hand, e.Pattern.Hands())
}

// Build lays p over c, and the parts that the options give it. Errors are
// *MeterError, *SpanError, *HandError, *TuneError, and for parts that do not fit *source.Error.
func Build(c *chart.Chart, p *pattern.Pattern, o Options) (*Score, error) {
	if !p.Fits(c.Meter) {
		return nil, &MeterError{Pattern: p, Meter: c.Meter}
	}
	if o.Key != nil {
		c = c.In(*o.Key)
	}
	s := &Score{Title: c.Title, Key: c.Key, Meter: c.Meter, Tempo: c.Tempo, Pattern: p, Only: o.Only}
	s.Untimed = c.Untimed && o.Tempo == 0
	if o.Tempo != 0 {
		s.Tempo = o.Tempo
	}
	all, err := arrange(c, p, &o)
	if err != nil {
		return nil, err
	}
	if all, err = cut(all, o.Span); err != nil {
		return nil, err
	}
	if !judged(all, o.Only) {
		return nil, &HandError{p, pattern.Hand(o.Only - LeftAlone)}
	}
	s.layBars(c, all)
	s.layMelody(c, all)
	if err := s.checkTune(c, o.Span); err != nil {
		return nil, err
	}
	if err := s.layHands(); err != nil {
		return nil, err
	}
	s.fit(o.Keyboard)
	return s, nil
}

// layHands lays out what each hand strikes.
func (s *Score) layHands() error {
	for _, h := range []pattern.Hand{pattern.Left, pattern.Right} {
		w := newWeaver(s, h)
		w.weave()
		s.Wants = append(s.Wants, w.wants...)
	}
	sortWants(s.Wants)
	return s.check()
}

// layBars lays the bars and harmonies out in time.
func (s *Score) layBars(c *chart.Chart, all []bar) {
	var printed []int
	s.Chart, printed = sheet(c, all)
	var at meter.Ticks
	for i, b := range all {
		s.Bars = append(s.Bars, Bar{
			Number: b.Bar.Number, Printed: printed[i], Pass: b.Pass, Section: b.Section, At: at, Len: b.Bar.Len,
			Pattern: b.pattern, Fill: b.fill, count: b.count,
		})
		for _, placed := range b.Bar.Chords {
			s.addHarmony(at+placed.At, at+placed.At+placed.Dur, placed.Chord)
		}
		if b.slows() {
			from := at - meter.Ticks(b.count)*s.Meter.Bar()
			s.Slowing = Slowing{From: from, To: from + b.pattern.LastStroke(s.Meter), Beat: b.pattern.Slowing}
		}
		at += b.Bar.Len
	}
	s.Length = at
}

func (s *Score) addHarmony(at, end meter.Ticks, c chord.Chord) {
	if n := len(s.Harmonies); n > 0 && s.Harmonies[n-1].Chord == c {
		s.Harmonies[n-1].End = end
		return
	}
	s.Harmonies = append(s.Harmonies, Harmony{at, end, c})
}
