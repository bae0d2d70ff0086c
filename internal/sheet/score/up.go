package score

import (
	"slices"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// Up is the score some semitones higher, lower where they are negative, in the key that
// is there. Bars and strokes keep their places; ok is false where a note would leave the
// piano.
func (s *Score) Up(semitones int) (up *Score, ok bool) {
	c := *s
	c.Key = pitch.KeyAt(s.Key.Tonic.Class().Up(semitones), s.Key.Minor)
	iv := s.Key.To(c.Key)
	if s.Chart != nil {
		c.Chart = s.Chart.In(c.Key)
	}
	c.Harmonies, c.Melody = slices.Clone(s.Harmonies), slices.Clone(s.Melody)
	for i := range c.Harmonies {
		c.Harmonies[i].Chord = c.Harmonies[i].Chord.Transpose(iv)
	}
	move := func(p pitch.Pitch) pitch.Pitch { return (p.Num() + pitch.Num(semitones)).Spell(p.Note.Up(iv)) }
	for i := range c.Melody {
		c.Melody[i].Pitch = move(c.Melody[i].Pitch)
	}
	ok = c.eachWant(func(w *Want) {
		w.Chord = w.Chord.Transpose(iv)
		w.Allowed, w.Bottom = w.Allowed.Up(int(pitch.ClassOf(semitones))), w.Bottom.Up(semitones)
		if w.Role == Melody {
			w.Tune = move(w.Tune)
		}
		for t := range w.Tones {
			w.Tones[t].Key += pitch.Num(semitones)
			w.Tones[t].Accept = w.Tones[t].Accept.Up(int(pitch.ClassOf(semitones)))
		}
	})
	return &c, ok
}

// Lifted is the score with each hand some octaves higher, by hand; lower where they are
// negative. ok is false where a note would leave the piano.
func (s *Score) Lifted(octaves [2]int) (lifted *Score, ok bool) {
	c := *s
	ok = c.eachWant(func(w *Want) {
		by := pitch.Num(12 * octaves[w.Hand])
		for t := range w.Tones {
			w.Tones[t].Key += by
		}
		w.Tune.Octave += octaves[w.Hand]
	})
	if octaves[pattern.Right] != 0 {
		c.Melody = slices.Clone(s.Melody)
		for i := range c.Melody {
			c.Melody[i].Pitch.Octave += octaves[pattern.Right]
		}
	}
	return &c, ok
}

// eachWant changes copies of the strokes, and reports that all are still on the piano.
func (s *Score) eachWant(change func(w *Want)) bool {
	n := 0
	for i := range s.Wants {
		n += len(s.Wants[i].Tones)
	}
	s.Wants = slices.Clone(s.Wants)
	tones, ok := make([]Tone, 0, n), true
	for i := range s.Wants {
		w := &s.Wants[i]
		from := len(tones)
		tones = append(tones, w.Tones...)
		w.Tones = tones[from:len(tones):len(tones)]
		change(w)
		for _, t := range w.Tones {
			ok = ok && t.Key >= pitch.PianoLow && t.Key <= pitch.PianoHigh
		}
	}
	return ok
}
