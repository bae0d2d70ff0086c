package simulate

import (
	"fmt"
	"time"

	"undersong/internal/pitch"
	"undersong/internal/score"
)

// Kind is a kind of mistake.
type Kind string

// Mistakes in notes. A moment is all that both hands strike at one place.
const (
	// WrongChord: a major or minor triad of the key that shares at most one note
	// with the wanted chord. Planted on a chord, that stroke and what the other
	// hand strikes with it; planted on the first note of a broken chord, all that
	// is struck of that harmony in the bar. Every note moves to its counterpart
	// (root to root, third to third), so that inversion and spacing are kept.
	WrongChord Kind = "wrong-chord"
	// WrongInversion: the right notes with another one lowest. Only where an
	// inversion is demanded: a named one, or the nearest where the other is at
	// least leastDetour semitones of finger travel farther.
	WrongInversion Kind = "wrong-inversion"
	// WrongBass: a note of the key, foreign to the chord, in place of a lone bass
	// note of the left hand. Not for approach notes.
	WrongBass Kind = "wrong-bass"
	// WrongNote: one note of a block, or a note of a figure, off by one or two
	// semitones; foreign to the chord, and what sounds then is no other chord.
	WrongNote Kind = "wrong-note"
	// Missing: a stroke left out.
	Missing Kind = "missing"
	// MissingNote: a note of a block that may not be left out, left out.
	MissingNote Kind = "missing-note"
	// Extra: the stroke struck once more halfway to the next moment, where that
	// is at least twice leastExtraGap away. Its Want is -1.
	Extra Kind = "extra"
	// ExtraNote: a foreign note one or two semitones beside a note of a block,
	// struck with it; what sounds then is no other chord.
	ExtraNote Kind = "extra-note"
)

// Mistakes in time, length and loudness.
const (
	// Early and Late: a moment, both hands together, off by leastShift to
	// mostShift and at most shiftShare of the gap to the next moment on that side.
	// The shift takes the place of jitter.
	Early Kind = "early"
	Late  Kind = "late"
	// Short: released at shortShare of the written length. Only where the length
	// is not free and at least a beat, and nobody pedals.
	Short Kind = "short"
	// Blurred: planted on the first stroke of a new harmony. The pedal goes down
	// after the last moment of the old one and stays down for blurShare of a bar
	// from the change.
	Blurred Kind = "blurred"
	// Balance: for the whole bar, accented notes much softer than the others; in
	// a pattern without accents, the right hand's chords much louder than the bass.
	Balance Kind = "balance"
)

// NoteKinds lists the mistakes in notes.
func NoteKinds() []Kind {
	return []Kind{WrongChord, WrongInversion, WrongBass, WrongNote, Missing, MissingNote, Extra, ExtraNote}
}

// TimeKinds lists the mistakes in time, length and loudness.
func TimeKinds() []Kind { return []Kind{Early, Late, Short, Blurred, Balance} }

// Fault is a mistake as made.
type Fault struct {
	Kind   Kind
	Want   int     // index into Score.Wants of the first stroke concerned; -1 for Extra
	Also   []int   // the other wants concerned
	Bar    int     // as printed
	Beat   float64 // from 1
	Hand   string  // "left", "right" or "both"
	At     time.Duration
	Shift  time.Duration // Early, Late: off the beat by this, early negative
	Keys   []pitch.Num   // what was struck instead, added or left out
	Detail string        // in words: "Dm for G7"
}

// Plan says what is played otherwise than written. The zero value changes
// nothing.
type Plan struct {
	Start time.Duration // when score tick 0 sounds; strokes before 0 are put at 0
	Items []Item        // to be made without fail

	// Sown by chance: each bar gets, with a chance of Rate (0 to 1), one mistake
	// of Kinds at a place where it can be made. Bars with an Item stay as they are.
	Kinds []Kind
	Rate  float64
}

// Item is a mistake to be made.
type Item struct {
	Kind Kind
	Want int // index into Score.Wants
}

// Plant is p with one more mistake to be made.
func (p Plan) Plant(k Kind, want int) Plan {
	p.Items = append(append([]Item(nil), p.Items...), Item{Kind: k, Want: want})
	return p
}

// Random sows mistakes of the given kinds by chance.
func Random(kinds []Kind, rate float64) Plan { return Plan{Kinds: kinds, Rate: rate} }

// Sites lists the wants on which a mistake can be planted, for a player with
// these habits who starts at p.Start.
func (p Plan) Sites(s *score.Score, h Habits, k Kind) []int {
	t := newTake(s, h, Plan{Start: p.Start}, 0)
	var sites []int
	for i := range s.Wants {
		if _, reason := t.try(k, i, t.random(forFaults, i, 0)); reason == "" {
			sites = append(sites, i)
		}
	}
	return sites
}

// PlantError is a mistake that cannot be made at a place.
type PlantError struct {
	Item   Item
	Where  string // "bar 3, beat 1, right hand"; "" for a want that is not there
	Reason string
}

func (e *PlantError) Error() string {
	if e.Where == "" {
		return fmt.Sprintf("cannot plant %q on stroke %d: %s", e.Item.Kind, e.Item.Want, e.Reason)
	}
	return fmt.Sprintf("cannot plant %q in %s: %s", e.Item.Kind, e.Where, e.Reason)
}

// plant makes the mistakes that were asked for, then sows the others.
func (t *take) plant() error {
	taken := map[int]bool{}
	for n, item := range t.plan.Items {
		if err := t.make(n, item); err != nil {
			return err
		}
		taken[t.s.Wants[item.Want].Bar] = true
	}
	t.sow(taken)
	return nil
}

func (t *take) make(n int, item Item) error {
	fail := &PlantError{Item: item}
	if item.Want < 0 || item.Want >= len(t.s.Wants) {
		fail.Reason = fmt.Sprintf("the score has strokes 0 to %d", len(t.s.Wants)-1)
		return fail
	}
	apply, reason := t.try(item.Kind, item.Want, t.random(forFaults, item.Want, n))
	if reason != "" {
		w := &t.s.Wants[item.Want]
		fail.Where = fmt.Sprintf("bar %d, beat %g, %s hand", t.s.Bars[w.Bar].Number, w.Beat, w.Hand)
		fail.Reason = reason
		return fail
	}
	apply()
	return nil
}

// sow gives the bars not taken their chance mistakes.
func (t *take) sow(taken map[int]bool) {
	if len(t.plan.Kinds) == 0 {
		return
	}
	r := t.random(forSowing, 0, 0)
	first := 0
	for bar := range t.s.Bars {
		last := first
		for last < len(t.s.Wants) && t.s.Wants[last].At < t.s.Bars[bar].At+t.s.Bars[bar].Len {
			last++
		}
		if r.Float64() < t.plan.Rate && !taken[bar] {
			t.sowBar(first, last)
		}
		first = last
	}
}

// sowBar makes one mistake on one of the wants first to last-1, where any can
// be made: each kind in a random order on each want in a random order.
func (t *take) sowBar(first, last int) {
	r := t.random(forSowing, first+1, 0)
	for _, k := range r.Perm(len(t.plan.Kinds)) {
		for _, i := range r.Perm(last - first) {
			if apply, reason := t.try(t.plan.Kinds[k], first+i, r); reason == "" {
				apply()
				return
			}
		}
	}
}
