package performer

import (
	"sort"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
)

// When a pedal changes after an onset: up once the new harmony sounds, down
// before its keys are let go (common practice, no source).
const (
	pedalUp    = 30 * time.Millisecond
	pedalDown  = 120 * time.Millisecond
	pedalShare = 0.3 // at most this share of what was struck, for both
)

// press is a pedal going down or up.
type press struct {
	at   time.Duration
	down bool
}

// pedal lists the damper's messages.
func (t *Take) pedal() []event.Event {
	presses := t.habitual()
	for _, b := range t.blurs {
		presses = t.blur(presses, b)
	}
	sort.SliceStable(presses, func(i, j int) bool { return presses[i].at < presses[j].at })
	var all []event.Event
	down := false
	for _, p := range presses {
		if p.down == down {
			continue
		}
		down = p.down
		value := uint8(0)
		if down {
			value = 127
		}
		all = append(all, event.Pedal(max(p.at, 0), value))
	}
	return all
}

// habitual lists the pedal changes that the habit makes, and the last letting
// go, when the last note ends.
func (t *Take) habitual() []press {
	if t.h.Pedal == NoPedal || len(t.played) == 0 {
		return nil
	}
	var all []press
	var end time.Duration
	last := -1
	for i := range t.played {
		p := &t.played[i]
		for _, n := range p.notes {
			end = max(end, n.off)
		}
		fresh := i > 0 && p.segment != t.played[i-1].segment
		if fresh {
			sg := &t.path[p.segment]
			all = append(all, press{sg.start - sg.gap*silentShare/100, false})
		}
		if span := t.pedalSpan(p.stroke.Pos); span != last || fresh {
			last = span
			up, down := t.pedalTimes(p)
			all = append(all, t.fadeBefore(i)...)
			all = append(all, press{up, false}, press{down, true})
		}
	}
	return append(all, press{end, false})
}

// pedalSpan numbers the stretches between pedal changes.
func (t *Take) pedalSpan(pos meter.Ticks) int {
	if t.h.Pedal == BarPedal {
		return t.s.BarAt(pos)
	}
	return t.s.HarmonyAt(pos)
}

// pedalTimes are when the pedal goes up and down around a stroke's onset.
func (t *Take) pedalTimes(p *played) (up, down time.Duration) {
	length := time.Duration(pedalShare * float64(t.s.Lasts(p.stroke.Pos, p.stroke.Pos+p.stroke.Dur)))
	down = min(pedalDown, length)
	return p.at() + min(pedalUp, down/2), p.at() + down
}

// fadeBefore lets the pedal go where the music before a played stroke ended in
// silence: before a bar without a chord.
func (t *Take) fadeBefore(i int) []press {
	if i == 0 {
		return nil
	}
	before := &t.played[i-1]
	h := t.s.HarmonyAt(before.stroke.Pos) + 1
	if h < len(t.s.Harmonies) && t.s.Harmonies[h].Chord.IsNone() && t.s.Harmonies[h].At <= t.played[i].stroke.Pos {
		return []press{{t.nominal(&t.path[before.segment], t.s.Harmonies[h].At), false}}
	}
	return nil
}

// blur is a pedal that stays down: pressed after the moment at from, let go at to.
type blur struct{ from, to meter.Ticks }

// Blur keeps the pedal down from the first moment at one place to another.
func (t *Take) Blur(from, to meter.Ticks) { t.blurs = append(t.blurs, blur{from, to}) }

// blur keeps the pedal down through a change. Where a habit goes on after it,
// the pedal is pressed again.
func (t *Take) blur(presses []press, b blur) []press {
	i := t.playedAt(b.from)
	if i < 0 || t.path[t.played[i].segment].to < b.to {
		return presses
	}
	_, down := t.pedalTimes(&t.played[i])
	up := t.nominal(&t.path[t.played[i].segment], b.to)
	kept := []press{{down, true}, {up, false}}
	for _, p := range presses {
		if p.at < down || p.at > up {
			kept = append(kept, p)
		}
	}
	again := up + pedalDown - pedalUp
	if n := len(presses); n > 0 && again < presses[n-1].at {
		kept = append(kept, press{again, true})
	}
	return kept
}

// playedAt is the first stroke played at a place, or -1.
func (t *Take) playedAt(pos meter.Ticks) int {
	for i := range t.played {
		if t.played[i].stroke.Pos == pos {
			return i
		}
	}
	return -1
}
