package score

import (
	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// weaver lays one hand's row over the bars.
type weaver struct {
	s    *Score
	hand pattern.Hand
	p    *pattern.Pattern // being laid
	cell meter.Ticks      // length of its cells

	wants   []Want
	last    pattern.Cell // last cell struck, to be struck again under a new chord
	until   meter.Ticks  // when the cell being laid stops sounding
	shared  bool         // the last cell struck is one voicing with the other hand's
	holding bool         // whether the last want may still be lengthened
	prev    []pitch.Num  // keys of the last want
	voicing []pitch.Num  // last whole chord
	restart bool         // the next want begins a figure
	breaks  bool         // the row is a broken chord
	singer  singer       // for a row that plays the tune
}

func newWeaver(s *Score, h pattern.Hand) *weaver {
	return &weaver{s: s, hand: h, restart: true}
}

func (w *weaver) weave() {
	for i := range w.s.Bars {
		b := &w.s.Bars[i]
		if b.Number == 0 {
			w.singUpbeat(b)
			continue // the accompaniment waits through an upbeat
		}
		change := b.Len
		if b.Fill != nil {
			change = min(change, b.Fill.FillsFrom(w.hand, w.s.Meter))
		}
		w.lay(i, b.Pattern, b.count, 0, change)
		w.lay(i, b.Fill, 0, change, b.Len)
	}
}

// take goes over to another pattern.
func (w *weaver) take(p *pattern.Pattern) {
	if w.p != p {
		w.p, w.cell, w.breaks = p, p.Grid.Ticks(w.s.Meter), breaksChords(p.Rows[w.hand])
		w.restart, w.holding = true, false
		w.singer.take(w)
	}
}

// lay lays a bar of a pattern from one place in the bar to another. When the
// chord changes at the half bar an accompaniment begins again there, so that
// every chord gets its own bass; a change elsewhere goes on with the pattern on
// the new chord (common practice, no source). An intro, a fill or an ending stays
// as it is written.
func (w *weaver) lay(index int, p *pattern.Pattern, count int, from, to meter.Ticks) {
	if from >= to {
		return
	}
	if p.Rows[w.hand] == nil {
		w.holding = false
		return
	}
	w.take(p)
	m, b := w.s.Meter, &w.s.Bars[index]
	w.restart = w.restart || count%p.Length == 0
	origin := meter.Ticks(0)
	for at := from; at < to; at += w.cell {
		if w.beginsAgain(b, at) {
			origin, w.restart = at, true
		}
		place := int((at - origin) / w.cell)
		c := p.Cell(w.hand, m, count, place)
		if w.sing(c, b.At+at, b.At+min(to, at+w.cell)) {
			continue
		}
		if c.Strikes() {
			w.shared = p.Shared(w.hand, m, count, place) && (p == b.Fill || !b.filled(w.hand.Other(), at))
		}
		w.until = b.At + w.heldUntil(b, count, at, origin, to)
		w.place(index, w.voiceLed(c), b.At+w.swung(at), b.At+min(to, w.swung(at+w.cell)))
	}
}

// heldUntil is where in its bar the cell at a place stops sounding: where the
// holds behind it end, or another pattern takes over.
func (w *weaver) heldUntil(b *Bar, count int, at, origin, to meter.Ticks) meter.Ticks {
	next := at + w.cell
	for next < to && !w.beginsAgain(b, next) {
		if w.p.Cell(w.hand, w.s.Meter, count, int((next-origin)/w.cell)).Kind != pattern.Hold {
			break
		}
		next += w.cell
	}
	return min(next, to)
}

// beginsAgain reports a place in a bar where the pattern begins anew for a chord.
func (w *weaver) beginsAgain(b *Bar, at meter.Ticks) bool {
	return w.s.Meter.Strength(at) == meter.MidBar && w.p.Part == pattern.Accompaniment && w.changes(b.At+at)
}

// filled reports a place in a bar where a fill has taken a hand over.
func (b *Bar) filled(h pattern.Hand, at meter.Ticks) bool {
	return b.Fill != nil && at >= b.Fill.FillsFrom(h, b.Fill.Meter)
}

// changes reports a new harmony that begins at a time. At the end of the tune
// its beginning comes next.
func (w *weaver) changes(at meter.Ticks) bool {
	if at >= w.s.Length {
		return w.s.Harmonies[0].Chord != w.s.Harmonies[len(w.s.Harmonies)-1].Chord
	}
	return at > 0 && w.s.Harmonies[w.s.HarmonyAt(at)].At == at
}

// voiceLed turns the last stroke before a change of chord into the approach note
// that the pattern keeps for the bar's end.
func (w *weaver) voiceLed(c pattern.Cell) pattern.Cell {
	row := w.p.Rows[w.hand]
	end := len(row) - 1
	for end > 0 && row[end].Kind == pattern.Hold {
		end--
	}
	if row[end].Kind == pattern.Approach && c.Strikes() && w.changes(w.until) {
		return row[end]
	}
	return c
}

// swung moves the second of each pair of cells to where the feel puts it.
func (w *weaver) swung(at meter.Ticks) meter.Ticks {
	sw := w.p.Swing
	if sw.Straight() || (at/w.cell)%2 == 0 {
		return at
	}
	pair := 2 * w.cell
	return at - w.cell + pair*meter.Ticks(sw.Long)/meter.Ticks(sw.Long+sw.Short)
}

// place lays one cell over the time from at to end.
func (w *weaver) place(bar int, c pattern.Cell, at, end meter.Ticks) {
	if c.Kind == pattern.Rest || c.Kind == pattern.GoOn {
		w.holding = false
		return
	}
	if c.Strikes() {
		w.strike(bar, c, at, end)
	} else if w.holding && w.changes(at) && !w.sustains(at) {
		w.strike(bar, w.last, at, end)
	} else if w.holding {
		w.wants[len(w.wants)-1].Dur = end - w.wants[len(w.wants)-1].At
	}
	w.strikeChangesWithin(bar, at, end)
}

// strikeChangesWithin strikes again where the chord changes inside a cell.
func (w *weaver) strikeChangesWithin(bar int, at, end meter.Ticks) {
	if !w.holding {
		return
	}
	for h := w.s.HarmonyAt(at) + 1; h < len(w.s.Harmonies) && w.s.Harmonies[h].At < end; h++ {
		change := w.s.Harmonies[h].At
		if w.sustains(change) {
			continue
		}
		w.wants[len(w.wants)-1].Dur = change - w.wants[len(w.wants)-1].At
		w.strike(bar, w.last, change, end)
	}
}

// sustains reports a held note that a change of chord at a time leaves alone: a
// pedal point, unless the chords stop altogether.
func (w *weaver) sustains(at meter.Ticks) bool {
	return w.last.Pedal() && !w.s.Harmonies[w.s.HarmonyAt(at)].Chord.IsNone()
}

func (w *weaver) strike(bar int, c pattern.Cell, at, end meter.Ticks) {
	h := w.s.HarmonyAt(at)
	harmony := w.s.Harmonies[h]
	w.holding = !harmony.Chord.IsNone()
	if harmony.Chord.IsNone() {
		return
	}
	w.last = c
	want := Want{
		At: at, Dur: end - at, Hand: w.hand, Bar: bar, Harmony: h, Chord: harmony.Chord,
		Beat:      w.s.Meter.BeatAt(at - w.s.Bars[bar].At),
		Inversion: pattern.AnyInversion,
		Allowed:   harmony.Chord.Set(),
		Accent:    c.Accent, Roll: c.Roll, Free: w.p.Free,
		Anchor: w.restart || harmony.At == at,
	}
	w.restart = false
	switch c.Kind {
	case pattern.Whole:
		w.whole(&want, c)
	case pattern.Approach:
		w.approach(&want, c)
	default:
		w.tones(&want, c)
	}
	want.Role = w.role(&want)
	w.prev = want.Keys()
	w.wants = append(w.wants, want)
}

// role tells a bass from a figure. A left hand that breaks chords has its bass
// where the figure begins, any other on every lone note.
func (w *weaver) role(want *Want) Role {
	switch {
	case want.Whole || len(want.Tones) > 1:
		return Block
	case w.hand == pattern.Left && (!w.breaks || want.Anchor && want.Tones[0].Accept == chord.Set(0).With(want.Chord.Bass.Class())):
		return Bass
	}
	return Figure
}

// breaksChords reports a row that names at least three degrees one by one.
func breaksChords(row []pattern.Cell) bool {
	seen := map[int]bool{}
	for _, c := range row {
		if c.Kind == pattern.Tones && len(c.Tones) == 1 && c.Tones[0].Degree > 0 {
			seen[c.Tones[0].Degree] = true
		}
	}
	return len(seen) >= 3
}
