package capture

import (
	"math"
	"slices"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// defaultLow are the registers that a pattern file need not name.
var defaultLow = [2]pitch.Num{pattern.Left: usual[pattern.Left][0], pattern.Right: usual[pattern.Right][0]}

// write makes a pattern of an interpretation.
func (t *take) write(r *interpretation) (*Captured, error) {
	s := t.sheet(r)
	done := &Captured{Tempo: r.tempo(), Bars: r.bars, Times: (r.bars + r.length - 1) / r.length, Slips: r.slips,
		Chords: t.o.Chords, ByEar: t.o.Meter.Num == 0, Rivals: r.rivals}
	s.steady()
	p := &pattern.Pattern{Name: t.o.Name, Level: 1, Meter: r.meter, Length: r.length, Register: defaultLow}
	if !r.swing.Straight() {
		p.Swing = r.swing
	}
	grid, ok := s.grid()
	if !ok {
		return nil, errNoGrid
	}
	p.Grid = grid
	w := &writer{sheet: s, p: p, width: int(grid.Ticks(r.meter) / r.ticks)}
	w.rows()
	w.lengths()
	w.accents()
	if len(p.Rows[pattern.Left]) == 0 && len(p.Rows[pattern.Right]) == 0 {
		return nil, errNoRepeat
	}
	done.Pattern = p
	done.Unsure = s.unsure()
	return done, nil
}

// grid is the coarsest on which every stroke lies.
func (s *sheet) grid() (pattern.Grid, bool) {
	m := s.r.meter
	if !s.r.swing.Straight() {
		if s.r.ticks == meter.Eighth {
			return pattern.Eighths, true
		}
		return pattern.Sixteenths, true
	}
	for _, g := range []pattern.Grid{pattern.Bars, pattern.Halves, pattern.Beats, pattern.Quarters, pattern.Eighths, pattern.Triplets, pattern.Sixteenths} {
		cell := g.Ticks(m)
		if m.Bar()%cell != 0 || cell%s.r.ticks != 0 || g == pattern.Triplets && m.Compound() || g == pattern.Beats && !m.Compound() {
			continue
		}
		if s.fits(cell) {
			return g, true
		}
	}
	return 0, false
}

func (s *sheet) fits(cell meter.Ticks) bool {
	for h := range s.rows {
		for i, all := range s.rows[h] {
			if len(all) > 0 && s.cellTime(i)%cell != 0 {
				return false
			}
		}
	}
	return true
}

// writer fills in a pattern from a sheet.
type writer struct {
	*sheet
	p     *pattern.Pattern
	width int // cells of the sheet in one of the pattern
}

// strokesAt are the strokes of a hand at a cell of the pattern.
func (w *writer) strokesAt(h pattern.Hand, cell int) []stroke { return w.sheet.rows[h][cell*w.width] }

func (w *writer) cells() int { return w.r.length * w.r.perBar / w.width }

// rows writes what is struck, with rests between.
func (w *writer) rows() {
	if w.shape != pattern.Close {
		w.shareRows(w.shape)
		return
	}
	for h := range w.sheet.rows {
		hand := pattern.Hand(h)
		if !w.plays(hand) {
			continue
		}
		blocks := w.blocks(hand)
		w.setRegister(hand, blocks)
		w.p.Register[h] = w.low[h]
		row := make([]pattern.Cell, w.cells())
		for i := range row {
			if all := w.strokesAt(hand, i); len(all) > 0 {
				row[i] = w.cell(hand, i*w.width, blocks)
				row[i].Roll = most(all, func(st *stroke) bool { return rolled(st.notes) })
			}
		}
		w.p.Rows[h] = row
	}
	w.freeFifths()
	w.freeWalk()
}

// freeWalk lets the notes on the way to an approach note lie in any octave: a
// walking bass turns where it has to.
func (w *writer) freeWalk() {
	row := w.p.Rows[pattern.Left]
	if !slices.ContainsFunc(row, func(c pattern.Cell) bool { return c.Kind == pattern.Approach }) {
		return
	}
	for _, i := range strikes(row)[1:] {
		if c := &row[i]; c.Kind == pattern.Tones && len(c.Tones) == 1 {
			c.Tones[0].AnyOctave = true
		}
	}
}

// freeFifths lets a bass that swings between root and fifth take the fifth in
// either octave.
func (w *writer) freeFifths() {
	row := w.p.Rows[pattern.Left]
	for _, c := range row {
		if c.Kind == pattern.Tones && (len(c.Tones) > 1 || c.Tones[0].Written || c.Tones[0].Degree != 1 && simple(c.Tones[0]) != 5) {
			return
		}
	}
	for i := range row {
		if c := &row[i]; c.Kind == pattern.Tones && c.Tones[0].Degree == 5 && !c.Tones[0].OfKey {
			c.Tones[0].Octave, c.Tones[0].AnyOctave = -1, true
		}
	}
}

// shareRows writes one voicing for both hands.
func (w *writer) shareRows(shape pattern.Shape) {
	for h := range w.p.Rows {
		w.p.Rows[h] = make([]pattern.Cell, w.cells())
		for i := range w.p.Rows[h] {
			if all := w.strokesAt(pattern.Left, i); len(all) > 0 {
				w.p.Rows[h][i] = pattern.Cell{Kind: pattern.Whole, Inversion: pattern.AnyInversion, Shape: shape, Roll: most(all, func(st *stroke) bool { return rolled(st.notes) })}
			}
		}
	}
	if shape == pattern.Drop {
		return
	}
	w.low[pattern.Left] = defaultLow[pattern.Left]
	for _, low := range usual[pattern.Left] {
		if w.rootsFit(low) {
			w.low[pattern.Left] = low
			break
		}
	}
	w.p.Register[pattern.Left] = w.low[pattern.Left]
}

func (w *writer) rootsFit(low pitch.Num) bool {
	for _, st := range w.inTime(pattern.Left) {
		if st.keys()[0] != st.chord.Root.Class().From(low) {
			return false
		}
	}
	return true
}

// lengths lays holds behind the strokes. Where a hand lets go before its next
// stroke, lengths are the player's own.
func (w *writer) lengths() {
	for h, row := range w.p.Rows {
		at := strikes(row)
		for n, i := range at {
			gap := w.cells()
			if len(at) > 1 {
				gap = (at[(n+1)%len(at)] - i + w.cells()) % w.cells()
			}
			held := w.held(pattern.Hand(h), i, gap)
			for k := 1; k < held; k++ {
				row[(i+k)%len(row)] = pattern.Cell{Kind: pattern.Hold}
			}
			w.p.Free = w.p.Free || held < gap
		}
	}
	w.noHeldStart()
}

// noHeldStart turns holds into rests before the first stroke of a row whose last
// stroke does not reach over the barline.
func (w *writer) noHeldStart() {
	for _, row := range w.p.Rows {
		at := strikes(row)
		if len(at) == 0 || row[len(row)-1].Kind != pattern.Rest {
			continue
		}
		for i := 0; i < at[0]; i++ {
			row[i] = pattern.Cell{}
		}
	}
}

func strikes(row []pattern.Cell) []int {
	var at []int
	for i, c := range row {
		if c.Strikes() {
			at = append(at, i)
		}
	}
	return at
}

// held is how many cells of a gap a stroke sounds.
func (w *writer) held(h pattern.Hand, i, gap int) int {
	all := w.strokesAt(h, i)
	if len(all) == 0 && w.shape != pattern.Close {
		all = w.strokesAt(h.Other(), i)
	}
	if len(all) == 0 {
		return 1
	}
	cell := w.r.cell * float64(w.width)
	var shares []float64
	for k := range all {
		for _, n := range all[k].notes {
			shares = append(shares, (n.off-n.on).Seconds()/cell)
		}
	}
	length := median(shares)
	if length >= heldOver*float64(gap) {
		return gap
	}
	return max(1, min(gap, int(math.Round(length/legato))))
}
