package song

import (
	"undersong/internal/music/chord"
	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
)

// placer puts chords on the places that a chart has for them, bar after bar.
type placer struct {
	b    *builder
	last chord.Chord // sounds on into the next bar
}

// place is a bar's chords from its beginning to its end.
func (p *placer) place(s *Bar, length meter.Ticks) []chart.Placed {
	grid := p.grid(length)
	all, named := []chart.Placed{{At: 0, Chord: p.last}}, false
	for _, c := range s.Chords {
		if !c.Known {
			p.b.tell(s, "%q is no chord known here, and the one before goes on", c.Text)
			continue
		}
		at := min((p.b.scale(c.At)+grid/2)/grid*grid, length-grid)
		switch last := &all[len(all)-1]; {
		case last.At == at:
			last.Chord, named = c.Chord, true
		case len(all) > 1 || last.Chord != c.Chord || named:
			all = append(all, chart.Placed{At: at, Chord: c.Chord})
		}
		p.last = c.Chord
	}
	return filled(all, length)
}

// grid is how far apart the places for chords lie in a bar of a length. An upbeat that
// they do not fill has one chord.
func (p *placer) grid(length meter.Ticks) meter.Ticks {
	if grid := p.b.meter.Grids()[1]; length%grid == 0 {
		return grid
	}
	return length
}

// tidy sets chords of a bar that was joined on the chart's places.
func (p *placer) tidy(chords []chart.Placed, length meter.Ticks) []chart.Placed {
	grid := p.grid(length)
	var all []chart.Placed
	for _, c := range chords {
		at := min(c.At/grid*grid, length-grid)
		n := len(all)
		switch {
		case n > 0 && all[n-1].At == at:
			all[n-1].Chord = c.Chord
		case n == 0 || all[n-1].Chord != c.Chord:
			all = append(all, chart.Placed{At: at, Chord: c.Chord})
		}
	}
	if n := len(all); n > 1 && all[0].Chord == all[1].Chord {
		all = append(all[:1], all[2:]...)
	}
	return filled(all, length)
}

// filled gives each chord its length: to the next, the last to the bar's end.
func filled(all []chart.Placed, length meter.Ticks) []chart.Placed {
	for i := range all {
		end := length
		if i+1 < len(all) {
			end = all[i+1].At
		}
		all[i].Dur = end - all[i].At
	}
	return all
}

// notes are the bar's notes, at from in a bar of the chart. Those that no piano has
// are left out.
func (b *builder) notes(s *Bar, from meter.Ticks) []melody.Note {
	var all []melody.Note
	for _, n := range s.Notes {
		if key := n.Pitch.Num(); key < pitch.PianoLow || key > pitch.PianoHigh {
			b.tell(s, "%s is no key of a piano, and left out", n.Pitch)
			continue
		}
		end := b.scale(n.At + n.Dur)
		n.At = b.scale(n.At)
		n.Dur = end - n.At
		n.At += from
		if n.Dur > 0 {
			all = append(all, n)
		}
	}
	return all
}

// untie takes away ties that lead to no note of the same pitch.
func untie(bars []*chart.Bar) {
	for i, b := range bars {
		for j := range b.Melody {
			n := &b.Melody[j]
			if !n.Tied {
				continue
			}
			var next *melody.Note
			switch {
			case j+1 < len(b.Melody):
				next = &b.Melody[j+1]
				n.Tied = next.At == n.At+n.Dur
			case i+1 < len(bars) && n.At+n.Dur == b.Len && len(bars[i+1].Melody) > 0:
				next = &bars[i+1].Melody[0]
				n.Tied = next.At == 0
			}
			n.Tied = n.Tied && next != nil && next.Pitch == n.Pitch
		}
	}
}
