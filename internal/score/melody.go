package score

import (
	"undersong/internal/meter"
	"undersong/internal/pitch"
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
// marked.
func (s *Score) layMelody(all []bar) {
	phrase, tied := 0, false
	for i, p := range all {
		for _, n := range p.Bar.Melody {
			last := len(s.Melody) - 1
			if at := s.Bars[i].At + n.At; tied && s.Melody[last].Pitch == n.Pitch && s.Melody[last].At+s.Melody[last].Dur == at {
				s.Melody[last].Dur += n.Dur
			} else {
				s.Melody = append(s.Melody, Note{At: at, Dur: n.Dur, Pitch: n.Pitch, Bar: i, Phrase: phrase})
			}
			tied = n.Tied
			if n.Ends {
				phrase++
			}
		}
	}
}
