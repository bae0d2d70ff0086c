package coach

import (
	"undersong/internal/judge/finding"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// motion is the semitones that fingers travel from one set of keys to another.
func motion(from, to *finding.Keys) int {
	var a, b [finding.MostKeys]pitch.Num
	return chord.Motion(from.Fill(&a), to.Fill(&b))
}

// allTones stands for every tone of a want.
const allTones = ^uint32(0)

// shortest is the least motion from keys to a close voicing of those tones of
// the wanted chord that are in a set of bits.
func shortest(from *finding.Keys, w *score.Want, tones uint32) int {
	to, _ := nearestVoicing(from, w, tones)
	return motion(from, &to)
}

// nearestVoicing is the close voicing of a whole chord that the fingers reach
// with the least motion, among the inversions that the want allows.
func nearestVoicing(from *finding.Keys, w *score.Want, tones uint32) (finding.Keys, bool) {
	var best finding.Keys
	bestMotion := -1
	if from.Len() == 0 {
		return best, false
	}
	low := int(from.At(0))
	for first := low - 12; first <= low+12; first++ {
		v, ok := closeFrom(pitch.Num(first), w, tones)
		if !ok || w.Inversion >= 0 && v.At(0).Class() != w.Bottom {
			continue
		}
		if m := motion(from, &v); bestMotion < 0 || m < bestMotion {
			best, bestMotion = v, m
		}
	}
	return best, bestMotion >= 0
}

// closeFrom stacks the wanted classes upwards from a lowest key, where that key
// is one of them.
func closeFrom(first pitch.Num, w *score.Want, tones uint32) (finding.Keys, bool) {
	var v finding.Keys
	if !first.Valid() || first+12 > pitch.PianoHigh {
		return v, false
	}
	has := false
	for i := range w.Tones {
		if tones>>uint(i)&1 == 0 {
			continue
		}
		above := w.Tones[i].Key.Class().Above(first.Class())
		has = has || above == 0
		v.Insert(first + pitch.Num(above))
	}
	return v, has
}

// goal is where the hand should be for stroke j, as near as can be to what it
// struck. The nearest inversion is counted from the chord before instead.
func (l *line) goal(j int) finding.Keys {
	w, s := l.want(j), l.at(j)
	if w.Whole {
		from := &s.heard
		if before := l.lastWhole(j); before != nil && before.complete && (w.Inversion == pattern.NearestInversion || from.Len() == 0) {
			from = &before.heard
		}
		if v, ok := nearestVoicing(from, w, allTones); ok {
			return v
		}
	}
	var v finding.Keys
	for i := range w.Tones {
		v.Insert(l.toneGoal(w, i, s))
	}
	return v
}

// shown is where a demonstration puts stroke j.
func (l *line) shown(j int) finding.Keys {
	var v finding.Keys
	for _, t := range l.want(j).Tones {
		v.Insert(t.Key)
	}
	return v
}

// toneGoal is the key for one tone: in a figure the octave of the figure, else
// the octave nearest to a lone note that was struck, else where the hand is.
func (l *line) toneGoal(w *score.Want, i int, s *slot) pitch.Num {
	key := w.Tones[i].Key
	switch {
	case !w.Anchor && (w.Role == score.Melody || w.Role == score.Figure && !w.Tones[i].AnyOctave):
		return key + pitch.Num(l.shift)
	case len(w.Tones) == 1 && s.heard.Len() == 1:
		return key.Class().Near(s.heard.At(0))
	}
	return key + pitch.Num(octaves(l.drift))
}

// octaves rounds semitones to whole octaves.
func octaves(semitones int) int {
	return int(pitch.Num(semitones+126)/12)*12 - 120
}

// tuneOnTop reports that the highest note of a stroke is the tune's, and notes
// where it lies: a phrase may be played in another octave, but not change it.
func (l *line) tuneOnTop(w *score.Want, s *slot) bool {
	tune, top := w.Tones[len(w.Tones)-1], s.heard.At(s.heard.Len()-1)
	if !tune.Accept.Has(top.Class()) {
		return false
	}
	off := octaves(int(top - tune.Key))
	if w.Anchor {
		l.shift = off
	}
	s.octave = off != l.shift
	return true
}
