package transcribe

import (
	"time"

	"undersong/internal/listen/chordid"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// segments puts silences in, names the chords and lists their notes.
func (c *cells) segments(chain []chordSpan, notes []Note, end time.Duration) []Segment {
	var out []Segment
	for _, f := range c.silenced(c.withBlocks(chain, notes)) {
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

// silenced cuts rests out of the chain as spans of no chord: those of
// restBeats, and whatever comes before the first note.
func (c *cells) silenced(chain []chordSpan) []chordSpan {
	var out []chordSpan
	for _, f := range chain {
		from := f.from
		for from < f.to {
			to, quiet := from, c.inRest(from)
			for to < f.to && c.inRest(to) == quiet {
				to++
			}
			piece := chordSpan{from: from, to: to}
			if !quiet {
				piece.candidate = f.candidate
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

// chord spells a candidate in a key.
func (r candidate) chord(k pitch.Key) chord.Chord {
	if r.typ == chord.None {
		return chord.Chord{}
	}
	return chordid.Candidate{Root: r.root, Type: r.typ, Bass: r.bass}.Chord(k)
}
