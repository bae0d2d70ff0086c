package track

import (
	"math"
	"time"

	"undersong/internal/chord"
	"undersong/internal/pitch"
	"undersong/internal/recognize"
)

// found is a stretch of cells with its reading.
type found struct {
	from, to int
	reading
}

// What a change of chord costs, in nats, by where it falls. Chords change at
// bar lines, often in the middle of a bar, sometimes on a beat, and offbeat
// only where a syncopated chord stays an offbeat one (common practice, no
// source; see the bench for how they were set).
const (
	changeBar  = 0.9
	changeHalf = 2.0
	changeBeat = 4.0
	changeOff  = 7.0
	// changeBeatAny and changeOffAny are for the first search, which the bars
	// are found from.
	changeBeatAny = 2.6
	changeOffAny  = 3.6
	// changeSilent comes on top where nothing is struck.
	changeSilent = 3.0
)

// price sets what a change costs at each cell, by its place in the bar where
// that is known.
func (c *cells) price(places []place, from origin) {
	c.borders = make([]float64, c.count())
	c.accents = make([]float64, c.count())
	for k := range c.borders {
		c.accents[k] = 1
		if places != nil {
			c.accents[k] = places[k].accent()
		}
		switch {
		case places != nil:
			c.borders[k] = places[k].change()
		case c.inBeat[k] == 0 || from != fromFile:
			c.borders[k] = changeBeatAny
		default:
			c.borders[k] = changeOffAny
		}
		if c.struck[k] == 0 {
			c.borders[k] += changeSilent
		}
	}
}

// longestSpan is how many cells a chord is weighed over at once: a bar of
// eighths. A chord that stays longer is found in pieces and joined, for goesOn
// apiece. At 4, a root and its fifth in the bass fall apart; at 32 a seventh
// that comes in the second half of a long chord is lost in it.
const longestSpan = 8

// search finds the chain of spans with the best score.
func (c *cells) search() []found {
	n := c.count()
	m := newModel()
	score := make([]float64, n+1)
	back := make([]found, n+1)
	for j := range score {
		score[j] = math.Inf(-1)
	}
	score[0] = 0
	var w walker
	for i := range n {
		if math.IsInf(score[i], -1) {
			continue
		}
		cost := c.borders[i]
		if i == 0 {
			cost = 0
		}
		w.begin(c, i)
		for j := i + 1; j <= n && j-i <= longestSpan; j++ {
			w.extend(c, j-1)
			if j < n && c.borders[j] >= changeOff+changeSilent {
				continue
			}
			r := w.read(c, m, i, j, back[i].reading, cost)
			if s := score[i] + r.score; s > score[j] {
				score[j] = s
				back[j] = found{i, j, r}
			}
		}
	}
	var chain []found
	for j := n; j > 0; j = back[j].from {
		chain = append(chain, back[j])
	}
	for a, b := 0, len(chain)-1; a < b; a, b = a+1, b-1 {
		chain[a], chain[b] = chain[b], chain[a]
	}
	return joined(chain)
}

func joined(chain []found) []found {
	out := chain[:0]
	for _, f := range chain {
		if n := len(out); n > 0 && out[n-1].root == f.root && out[n-1].typ == f.typ && out[n-1].bass == f.bass {
			out[n-1].to = f.to
			continue
		}
		out = append(out, f)
	}
	return out
}

// walker grows a span cell by cell from where it begins.
type walker struct {
	begun   int
	over    []int32 // notes held over from before
	held    [12]float64
	lowest  pitch.Num
	low     []bassCell // the bass of each cell so far
	lengths []float64
	basses  []pitch.Class
}

const (
	// heldOver is how much of a note is left out that was struck before the
	// span began: the tail of the last chord under a pedal, or a tied note
	// which does belong. Nearer 0, late pedals smear; nearer 1, tied voices
	// go unheard.
	heldOver = 0.5
	// ahead is how much of a note is left out that is struck in the last cell
	// of a span and sounds on over its end: it anticipates the next chord.
	ahead = 0.7
)

func (w *walker) begin(c *cells, i int) {
	w.begun = i
	w.over = w.over[:0]
	for _, n := range c.active[i] {
		if c.notes[n].first < i {
			w.over = append(w.over, n)
		}
	}
	w.held = [12]float64{}
	w.lowest = -1
	w.low = w.low[:0]
	w.lengths = w.lengths[:0]
}

func (w *walker) extend(c *cells, k int) {
	for _, n := range w.over {
		s := &c.notes[n]
		if at := k - s.first; at < len(s.fill) {
			w.held[s.class] += heldOver * present(s.fill[at])
		}
	}
	b := c.bass[k]
	w.low = append(w.low, b)
	w.lengths = append(w.lengths, c.beatPart(k)*c.accents[k])
	if b.key >= 0 && (w.lowest < 0 || b.key < w.lowest) {
		w.lowest = b.key
	}
}

// beatPart is how much of a beat a cell is.
func (c *cells) beatPart(k int) float64 { return 1 / float64(c.beats[c.beatOf[k]].cells) }

// fullCell is the presence of all classes together from which a cell says all
// that it can: one note and a bit. Higher, thin arpeggios count for little.
const fullCell = 1.2

// read is the best reading of the cells i to j, after the span that the best
// chain so far ends with. change is what a new chord costs here.
func (w *walker) read(c *cells, m *model, i, j int, before reading, change float64) reading {
	s := span{key: c.keys[(i+j)/2], sure: c.sure[(i+j)/2]}
	total := 0.0
	for pc := range s.share {
		v := c.sum[j][pc] - c.sum[i][pc] - w.held[pc] - c.ahead(i, j, pc)
		if v > 0 {
			s.share[pc] = v
			total += v
		}
	}
	if total < 0.05 {
		return reading{score: -change}
	}
	for pc := range s.share {
		s.share[pc] /= total
		s.upper[pc] = max(0, c.upper[j][pc]-c.upper[i][pc]-c.ahead(i, j, pc)) / total
	}
	s.before, s.change = before, change
	s.beats = c.full[j] - c.full[i]
	w.weighBass(&s)
	return m.best(&s)
}

// ahead is the sound of class pc in the last cell of a span that only
// anticipates the next one.
func (c *cells) ahead(i, j, pc int) float64 {
	if j-i < 2 || j >= c.count() || c.borders[j] >= changeOff {
		return 0
	}
	return ahead * c.late[j-1][pc]
}

const (
	// bassReach is how far above the lowest note of a span (semitones) a bass
	// note may lie: a root and its fifth, or a walking bass, but no chord of
	// the other hand.
	bassReach pitch.Num = 9
	// bassFirst is how much more the first bass note of a span counts.
	bassFirst = 2.5
	// bassHeld is what a bass counts that is held on, against one struck.
	bassHeld = 0.3
)

func (w *walker) weighBass(s *span) {
	first := bassFirst
	for k, b := range w.low {
		if b.key < 0 || b.key > w.lowest+bassReach {
			continue
		}
		weight := w.lengths[k]
		if !b.struck {
			weight *= bassHeld
		}
		s.bass[b.key.Class()] += weight * first
		first = 1
	}
	s.basses = w.basses[:0]
	for c, v := range s.bass {
		if v > 0 {
			s.basses = append(s.basses, pitch.Class(c))
		}
	}
	w.basses = s.basses
}

// segments puts silences in, names the chords and lists their notes.
func (c *cells) segments(chain []found, notes []Note, end time.Duration) []Segment {
	var out []Segment
	for _, f := range c.silenced(chain) {
		key := c.keys[(f.from+f.to-1)/2]
		s := Segment{Start: c.time(f.from, end), End: c.time(f.to, end), Chord: f.chord(key), Key: key}
		if s.End <= s.Start {
			continue
		}
		if n := len(out); n > 0 && out[n-1].Label() == s.Label() {
			out[n-1].End = s.End
			continue
		}
		out = append(out, s)
	}
	listNotes(out, notes)
	return out
}

func (c *cells) time(k int, end time.Duration) time.Duration {
	if k == 0 {
		return 0
	}
	if k >= c.count() {
		return end
	}
	return min(max(time.Duration(c.at[k]*float64(time.Second)), 0), end)
}

// restBeats is how long nothing must sound for a rest to be no chord; shorter
// gaps belong to the chord before, as in short, detached strokes.
const restBeats = 4.0

// silenced cuts rests out of the chain as spans of no chord: those of
// restBeats, and whatever comes before the first note.
func (c *cells) silenced(chain []found) []found {
	var out []found
	for _, f := range chain {
		from := f.from
		for from < f.to {
			to, quiet := from, c.inRest(from)
			for to < f.to && c.inRest(to) == quiet {
				to++
			}
			piece := found{from: from, to: to}
			if !quiet {
				piece.reading = f.reading
			}
			out = append(out, piece)
			from = to
		}
	}
	return joined(out)
}

func (c *cells) inRest(k int) bool { return c.rest[k] }

// findRests marks the cells of long silences.
func (c *cells) findRests() {
	n := c.count()
	c.rest = make([]bool, n)
	for k := 0; k < n; {
		if len(c.active[k]) > 0 {
			k++
			continue
		}
		to, beats := k, 0.0
		for to < n && len(c.active[to]) == 0 {
			beats += c.beatPart(to)
			to++
		}
		if k == 0 || beats >= restBeats {
			for i := k; i < to; i++ {
				c.rest[i] = true
			}
		}
		k = to
	}
}

// listNotes fills in the keys that sound in each segment. A note that only
// laps over a border is left out.
func listNotes(segments []Segment, notes []Note) {
	lap := time.Duration(snapLate * float64(time.Second))
	early := time.Duration(snapEarly * float64(time.Second))
	sets := make([][2]uint64, len(segments))
	first := 0
	for _, n := range notes {
		for first < len(segments) && segments[first].End+longest < n.On {
			first++
		}
		for i := first; i < len(segments) && segments[i].Start < n.Off; i++ {
			s := &segments[i]
			if n.On+early >= s.End && i+1 < len(segments) || n.On+early < s.Start && n.Off < s.Start+lap {
				continue
			}
			sets[i][n.Key>>6] |= 1 << (uint(n.Key) & 63)
		}
	}
	for i := range segments {
		for k := pitch.Num(0); k < 128; k++ {
			if sets[i][k>>6]>>(uint(k)&63)&1 == 1 {
				segments[i].Notes = append(segments[i].Notes, k)
			}
		}
	}
}

// chord spells a reading in a key.
func (r reading) chord(k pitch.Key) chord.Chord {
	if r.typ == chord.None {
		return chord.Chord{}
	}
	return recognize.Reading{Root: r.root, Type: r.typ, Bass: r.bass}.Chord(k)
}
