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
		if end > at {
			spans = append(spans, mxml.Span{At: at - origin, Dur: end - at, Rest: event < 0})
			of = append(of, event)
			at = end
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
