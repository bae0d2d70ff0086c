package rules

import (
	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// Streak gathers wrong notes of a broken chord. One wrong note is a slip; when
// more come under the same harmony, with no more right ones than wrong, the player
// has another chord in mind, and is told so once. The zero value has heard nothing.
type Streak struct {
	harmony, bar, pass int
	wrongs, rights     int
	told               bool
	heard              pitch.Nums
}

func (s *Streak) at(w *score.Want, pass int) {
	if s.harmony != w.Harmony || s.bar != w.Bar || s.pass != pass {
		*s = Streak{harmony: w.Harmony, bar: w.Bar, pass: pass}
	}
}

// Right takes a stroke that was right.
func (s *Streak) Right(w *score.Want, pass int) {
	s.at(w, pass)
	s.rights++
}

// Wrong takes a wrong note of a broken chord. It may turn the finding into a wrong
// chord, and reports whether it is to be told at all.
func (s *Streak) Wrong(f *finding.Finding, w *score.Want) bool {
	s.at(w, f.Pass)
	s.wrongs++
	s.heard.InsertAll(&f.Heard)
	if s.told {
		return false
	}
	if s.wrongs < fewestWrongs || s.rights > s.wrongs || w.Role == score.Bass {
		return true
	}
	s.told = true
	f.Kind, f.Heard = finding.WrongChord, s.heard
	return true
}

// SameChord reports that what both hands struck wrongly is one wrong chord: a wrong
// bass under a wrong chord, or under a wrong note with which it makes a chord of
// its own.
func SameChord(left, right *finding.Finding, namesChord bool) bool {
	return left.Kind == finding.WrongBass && (right.Kind == finding.WrongChord || right.Kind == finding.WrongNote && namesChord)
}
