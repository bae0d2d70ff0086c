// Package words is everything that is said in English about what is found.
package words

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/chordid"
	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/text/wording"
)

// Wording puts findings into a teacher's words, spelled in the key.
type Wording struct {
	Score    *score.Score
	Ear      *chordid.Recognizer
	Led      bool // there is no click
	Recorded bool // it is a recording: nobody can do anything about it now

	up *Wording // of the score in another key, so many semitones higher; nil for none yet
	by int
}

// Bar is the printed number of the finding's bar.
func (v *Wording) Bar(f *finding.Finding) int { return v.Score.Bars[f.Bar].Number }

// Place is "bar 6, beat 1", or "bar 6, second time, beat 1" in a repeat.
func (v *Wording) Place(f *finding.Finding) string {
	bar := score.BarName(v.Bar(f))
	if pass := v.Score.Bars[f.Bar].Pass; pass > 1 {
		bar += ", " + ordinal(pass) + " time"
	}
	return bar + ", beat " + BeatName(f.Beat, v.Score.Meter)
}

// BeatName says a place in the bar as musicians count it: 2, "2 and", and other
// places as a number.
func BeatName(beat float64, m meter.Meter) string {
	whole := math.Floor(beat)
	part := beat - whole
	if part < 0.01 {
		return fmt.Sprintf("%.0f", whole)
	}
	if part > 0.45 && part < 0.55 && !m.Compound() {
		return fmt.Sprintf("%.0f and", whole)
	}
	return fmt.Sprintf("%.4g", math.Round(beat*100)/100)
}

func (v *Wording) want(f *finding.Finding) *score.Want {
	if f.Want < 0 {
		return nil
	}
	return &v.Score.Wants[f.Want]
}

// harmony is the chord that the finding's place stands in.
func (v *Wording) harmony(f *finding.Finding) chord.Chord {
	if w := v.want(f); w != nil {
		return w.Chord
	}
	bar := v.Score.Bars[f.Bar]
	at := bar.At + meter.Ticks((f.Beat-1)*float64(v.Score.Meter.Beat()))
	return v.Score.Harmonies[v.Score.HarmonyAt(at)].Chord
}

// note spells a key as the finding's chord has it.
func (v *Wording) note(f *finding.Finding, k pitch.Num) string {
	if w := v.want(f); w != nil {
		return v.spell(w, k.Class())
	}
	return v.harmony(f).Spell(k.Class(), v.Score.Key).String()
}

// spell names a class as a stroke has it: the tune as it is written, all else
// by the chord.
func (v *Wording) spell(w *score.Want, c pitch.Class) string {
	if w.Role == score.Melody && c == w.Tune.Class() {
		return w.Tune.Note.String()
	}
	return w.Chord.Spell(c, v.Score.Key).String()
}

func (v *Wording) notes(f *finding.Finding, keys *finding.Keys) string {
	var all []string
	for i := 0; i < keys.Len(); i++ {
		all = append(all, v.note(f, keys.At(i)))
	}
	return strings.Join(all, " ")
}

// noteNames is the notes of keys, each once.
func (v *Wording) noteNames(f *finding.Finding, keys *finding.Keys) string {
	var all []string
	for i := 0; i < keys.Len(); i++ {
		if n := v.note(f, keys.At(i)); !slices.Contains(all, n) {
			all = append(all, n)
		}
	}
	return strings.Join(all, " ")
}

// Wanted says what should have come: a chord, a bass, notes or a time.
func (v *Wording) Wanted(f *finding.Finding) string {
	w := v.want(f)
	switch f.Kind {
	case finding.Lost:
		return "a place in the chart"
	case finding.LostBeat, finding.WentBack, finding.Stopped:
		return "music that goes on"
	case finding.Blurred:
		return "only " + v.harmony(f).String()
	case finding.Balance:
		if f.Accent {
			return "beat " + BeatName(f.Beat, v.Score.Meter) + " louder"
		}
		if f.Sung {
			return "the tune over its chords"
		}
		return "chords under the bass"
	case finding.Extra:
		if w == nil {
			return "nothing here"
		}
	case finding.Early, finding.Late:
		return "beat " + BeatName(f.Beat, v.Score.Meter)
	case finding.WrongInversion:
		if w.Inversion == pattern.NearestInversion {
			return "the nearest " + w.Chord.String()
		}
		if w.Role == score.Melody {
			return "the tune's " + w.Tune.Note.String() + " on top"
		}
	}
	if f.Part == finding.BothHands {
		return v.harmony(f).String()
	}
	return v.WantName(w)
}

// WantName names a wanted stroke: "bass G", "F/C", "Am", "E".
func (v *Wording) WantName(w *score.Want) string {
	switch {
	case w.Whole && w.Inversion >= 0:
		return overBass(w.Chord, w.Bottom, v.Score.Key)
	case w.Whole:
		return w.Chord.String()
	case w.Role == score.Melody:
		return "the tune's " + v.tuneName(w)
	}
	var names []string
	for _, t := range w.Tones {
		names = append(names, v.toneName(w, &t))
	}
	s := strings.Join(names, " ")
	if w.Role == score.Bass {
		return "bass " + s
	}
	return s
}

// tuneName names a note of the tune and what lies under it: "E", "E over G C".
func (v *Wording) tuneName(w *score.Want) string {
	top := len(w.Tones) - 1
	name := v.toneName(w, &w.Tones[top])
	for i := range w.Tones[:top] {
		if i == 0 {
			name += " over"
		}
		name += " " + v.toneName(w, &w.Tones[i])
	}
	return name
}

// toneName names a wanted tone, with what else would do.
func (v *Wording) toneName(w *score.Want, t *score.Tone) string {
	if w.Approach {
		return w.Chord.Spell(t.Key.Class(), v.Score.Key).String() + ", a step from the next bass"
	}
	var names []string
	for k := t.Key; k < t.Key+12; k++ {
		if t.Accept.Has(k.Class()) {
			names = append(names, v.spell(w, k.Class()))
		}
	}
	return strings.Join(names, " or ")
}

// overBass names a chord with a class lowest, as a slash chord.
func overBass(c chord.Chord, bottom pitch.Class, k pitch.Key) string {
	root := chord.New(c.Root, c.Type)
	return root.Over(root.Spell(bottom, k)).String()
}

// Heard says what was played: a chord's name, a bass, notes or an amount.
func (v *Wording) Heard(f *finding.Finding) string {
	switch f.Kind {
	case finding.Lost:
		return "other music"
	case finding.LostBeat:
		return beatsTooMany(f.Flow.Beats)
	case finding.WentBack:
		return "back to " + score.BarName(v.Score.Bars[f.Flow.To].Number)
	case finding.Stopped:
		return fmt.Sprintf("silence for %.1f s", f.Offset.Seconds())
	case finding.Early:
		return fmt.Sprintf("%d ms early", millis(-f.Offset))
	case finding.Late:
		return fmt.Sprintf("%d ms late", millis(f.Offset))
	case finding.Spread:
		return v.notes(f, &f.Heard) + " one after another"
	case finding.Short:
		return fmt.Sprintf("%.0f%% of its length", 100*f.Share)
	case finding.Balance:
		if f.Accent {
			return "accent too soft"
		}
		if f.Sung {
			return "chords louder than the tune"
		}
		return "chords too loud"
	case finding.Missing:
		if f.Heard.Len() == 0 {
			return "nothing"
		}
	case finding.Blurred:
		return v.noteNames(f, &f.Heard)
	case finding.Extra:
		return v.notes(f, &f.Heard)
	}
	w := v.want(f)
	if w != nil && w.Role == score.Melody && f.Kind == finding.WrongInversion {
		return v.note(f, f.Heard.At(f.Heard.Len()-1)) + " on top"
	}
	if w != nil && w.Role == score.Bass && f.Part != finding.BothHands {
		return "bass " + v.notes(f, &f.Heard) + tooFar(f)
	}
	return v.KeysName(f, &f.Heard) + tooFar(f)
}

// KeysName names keys as a chord where they make one, else note by note.
func (v *Wording) KeysName(f *finding.Finding, keys *finding.Keys) string {
	if keys.Len() == 0 {
		return ""
	}
	var set chord.Set
	for i := 0; i < keys.Len(); i++ {
		set = set.With(keys.At(i).Class())
	}
	r := v.Ear.Best(set, keys.At(0).Class())
	if !r.Named() || r.Added != 0 || keys.Len() < 3 {
		return v.notes(f, keys)
	}
	c := r.Chord(v.Score.Key)
	if w := v.want(f); w != nil && c.Root.Class() == w.Chord.Root.Class() {
		c.Root = w.Chord.Root
	}
	return c.String()
}

// beatsTooMany is "a beat too many", "2 beats too few".
func beatsTooMany(n int) string {
	if n < 0 {
		return wording.Count(-n, "beat") + " too few"
	}
	return wording.Count(n, "beat") + " too many"
}

func millis(d time.Duration) int { return int(d.Round(time.Millisecond) / time.Millisecond) }

// Line is a finding in one sentence.
func (v *Wording) Line(f *finding.Finding) string {
	s := v.Place(f) + ": "
	switch f.Kind {
	case finding.Right:
		return s + v.Wanted(f) + ", right"
	case finding.Lost:
		return "lost after " + score.BarName(v.Bar(f)) + " - " + v.Fix(f)
	case finding.LostBeat, finding.WentBack, finding.Stopped:
		return s + v.Heard(f) + " - " + v.Fix(f)
	case finding.Early, finding.Late:
		return s + v.KeysName(f, &f.Heard) + " " + v.Heard(f) + " - " + v.Fix(f)
	case finding.Missing:
		return s + v.missing(f) + " - " + v.Fix(f)
	case finding.WrongBass, finding.WrongNote:
		if f.OctavesOff() != 0 {
			return s + v.Heard(f) + " - " + v.Fix(f)
		}
		if f.Kind == finding.WrongBass {
			return s + v.Heard(f) + ", " + v.thisIs(f) + " - " + v.Fix(f)
		}
	case finding.Extra:
		what, not := v.noteNames(f, v.surplus(f)), " does not belong here - "
		if strings.Contains(what, " ") {
			not = " do not belong here - "
		}
		return s + what + not + v.Fix(f)
	case finding.Short:
		return s + "let go at " + v.Heard(f) + " - " + v.Fix(f)
	case finding.Blurred:
		return s + v.Heard(f) + " still in the pedal - " + v.Fix(f)
	case finding.Balance, finding.Spread:
		return s + v.Heard(f) + " - " + v.Fix(f)
	}
	return s + v.Heard(f) + ", wanted " + v.Wanted(f) + " - " + v.Fix(f)
}

// strokeNames are the strokes that may not come, by their roles.
var strokeNames = map[score.Role]string{score.Bass: "bass", score.Block: "chord", score.Figure: "note", score.Melody: "note of the tune"}

// missing says what did not come: a stroke, or some of its notes.
func (v *Wording) missing(f *finding.Finding) string {
	w := v.want(f)
	_, _, to := f.Heard.Split(&f.Goal)
	if f.Heard.Len() == 0 {
		return "no " + strokeNames[w.Role]
	}
	if to.Len() == 0 {
		return "missing " + v.Wanted(f)
	}
	if w.Role == score.Melody && to.Len() == 1 && w.Tones[len(w.Tones)-1].Accept.Has(to.At(0).Class()) {
		return "missing " + v.WantName(w)
	}
	if lacks := v.lacks(f, &to); lacks != "" {
		return v.harmony(f).String() + " without its " + lacks
	}
	return "missing " + v.notes(f, &to) + " of " + v.harmony(f).String()
}
