// Package compass tells how high and how low a tune lies, where most of its time
// lies (its tessitura), and in which keys it suits a voice.
package compass

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
)

// Range is what a voice sings with ease, from its lowest to its highest note.
type Range struct{ Low, High pitch.Pitch }

// String writes A3-D5.
func (r Range) String() string { return r.Low.String() + "-" + r.High.String() }

// least is the narrowest range that is taken for one: a fifth.
const least = 7

// ParseRange reads "A3-D5" and the like, also with "to" or a dash between.
func ParseRange(s string) (Range, error) {
	text := strings.NewReplacer("\u2013", "-", "\u2212", "-", " to ", "-", "..", "-").Replace(strings.TrimSpace(s))
	low, high, ok := strings.Cut(text, "-")
	if !ok {
		return Range{}, fmt.Errorf("range %q has no lowest and highest note; write it as in A3-D5", s)
	}
	var r Range
	var errLow, errHigh error
	r.Low, errLow = parseNote(low)
	r.High, errHigh = parseNote(high)
	if err := errors.Join(errLow, errHigh); err != nil {
		return Range{}, fmt.Errorf("range %q: a note is a letter with its octave, C4 is middle C; write it as in A3-D5", s)
	}
	if r.High.Num() < r.Low.Num() {
		r.Low, r.High = r.High, r.Low
	}
	if r.High.Num()-r.Low.Num() < least {
		return Range{}, fmt.Errorf("range %q is narrower than a fifth: no tune fits; give the lowest and the highest note that is sung with ease", s)
	}
	return r, nil
}

// parseNote reads a note with its octave, in capital or small letters.
func parseNote(s string) (pitch.Pitch, error) {
	s = strings.TrimSpace(s)
	if s != "" {
		s = strings.ToUpper(s[:1]) + s[1:]
	}
	return pitch.ParsePitch(s)
}

// Lie is where a tune, or a part of it, lies.
type Lie struct {
	Section   string // "" for the whole tune
	Low, High pitch.Pitch
	From, To  pitch.Pitch // the tessitura: without the tenth of the time above and that below
}

// beyond is the share of the time, in percent, that lies above the tessitura, and
// that below. The time that a voice spends on each note is what tells how a song
// lies for it (Titze, "Quantifying tessitura in a song", Journal of Singing 65/1,
// 2008); the share is of our choice.
const beyond = 10

// Of is where the tune of a chart lies as it is played: as a whole, and in each of
// its sections where it has several. Ok is false for a chart without a tune.
func Of(c *chart.Chart) (whole Lie, sections []Lie, ok bool) {
	var all times
	each := map[string]*times{}
	var names []string
	for _, p := range c.Unfold() {
		t := each[p.Section]
		if t == nil {
			t = &times{}
			each[p.Section], names = t, append(names, p.Section)
		}
		for _, n := range p.Bar.Melody {
			all.add(n.Pitch, n.Dur)
			t.add(n.Pitch, n.Dur)
		}
	}
	if len(all) == 0 {
		return Lie{}, nil, false
	}
	for _, name := range names {
		if t := each[name]; len(names) > 1 && len(*t) > 0 {
			l := t.lie()
			l.Section = name
			sections = append(sections, l)
		}
	}
	return all.lie(), sections, true
}

// times is how long each note of a tune sounds.
type times []span

type span struct {
	pitch pitch.Pitch
	dur   meter.Ticks
}

func (t *times) add(p pitch.Pitch, dur meter.Ticks) { *t = append(*t, span{p, dur}) }

func (t times) lie() Lie {
	slices.SortStableFunc(t, func(a, b span) int { return int(a.pitch.Num() - b.pitch.Num()) })
	var total meter.Ticks
	for _, s := range t {
		total += s.dur
	}
	l := Lie{Low: t[0].pitch, High: t[len(t)-1].pitch, From: t[0].pitch, To: t[len(t)-1].pitch}
	var below meter.Ticks
	for _, s := range t {
		if 100*below <= beyond*total {
			l.From = s.pitch
		}
		if 100*below < (100-beyond)*total {
			l.To = s.pitch
		}
		below += s.dur
	}
	return l
}
