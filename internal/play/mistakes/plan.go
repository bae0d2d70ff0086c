package mistakes

import (
	"fmt"
	"time"

	"undersong/internal/play/performer"
	"undersong/internal/sheet/score"
)

// Performance is what was played, and what it was meant to be.
type Performance struct {
	performer.Performance
	Truth []Fault // by time
}

// Play plays s with mistakes. The same seed with and without a mistake differs
// at the mistake alone. Its errors are *PlantError: a mistake that was asked for
// and cannot be made there. A plan without Items never fails.
func Play(s *score.Score, h performer.Habits, plan Plan, seed uint64) (Performance, error) {
	t := newPlanter(s, h, plan, seed)
	if err := t.plant(); err != nil {
		return Performance{}, err
	}
	if plan.Bend != nil {
		plan.Bend(t.take.Strokes)
	}
	p := Performance{Performance: t.take.Play()}
	p.Truth = t.truth()
	return p, nil
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

	Tempo    []performer.TempoMark // by place; none keeps the score's tempo
	Fermatas []performer.Fermata

	// Bend, where not nil, changes all that is struck, the mistakes too, before it is
	// played. The truth does not speak of that.
	Bend func([]performer.Stroke)
}

// Item is a mistake to be made.
type Item struct {
	Kind  Kind
	Want  int     // index into Score.Wants
	Beats float64 // Pause, Restart, Stumble: the wait; 0 leaves it to chance
	Bars  int     // Restart, Jump: see there; 0 of a Jump leaves it to chance
}

// Plant is p with one more mistake to be made.
func (p Plan) Plant(k Kind, want int) Plan {
	p.Items = append(append([]Item(nil), p.Items...), Item{Kind: k, Want: want})
	return p
}

// Random sows mistakes of the given kinds by chance.
func Random(kinds []Kind, rate float64) Plan { return Plan{Kinds: kinds, Rate: rate} }

// Sites lists the wants on which a mistake can be planted, for a player with
// these habits who starts at p.Start and makes no other.
func (p Plan) Sites(s *score.Score, h performer.Habits, k Kind) []int {
	t := newPlanter(s, h, Plan{Start: p.Start}, 0)
	var sites []int
	for i := range s.Wants {
		if _, reason := t.try(Item{Kind: k, Want: i}, t.random(forFaults, i, 0)); reason == "" {
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
func (t *planter) plant() error {
	taken := map[int]bool{}
	for n, item := range t.plan.Items {
		if err := t.make(n, item); err != nil {
			return err
		}
		taken[t.s.Wants[item.Want].Bar] = true
	}
	planted := len(t.made)
	t.sow(taken)
	for n, m := range t.made[:planted] {
		if !t.happens(m) {
			return t.fail(t.plan.Items[n], "what comes before leads the player past it")
		}
	}
	return nil
}

// fail tells where an item cannot be made.
func (t *planter) fail(item Item, reason string) error {
	w := &t.s.Wants[item.Want]
	where := fmt.Sprintf("bar %d, beat %g, %s hand", t.s.Bars[w.Bar].Number, w.Beat, w.Hand)
	return &PlantError{Item: item, Where: where, Reason: reason}
}

func (t *planter) make(n int, item Item) error {
	if item.Want < 0 || item.Want >= len(t.s.Wants) {
		return &PlantError{Item: item, Reason: fmt.Sprintf("the score has %d strokes, counted from 0", len(t.s.Wants))}
	}
	apply, reason := t.try(item, t.random(forFaults, item.Want, n))
	if reason != "" {
		return t.fail(item, reason)
	}
	apply()
	return nil
}

// sow gives the bars not taken their chance mistakes.
func (t *planter) sow(taken map[int]bool) {
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
func (t *planter) sowBar(first, last int) {
	r := t.random(forSowing, first+1, 0)
	for _, k := range r.Perm(len(t.plan.Kinds)) {
		for _, i := range r.Perm(last - first) {
			if apply, reason := t.try(Item{Kind: t.plan.Kinds[k], Want: first + i}, r); reason == "" {
				apply()
				return
			}
		}
	}
}
