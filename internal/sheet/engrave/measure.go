package engrave

import (
	"undersong/internal/music/meter"
	"undersong/internal/sheet/mxml"
	"undersong/internal/sheet/score"
)

// sign is what stands in a measure: a written value with what it stands for.
type sign struct {
	mxml.Piece
	event *event // nil for a rest
	index int    // of the event
	start meter.Ticks
	from  bool // a tie leads to it
	to    bool // a tie leads on
}

// signs are those of a bar. A whole bar of rest has none.
func (st *staff) signs(s *score.Score, bar int) []sign {
	b := &s.Bars[bar]
	origin := begins(s, b)
	var spans []mxml.Span
	var of []int // the event of each span, -1 for a rest
	at := b.At
	add := func(end meter.Ticks, event int) {
		for at < end {
			to := end
			if event < 0 {
				to = restTo(s.Meter, at-origin, end-origin) + origin
			}
			spans = append(spans, mxml.Span{At: at - origin, Dur: to - at, Rest: event < 0})
			of = append(of, event)
			at = to
		}
	}
	struck := false
	for i := range st.events {
		if e := &st.events[i]; e.end > b.At && e.at < b.At+b.Len {
			add(max(e.at, b.At), -1)
			add(min(e.end, b.At+b.Len), i)
			struck = true
		}
	}
	if !struck && b.Len == s.Meter.Bar() {
		return nil
	}
	add(b.At+b.Len, -1)
	var all []sign
	for _, p := range mxml.Pieces(spans, s.Meter) {
		g := sign{Piece: p, index: of[p.Of], start: origin + p.At - b.At}
		if g.index >= 0 {
			g.event = &st.events[g.index]
			g.from = origin+p.At > g.event.at
			g.to = origin+p.At+p.Dur < g.event.end
		}
		all = append(all, g)
	}
	return all
}

// restTo is where a rest ends that begins or ends within a tuplet: with its beat at
// the latest, so that no tuplet is longer than it has to be.
func restTo(m meter.Meter, from, to meter.Ticks) meter.Ticks {
	const plain = meter.Sixteenth / 4
	next := from - from%m.Beat() + m.Beat()
	if from%plain == 0 && to%plain == 0 || next >= to {
		return to
	}
	return next
}
