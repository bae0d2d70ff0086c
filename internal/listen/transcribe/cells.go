package transcribe

import (
	"math"
	"time"

	"undersong/internal/music/harmony"
	"undersong/internal/music/pitch"
)

// sounding is a note laid out over cells: how much of each it fills.
type sounding struct {
	class pitch.Class
	key   pitch.Num
	first int       // the cell it is struck in, after snapping
	fill  []float64 // cell by cell from first
}

// cells is the performance cut up. Cell k lasts from at[k] to at[k+1] seconds.
type cells struct {
	beats   []pulse
	at      []float64 // one more than there are cells
	beatOf  []int     // the beat each cell lies in
	inBeat  []int     // its place in it, 0 for on the beat
	accents []float64 // what a bass note in each cell counts
	borders []float64 // what a change at the start of each cell costs

	notes  []sounding
	struck []int // how many notes begin in each cell
	active [][]int32
	sum    [][12]float64 // running totals of presence, cells before k
	upper  [][12]float64 // the same without the bass of each cell
	full   []float64     // running totals of sound in beats, cells before k
	late   [][12]float64 // of each cell: what is struck in it and sounds on
	rest   []bool        // cells of a long silence
	bass   []bassCell
	keys   []pitch.Key
	sure   []float64
}

// bassCell is the lowest note of a cell.
type bassCell struct {
	key    pitch.Num // -1 for silence
	struck bool      // in this cell
}

func newCells(beats []pulse, notes []Note, end time.Duration) *cells {
	c := &cells{beats: beats}
	last := end.Seconds()
	for b := 0; b+1 < len(beats) && beats[b].at < last; b++ {
		from, to := beats[b].at, beats[b+1].at
		for i := range beats[b].cells {
			at := from + (to-from)*float64(i)/float64(beats[b].cells)
			next := from + (to-from)*float64(i+1)/float64(beats[b].cells)
			if next <= 0 || at >= last {
				continue
			}
			c.at = append(c.at, at)
			c.beatOf = append(c.beatOf, b)
			c.inBeat = append(c.inBeat, i)
		}
	}
	c.at = append(c.at, max(last, c.at[len(c.at)-1]+1e-3))
	c.lay(notes)
	c.total()
	return c
}

func (c *cells) count() int { return len(c.at) - 1 }

func (c *cells) length(k int) float64 { return c.at[k+1] - c.at[k] }

// lay puts the notes, in order of onset, into the cells.
func (c *cells) lay(notes []Note) {
	n := c.count()
	c.bass = make([]bassCell, n)
	for k := range c.bass {
		c.bass[k].key = -1
	}
	c.active = make([][]int32, n)
	c.struck = make([]int, n)
	k := 0
	for _, note := range notes {
		on, off := note.On.Seconds(), note.Off.Seconds()
		for k+1 < n && c.at[k+1] <= on {
			k++
		}
		first := k
		if k+1 < n && c.at[k+1]-on < min(snapEarly, snapEarlyPart*c.length(k)) {
			first = k + 1
		}
		c.layOne(note, first, max(on, c.at[first]), off)
	}
}

func (c *cells) layOne(note Note, first int, on, off float64) {
	s := sounding{class: note.Key.Class(), key: note.Key, first: first}
	weight := loudness(note)
	release := max(note.Release.Seconds(), on)
	for k := first; k < c.count(); k++ {
		late := min(snapLate, snapLatePart*c.length(k))
		if k > first && c.at[k]+late > off {
			break
		}
		held := overlap(c.at[k], c.at[k+1], on, release)
		rung := overlap(c.at[k], c.at[k+1], release, off)
		age := math.Exp(-(max(c.at[k], on) - on) / fade)
		fill := weight * age * (held + pedalOnly*rung) / c.length(k)
		if k == first {
			fill += weight * strike
		}
		s.fill = append(s.fill, fill)
		c.noteBass(k, note.Key, k == first)
		c.active[k] = append(c.active[k], int32(len(c.notes)))
	}
	c.notes = append(c.notes, s)
	c.struck[first]++
}

func (c *cells) noteBass(k int, key pitch.Num, struck bool) {
	if b := &c.bass[k]; b.key < 0 || key < b.key {
		*b = bassCell{key, struck}
	}
}

func overlap(from, to, on, off float64) float64 {
	return max(0, min(to, off)-max(from, on))
}

// loudness weighs a note by how hard it is struck, about 1 at a usual 75, and
// less in the high register, where the melody and its passing notes are.
func loudness(n Note) float64 {
	w := math.Sqrt(float64(n.Velocity) / usualStroke)
	if n.Key > melodyFrom {
		w *= highNotes
	}
	return w
}

// total adds up how present each class is: full where it fills the cell, and
// not more for being doubled.
func (c *cells) total() {
	n := c.count()
	c.sum = make([][12]float64, n+1)
	c.upper = make([][12]float64, n+1)
	c.full = make([]float64, n+1)
	c.late = make([][12]float64, n)
	for k := range n {
		var mass, late, upper [12]float64
		for _, i := range c.active[k] {
			s := &c.notes[i]
			mass[s.class] += s.fill[k-s.first]
			if low := c.bass[k].key; s.key != low && s.key != low+12 {
				upper[s.class] += s.fill[k-s.first]
			}
			if s.first == k && len(s.fill) > 1 {
				late[s.class] += s.fill[0]
			}
		}
		sound := 0.0
		for pc, m := range mass {
			p := present(m)
			c.sum[k+1][pc] = c.sum[k][pc] + p
			c.upper[k+1][pc] = c.upper[k][pc] + present(upper[pc])
			c.late[k][pc] = p - present(m-late[pc])
			sound += p
		}
		c.full[k+1] = c.full[k] + c.beatPart(k)*min(1, sound/fullCell)
	}
	c.findRests()
}

// present turns a mass into a presence from 0 to 1; a note under a finger
// through the whole cell has 0.7.
func present(mass float64) float64 { return 1 - math.Exp(-presence*mass) }

func (c *cells) findKeys(known *pitch.Key) {
	n := c.count()
	c.keys, c.sure = make([]pitch.Key, n), make([]float64, n)
	lo, hi := 0, 0
	for k := range n {
		if known != nil {
			c.keys[k], c.sure[k] = *known, 1
			continue
		}
		for c.at[lo] < c.at[k]-keyReach {
			lo++
		}
		for hi < n && c.at[hi] < c.at[k]+keyReach {
			hi++
		}
		var heard [12]float64
		for pc := range heard {
			heard[pc] = c.sum[hi][pc] - c.sum[lo][pc]
		}
		c.keys[k], c.sure[k] = harmony.BestKey(&heard)
	}
	c.calmKeys()
}

// calmKeys gives short spells of another key to the key before, at the start
// to the one after.
func (c *cells) calmKeys() {
	n := c.count()
	var held pitch.Key
	have := false
	for from := 0; from < n; {
		to := from
		for to < n && c.keys[to] == c.keys[from] {
			to++
		}
		switch {
		case c.at[to]-c.at[from] >= keyHold:
			if held = c.keys[from]; !have {
				fill(c.keys[:from], held)
			}
			have = true
		case have:
			fill(c.keys[from:to], held)
		}
		from = to
	}
}

func fill(keys []pitch.Key, k pitch.Key) {
	for i := range keys {
		keys[i] = k
	}
}
