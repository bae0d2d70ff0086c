package engrave

import (
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// speller names the keys of strokes: by their chord, else by the key; a note that
// leads to a bass by the step it makes (common practice, no source).
type speller struct {
	s    *score.Score
	next *score.Want // the hand's next stroke, or nil
}

// stroke names the keys of a stroke, low to high. A flat note that slides into the
// tune is a grace note.
func (sp *speller) stroke(w *score.Want) (notes, grace []pitch.Pitch) {
	top := len(w.Tones) - 1
	for i, t := range w.Tones {
		p := sp.tone(w, t.Key)
		switch {
		case w.Role == score.Melody && i == top:
			p = w.Tune
		case w.Role == score.Melody && w.Roll && t.Optional && t.Key == w.Tones[top].Key-1:
			p = w.Tune
			p.Alter--
			grace = append(grace, sp.readable(p))
			continue
		case w.Role == score.Melody && t.Key.Class() == w.Tune.Class():
			p = t.Key.Spell(w.Tune.Note)
		}
		notes = append(notes, sp.readable(p))
	}
	return notes, grace
}

func (sp *speller) tone(w *score.Want, key pitch.Num) pitch.Pitch {
	c := key.Class()
	switch {
	case w.Approach:
		return key.Spell(sp.approach(c))
	case w.Chord.Set().Has(c):
		return key.Spell(w.Chord.Spell(c, sp.s.Key))
	case chord.Scale(sp.s.Key).Has(c) || w.Chord.IsNone():
		return key.Spell(sp.s.Key.Spell(c))
	}
	return key.Spell(w.Chord.Root.Up(foreign[c.Above(w.Chord.Root.Class())]))
}

// foreign are the intervals by which notes foreign to chord and key are named from
// the root: flat ninth, blue third, sharp fourth, flat sixth, sixth, flat seventh.
var foreign = [12]pitch.Interval{{}, {Steps: 1, Semitones: 1}, {Steps: 1, Semitones: 2}, {Steps: 2, Semitones: 3}, {Steps: 2, Semitones: 4}, {Steps: 3, Semitones: 5},
	{Steps: 3, Semitones: 6}, {Steps: 4, Semitones: 7}, {Steps: 5, Semitones: 8}, {Steps: 5, Semitones: 9}, {Steps: 6, Semitones: 10}, {Steps: 6, Semitones: 11}}

// approach names a note that leads by step: on the line next to its goal.
func (sp *speller) approach(c pitch.Class) pitch.Note {
	k := sp.s.Key
	if chord.Scale(k).Has(c) || sp.next == nil {
		return k.Spell(c)
	}
	goal := sp.next.Tones[0].Key
	to := (&speller{s: sp.s}).tone(sp.next, goal).Note
	for _, semitones := range []int{-1, 1, -2, 2} {
		if goal.Class().Up(semitones) != c {
			continue
		}
		steps := 1
		if semitones < 0 {
			steps = -1
		}
		if n := to.Up(pitch.Interval{Steps: steps, Semitones: semitones}); usual(n) {
			return n
		}
	}
	return k.Spell(c)
}

// usual reports a note with at most one sign that is no other white key.
func usual(n pitch.Note) bool {
	switch n.Alter {
	case 0:
		return true
	case 1:
		return n.Letter != 2 && n.Letter != 6
	case -1:
		return n.Letter != 0 && n.Letter != 3
	}
	return false
}

// readable is a note without double flats, and with double sharps only in keys of
// three sharps and more.
func (sp *speller) readable(p pitch.Pitch) pitch.Pitch {
	if p.Alter > -2 && (p.Alter < 2 || p.Alter == 2 && sp.s.Key.Fifths() >= 3) {
		return p
	}
	n := sp.s.Key.Spell(p.Class())
	switch {
	case n.Alter < -1:
		n = pitch.NoteAtFifths(n.Fifths() + 12)
	case n.Alter > 1:
		n = pitch.NoteAtFifths(n.Fifths() - 12)
	}
	return p.Num().Spell(n)
}
