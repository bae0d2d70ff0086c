package score

import (
	"fmt"
	"sort"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
)

// TuneError is a pattern that plays the tune, over a chart or bars without one.
type TuneError struct {
	Pattern *pattern.Pattern
	Span    Span // the bars that were asked for; the zero value for all
}

func (e *TuneError) Error() string {
	where := "this chart has none: write it on lines that begin with m:"
	if e.Span != (Span{}) {
		where = fmt.Sprintf("there is none in bars %d-%d: take others", e.Span.From, e.Span.To)
	}
	return fmt.Sprintf("pattern %q plays the tune, and %s, or choose a pattern that leaves the tune to the singer", e.Pattern.Name, where)
}

// checkTune refuses bars without a tune where a pattern is to play it.
func (s *Score) checkTune(c *chart.Chart, span Span) error {
	if len(s.Melody) > 0 {
		return nil
	}
	for i := range s.Bars {
		if p := s.Bars[i].Pattern; p != nil && p.PlaysTune() {
			if !c.HasMelody() {
				span = Span{}
			}
			return &TuneError{p, span}
		}
	}
	return nil
}

// singer is what a weaver keeps while its row plays the tune.
type singer struct {
	on      bool
	cell    pattern.Cell
	struck  meter.Ticks // where the cell begins
	pending bool        // what lies under a note of the cell is still to come
	phrase  int         // of the last note laid
	lift    pitch.Num   // semitones that bring the whole tune into the hand's register
}

// take makes ready for the pattern that the weaver has gone over to.
func (g *singer) take(w *weaver) {
	g.on = false
	if w.hand == pattern.Right && w.p.PlaysTune() {
		g.phrase, g.lift = -1, w.lift()
	}
}

// lift raises the tune by octaves until its lowest note is in the right hand's
// register and all of it lies above what the left hand plays, where two octaves
// are enough for that.
func (w *weaver) lift() pitch.Num {
	low := pitch.Num(127)
	for _, n := range w.s.Melody {
		if w.s.Bars[n.Bar].Pattern == w.p {
			low = min(low, n.Key())
		}
	}
	least := pitch.Num(0)
	for low < 127 && low+least < w.p.Register[pattern.Right] {
		least += 12
	}
	for up := least; up <= least+24; up += 12 {
		if !w.crosses(up) {
			return up
		}
	}
	return least
}

// depth is how far below each note of the tune lies what is under it, in
// semitones; notes of chords are left out where they would be in the way.
var depth = map[pattern.Under]pitch.Num{pattern.Thirds: 4, pattern.Sixths: 9, pattern.Octaves: 12}

// crosses reports a note of the tune, with what is under it, that would lie in the left hand.
func (w *weaver) crosses(up pitch.Num) bool {
	deep := pitch.Num(0)
	for _, c := range w.p.Rows[pattern.Right] {
		deep = max(deep, depth[c.Under])
	}
	for _, n := range w.s.Melody {
		if w.s.Bars[n.Bar].Pattern == w.p && n.Key()+up-deep <= w.leftTop(n.At, n.At+n.Dur) {
			return true
		}
	}
	return false
}

// sing lays the notes of the tune that begin between two places, where the cell
// there plays the tune. It reports whether it does.
func (w *weaver) sing(c pattern.Cell, from, to meter.Ticks) bool {
	g := &w.singer
	switch {
	case c.Kind == pattern.Tune:
		g.on, g.cell, g.struck, g.pending = true, c, from, true
		w.holding = false
	case c.Kind != pattern.Hold:
		g.on = false
	}
	if !g.on {
		return false
	}
	m := w.s.Melody
	for i := sort.Search(len(m), func(i int) bool { return m[i].At >= from }); i < len(m) && m[i].At < to; i++ {
		w.singNote(m[i])
	}
	return true
}

// singUpbeat plays the tune alone where the accompaniment waits.
func (w *weaver) singUpbeat(b *Bar) {
	if w.hand == pattern.Right && b.Pattern != nil && b.Pattern.PlaysTune() {
		w.take(b.Pattern)
		w.sing(pattern.Cell{Kind: pattern.Tune}, b.At, b.At+b.Len)
		w.singer.on = false
	}
}

func (w *weaver) singNote(n Note) {
	g := &w.singer
	h := w.s.HarmonyAt(n.At)
	g.pending = g.pending || w.s.Harmonies[h].At > g.struck && h != w.lastHarmony()
	at, end := w.s.Swung(n.At), w.s.Swung(n.At+n.Dur)
	if g.cell.Early && n.At == g.struck {
		at = w.sooner(n.At, at)
	}
	w.cutShort(at)
	bar := w.s.BarAt(at)
	want := Want{
		At: at, Dur: max(1, end-at), Hand: w.hand, Bar: bar, Harmony: w.s.HarmonyAt(at), Chord: w.s.Harmonies[h].Chord,
		Beat: w.s.Meter.BeatAt(at - w.s.begins(bar)), Inversion: pattern.AnyInversion, Role: Melody,
		Accent: g.cell.Accent, Roll: g.cell.Roll, Free: w.p.Free, Anchor: n.Phrase != g.phrase,
	}
	w.voiceTune(&want, n)
	g.phrase = n.Phrase
	w.prev = want.Keys()
	w.wants = append(w.wants, want)
}

// lastHarmony is the index of the harmony that stood under the last want.
func (w *weaver) lastHarmony() int {
	if len(w.wants) == 0 {
		return -1
	}
	return w.wants[len(w.wants)-1].Harmony
}

// sooner is a cell before a note's place, where the hand's last stroke leaves
// room; else the note comes in time.
func (w *weaver) sooner(written, inTime meter.Ticks) meter.Ticks {
	if written < w.cell {
		return inTime
	}
	at := w.s.Swung(written - w.cell)
	if n := len(w.wants); n > 0 && w.wants[n-1].At >= at {
		return inTime
	}
	return at
}

// cutShort ends what the hand still holds where the next stroke comes.
func (w *weaver) cutShort(at meter.Ticks) {
	if n := len(w.wants); n > 0 {
		last := &w.wants[n-1]
		last.Dur = min(last.Dur, at-last.At)
	}
}

// voiceTune puts a note of the tune on the keyboard, and what lies beneath it.
func (w *weaver) voiceTune(want *Want, n Note) {
	c := w.singer.cell
	want.Tune = n.Pitch
	want.Tune.Octave += int(w.singer.lift)/12 + c.Octave
	key := want.Tune.Num()
	tone := Tone{Key: key, Accept: chord.Set(0).With(key.Class())}
	var slide []Tone
	if flat := key - 1; c.Blue && w.isBlue(key) {
		switch {
		case c.Roll:
			slide = []Tone{{Key: flat, Accept: chord.Set(0).With(flat.Class()), Optional: true}}
		case w.degree(key) != 7: // a flat fifth belongs to the way, a flat third or seventh to the tune
			tone.Key = flat
			want.Tune.Alter--
			fallthrough
		default:
			tone.Accept = tone.Accept.With(flat.Class())
		}
	}
	var under []Tone
	if c.Under.EveryNote() || w.carries(n) {
		under = w.beneath(want, c.Under, key)
	}
	for _, t := range under {
		want.Allowed |= t.Accept
	}
	if c.Under == pattern.UnderChord && len(under) > 0 {
		want.Allowed |= want.Chord.Set()
	}
	want.Tones = append(append(w.clear(want, under), slide...), tone)
	for _, t := range want.Tones {
		want.Allowed |= t.Accept
	}
	want.Roll = want.Roll && len(want.Tones) > 1
}

// carries reports the note of a cell that has something beneath it: the first
// that falls on the cell or on a beat.
func (w *weaver) carries(n Note) bool {
	g := &w.singer
	onBeat := n.At == g.struck || (n.At-w.s.begins(n.Bar))%w.s.Meter.Beat() == 0
	carries := g.pending && onBeat
	g.pending = g.pending && !onBeat
	return carries
}

// degree is how many semitones a key lies above the tonic.
func (w *weaver) degree(key pitch.Num) int { return key.Class().Above(w.s.Key.Tonic.Class()) }

// isBlue reports a note that the blues bends down: the major third, the fifth
// and the major seventh of the key (common practice, no source).
func (w *weaver) isBlue(key pitch.Num) bool {
	d := w.degree(key)
	return d == 4 || d == 7 || d == 11
}
