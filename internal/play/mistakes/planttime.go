package mistakes

import (
	"math/rand/v2"
	"slices"
	"time"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Sizes of the mistakes in time. A steady amateur stays within about 45 ms (see
// Human), so leastShift is beyond doubt; a shift past half the way to the next
// stroke would belong to that one.
const (
	leastShift    = 120 * time.Millisecond
	mostShift     = 200 * time.Millisecond
	shiftShare    = 0.4
	leastExtraGap = 200 * time.Millisecond
	shortShare    = 0.2
	blurShare     = 0.625 // of a bar: an eighth of it past the half
)

// Loudness added by mistakes in balance, in steps of velocity.
const (
	tooSoft = -18
	tooLoud = 14
	blaring = 30
)

func (t *planter) displace(i, sign int, r *rand.Rand) (func(), string) {
	wants := t.onset(i)
	before, after := t.take.Gaps(t.s.Wants[i].At)
	gap := after
	if sign < 0 {
		gap = before
	}
	wander := t.h.Wander(t.s.Tempo.Duration(t.s.Meter.Beat(), t.s.Meter))
	least, most := leastShift+wander, mostShift+wander
	most = min(most, time.Duration(shiftShare*float64(t.s.Tempo.Duration(gap, t.s.Meter))))
	at := t.plan.Start + t.s.Time(t.s.Wants[i].At)
	switch {
	case !t.untouched(wants):
		return nil, "there is a mistake at this onset already"
	case t.s.Wants[i].Roll:
		return nil, "a rolled chord has no sharp place"
	case most < least:
		return nil, "the strokes lie too close at this tempo"
	case sign < 0 && at < 2*most:
		return nil, "there is no time before the beginning"
	}
	by := least + time.Duration(r.Int64N(int64(most-least)+1))
	by = time.Duration(sign) * by.Round(time.Millisecond)
	return func() {
		for _, j := range wants {
			t.take.Strokes[j].Shift = by
		}
		kind, word := Late, "late"
		if sign < 0 {
			kind, word = Early, "early"
		}
		t.put(Fault{Kind: kind, Shift: by, Detail: max(by, -by).String() + " " + word}, wants...)
	}, ""
}

func (t *planter) short(i int) (func(), string) {
	w := &t.s.Wants[i]
	switch {
	case w.Free:
		return nil, "the length of this stroke is free"
	case w.Dur < t.s.Meter.Beat():
		return nil, "this stroke is shorter than a beat anyway"
	case t.h.Pedal != performer.NoPedal:
		return nil, "this player's pedal would hide it"
	case t.h.Legato > 0 && t.h.Legato < 2*shortShare:
		return nil, "this player plays everything short"
	}
	return func() {
		t.take.Strokes[i].Hold = shortShare
		t.put(Fault{Kind: Short, Keys: t.take.Strokes[i].Keys, Detail: "let go after a fifth of its length"}, i)
	}, ""
}

func (t *planter) blurred(i int) (func(), string) {
	w := &t.s.Wants[i]
	if i == 0 || w.Harmony == 0 {
		return nil, "no harmony came before"
	}
	h := t.s.Harmonies[w.Harmony]
	if w.At != h.At || t.s.Wants[i-1].At == w.At {
		return nil, "plant it on the first stroke of a new harmony"
	}
	before := &t.s.Wants[i-1]
	to := w.At + meter.Ticks(blurShare*float64(t.s.Meter.Bar()))
	switch {
	case before.Harmony != w.Harmony-1 || before.At+before.Dur < w.At:
		return nil, "the harmony before has faded"
	case !t.rings(before.At, w.At+t.s.Meter.Beat(), w.Chord.Set()):
		return nil, "nothing that rings on is foreign to " + w.Chord.String()
	case h.End < to:
		return nil, "the harmony changes again too soon"
	}
	around := t.between(before.At, to)
	if !t.untouched(around) {
		return nil, "there is a mistake under this pedal already"
	}
	return func() {
		t.take.Blur(before.At, to)
		t.put(Fault{Kind: Blurred, Detail: "pedal held from " + before.Chord.String() + " into " + w.Chord.String()}, i)
		m := &t.made[len(t.made)-1]
		m.pos, m.until = before.At, to
		for _, j := range around {
			t.touched[j] = true
		}
	}, ""
}

// rings reports a note struck at a place that is foreign to a set, and is not
// struck again before another place.
func (t *planter) rings(pos, until meter.Ticks, set chord.Set) bool {
	for _, i := range t.between(pos, pos+1) {
		for _, k := range t.take.Strokes[i].Keys {
			if !set.Has(k.Class()) && !t.strikes(k, pos+1, until) {
				return true
			}
		}
	}
	return false
}

// strikes reports a key that is struck between two places.
func (t *planter) strikes(k pitch.Num, from, to meter.Ticks) bool {
	for _, i := range t.between(from, to) {
		if slices.Contains(t.take.Strokes[i].Keys, k) {
			return true
		}
	}
	return false
}

func (t *planter) balance(i int) (func(), string) {
	wants := t.between(t.barOf(i))
	if !t.untouched(wants) {
		return nil, "there is a mistake in this bar already"
	}
	gains, detail := t.flatAccents(wants)
	if gains == nil {
		gains, detail = t.buriedBass(wants)
	}
	tops := 0
	if gains == nil {
		if gains, detail = t.drownedTune(wants); gains == nil {
			return nil, "this bar has neither accents nor chords over a bass or under a tune"
		}
		tops = tooSoft - blaring
	}
	return func() {
		for n, j := range wants {
			t.take.Strokes[j].Gain = gains[n]
			if t.s.Wants[j].Role == score.Melody {
				t.take.Strokes[j].Top = tops
			}
		}
		t.put(Fault{Kind: Balance, Detail: detail}, wants...)
	}, ""
}

// flatAccents are gains that turn accents upside down, or nil without accents.
func (t *planter) flatAccents(wants []int) (gains []int, detail string) {
	accents := 0
	for _, j := range wants {
		gain := tooLoud
		if t.s.Wants[j].Accent {
			gain = tooSoft
			accents++
		}
		gains = append(gains, gain)
	}
	if accents == 0 || accents == len(wants) {
		return nil, ""
	}
	return gains, "accents softer than the rest"
}

// buriedBass are gains under which chords drown the bass, or nil where the bar
// has not both.
func (t *planter) buriedBass(wants []int) (gains []int, detail string) {
	basses, chords := 0, 0
	for _, j := range wants {
		w, gain := &t.s.Wants[j], 0
		switch {
		case w.Hand == pattern.Left && w.Role == score.Bass:
			gain = tooSoft
			basses++
		case w.Hand == pattern.Right && w.Role == score.Block:
			gain = blaring
			chords++
		}
		gains = append(gains, gain)
	}
	if basses == 0 || chords == 0 {
		return nil, ""
	}
	return gains, "chords much louder than the bass"
}

// drownedTune are gains under which the tune is drowned, or nil where nothing
// but a bass lies under it.
func (t *planter) drownedTune(wants []int) (gains []int, detail string) {
	tune, chords := 0, 0
	for _, j := range wants {
		w, gain := &t.s.Wants[j], 0
		switch {
		case w.Role == score.Melody:
			gain = blaring
			tune++
			chords += len(w.Tones) - 1
		case w.Role == score.Block:
			gain = blaring
			chords++
		}
		gains = append(gains, gain)
	}
	if tune == 0 || chords == 0 {
		return nil, ""
	}
	return gains, "chords louder than the tune"
}
