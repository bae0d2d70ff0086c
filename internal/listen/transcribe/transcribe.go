// Package transcribe writes down the chords of a finished performance: which chord
// sounded from when to when, found without a chart. It is for reading a piece
// afterwards; what sounds at this moment is what chordid names.
//
// The performance is cut into cells, half a beat each, on the file's own beats
// where the playing keeps to them and on beats found in the playing otherwise.
// Each span of cells is weighed as each chord, on all that sounds in it, and
// the best chain of spans is taken (a segmental Viterbi search). Nothing here
// is random: the same performance gives the same chords.
package transcribe

import (
	"time"

	"undersong/internal/midi/smf"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// Note is one key struck. On is when; Release is when the finger left it, Off
// when it was damped: later than Release under a pedal. Times count from the
// start of the performance.
type Note struct {
	Key              pitch.Num // 0 to 127
	Velocity         uint8     // 1 to 127
	On, Release, Off time.Duration
}

// Beat is a beat of a tempo map.
type Beat struct {
	At    time.Duration
	Bar   bool // a bar begins here
	Cells int  // how many eighths, or triplets, it is cut into; 1 to 6
}

// Performance is what was played.
type Performance struct {
	Notes []Note        // in any order
	End   time.Duration // at least the last Off
	Beats []Beat        // rising, what the file says; may be empty or wrong
}

// Options of Chords. The zero value is right for a performance without a chart.
type Options struct {
	// Key, where it is known, names the chords and says which are likely; nil
	// finds it from the playing, and follows it.
	Key *pitch.Key
	// OwnBeats leaves the file's tempo map aside and finds the beats in the
	// playing.
	OwnBeats bool
}

// Segment is a span of one chord.
type Segment struct {
	Start, End time.Duration
	Chord      chord.Chord // the zero value is no chord
	Key        pitch.Key   // that the chord is heard and spelled in
	Notes      []pitch.Num // keys that sound in it, rising, each once
}

// Label is the chord's symbol, or N for no chord.
func (s Segment) Label() string {
	if s.Chord.IsNone() {
		return "N"
	}
	return s.Chord.String()
}

// Grid is the beats that the chords were found on.
type Grid struct {
	Beats     []time.Duration // rising
	BarStarts []int           // indexes into Beats, rising
	FromFile  bool            // the tempo map fitted the playing, perhaps shifted
}

// Chords finds the chords of a performance. Segments follow on one another
// without a gap from 0 to the end; neighbours differ. A performance without a
// note is one segment N, or none where it has no length. Notes that make no
// sense (no such key, no duration) are passed over, and so is what comes after
// smf.MaxLength.
func Chords(p Performance, o Options) ([]Segment, Grid) {
	notes := sane(p.Notes)
	end := min(p.End, smf.MaxLength)
	for _, n := range notes {
		end = max(end, n.Off)
	}
	if end <= 0 {
		return nil, Grid{}
	}
	if len(notes) == 0 {
		return []Segment{{End: end}}, Grid{}
	}
	onsets := strokes(notes)
	beats, from := chooseBeats(p.Beats, onsets, end, o.OwnBeats)
	c := newCells(beats, notes, end)
	c.findKeys(o.Key)
	c.price(nil, from)
	places := barPlaces(c, c.search(), from)
	c.price(places, from)
	return c.segments(c.search(), notes, end), c.grid(places, from)
}
