package score

import (
	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
)

// Note is one note of the tune as played: tied notes are one.
type Note struct {
	At, Dur meter.Ticks
	Pitch   pitch.Pitch
	Bar     int // index into Score.Bars: where it begins
	Phrase  int // counted from 0
}

// Key is the key that sounds the note; in a chart's tune always a piano's.
func (n Note) Key() pitch.Num { return n.Pitch.Num() }

// layMelody lays the tune of the bars as played. Phrases end where they are
// marked; where the chart marks none they are found.
func (s *Score) layMelody(c *chart.Chart, all []bar) {
	ends := s.layNotes(all)
	if !c.MarksPhrases() {
		ends = melody.Phrases(s.sung(lineEnds(c), all))
	}
	phrase := 0
	for i := range s.Melody {
		s.Melody[i].Phrase = phrase
		if ends[i] {
			phrase++
		}
	}
}

// layNotes lays the notes and tells which are marked as the last of a phrase.
func (s *Score) layNotes(all []bar) []bool {
	var ends []bool
	tied := false
	for i, b := range all {
		for _, n := range b.Bar.Melody {
			last := len(s.Melody) - 1
			if at := s.Bars[i].At + n.At; tied && s.Melody[last].Pitch == n.Pitch && s.Melody[last].At+s.Melody[last].Dur == at {
				s.Melody[last].Dur += n.Dur
				ends[last] = ends[last] || n.Ends
			} else {
				s.Melody = append(s.Melody, Note{At: at, Dur: n.Dur, Pitch: n.Pitch, Bar: i})
				ends = append(ends, n.Ends)
			}
			tied = n.Tied
		}
	}
	return ends
}

// lineEnds are the last bars of the chart's lines.
func lineEnds(c *chart.Chart) map[*chart.Bar]bool {
	ends := map[*chart.Bar]bool{}
	for i := range c.Sections {
		for _, l := range c.Sections[i].Lines {
			ends[&l.Bars[len(l.Bars)-1]] = true
		}
	}
	return ends
}

// sung is the tune for finding its phrases. A line ends somewhere in its last
// bar, where the upbeat of the next may stand, or with it.
func (s *Score) sung(ends map[*chart.Bar]bool, all []bar) []melody.Sung {
	notes := make([]melody.Sung, len(s.Melody))
	for i, n := range s.Melody {
		notes[i] = melody.Sung{At: n.At, Dur: n.Dur}
		if i+1 == len(s.Melody) {
			break
		}
		next := s.Melody[i+1]
		b := next.Bar
		if next.At == s.Bars[b].At {
			b--
		}
		notes[i].LineEnd = b >= 0 && ends[all[b].own]
	}
	return notes
}
