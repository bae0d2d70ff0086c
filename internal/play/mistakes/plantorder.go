package mistakes

import (
	"fmt"
	"math/rand/v2"
	"time"

	"undersong/internal/play/performer"
)

// falter makes the mistakes with a wait in them.
func (t *planter) falter(item Item, r *rand.Rand) (func(), string) {
	w := &t.s.Wants[item.Want]
	wants := t.onset(item.Want)
	if item.Want > 0 && t.s.Wants[item.Want-1].At == w.At {
		return nil, "plant it on the first stroke of its onset"
	}
	b := performer.Break{At: w.At, To: w.At}
	least, most := 1.5, 3.5
	detail := "a pause of %s"
	switch item.Kind {
	case Stumble:
		b.At++
		least, most, detail = 0.5, 1, "struck again after %s"
	case Restart:
		bar := w.Bar - item.Bars
		if item.Bars < 0 || bar < 0 {
			return nil, "there is no such bar before it"
		}
		b.To = t.s.Bars[bar].At
		least, most, detail = 0.5, 2, fmt.Sprintf("back to bar %d after %%s", t.s.Bars[bar].Number)
		wants = t.between(t.barOf(item.Want))
	}
	beats := least + r.Float64()*(most-least)
	if item.Beats != 0 {
		beats = item.Beats
	}
	switch {
	case !(beats > 0 && beats <= performer.LongestWait):
		return nil, fmt.Sprintf("a wait is more than 0 and at most %d beats", performer.LongestWait)
	case item.Kind != Stumble && len(t.between(b.To, b.At)) == 0 && (item.Kind == Restart || item.Want == 0):
		return nil, "nothing was played before it"
	case !t.untouched(wants):
		return nil, "there is a mistake here already"
	}
	b.Gap = time.Duration(beats * float64(t.s.Tempo.Duration(t.s.Meter.Beat(), t.s.Meter))).Round(time.Millisecond)
	return func() {
		t.rend(Fault{Kind: item.Kind, Shift: b.Gap, Detail: fmt.Sprintf(detail, b.Gap)}, b, item.Want, wants)
	}, ""
}

// mostJump is how many bars a jump that is left to chance leaves out or plays again.
const mostJump = 4

// stray makes the mistakes that go on in time at another bar.
func (t *planter) stray(item Item, r *rand.Rand) (func(), string) {
	bar := t.s.Wants[item.Want].Bar
	from, to := t.barOf(item.Want)
	wants := t.between(from, to)
	if wants[0] != item.Want {
		return nil, "plant it on the first stroke of a bar"
	}
	if !t.untouched(wants) {
		return nil, "there is a mistake in this bar already"
	}
	number := t.s.Bars[bar].Number
	b, detail := performer.Break{At: to, To: from}, fmt.Sprintf("bar %d twice", number)
	switch item.Kind {
	case SkipBar:
		if bar+1 == len(t.s.Bars) {
			return nil, "this is the last bar"
		}
		b, detail = performer.Break{At: from, To: to}, fmt.Sprintf("without bar %d", number)
	case Jump:
		target, reason := t.target(bar, item.Bars, r)
		if reason != "" {
			return nil, reason
		}
		b.To = t.s.Bars[target].At
		detail = fmt.Sprintf("from bar %d to bar %d", number, t.s.Bars[target].Number)
		wants = wants[:1]
	}
	return func() { t.rend(Fault{Kind: item.Kind, Detail: detail}, b, wants[0], wants) }, ""
}

// target is the bar that a jump after bar leads to, by bars away from the next
// one; 0 lets chance choose.
func (t *planter) target(bar, by int, r *rand.Rand) (int, string) {
	if by != 0 {
		if target := bar + 1 + by; target >= 0 && target < len(t.s.Bars) {
			return target, ""
		}
		return 0, fmt.Sprintf("there is no bar %d bars from the next", by)
	}
	var choices []int
	for d := -mostJump; d <= mostJump; d++ {
		target := bar + 1 + d
		if d != 0 && d != -1 && target >= 0 && target < len(t.s.Bars) {
			choices = append(choices, target)
		}
	}
	if len(choices) == 0 {
		return 0, "there is no other bar to jump to"
	}
	return pick(r, choices), ""
}

// rend records a break in the order of things.
func (t *planter) rend(f Fault, b performer.Break, lead int, wants []int) {
	f.From, f.To = b.At, b.To
	if f.Kind == Stumble {
		f.From = b.To
	}
	t.put(f, lead)
	for _, i := range wants {
		t.touched[i] = true
	}
	t.made[len(t.made)-1].leaves = t.take.Break(b)
}
