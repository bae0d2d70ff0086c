package engrave

import (
	"fmt"
	"slices"
	"strings"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/mxml"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// words is a text above a staff; attributes are names and values in turn.
func words(text string, attrs ...string) mxml.Element {
	w := mxml.Leaf("words", text)
	w.Attr = attrs
	return mxml.Group("direction", mxml.Group("direction-type", w)).With("placement", "above")
}

// directions are what stands over the beginning of a bar: section, tempo, feel and
// a ritardando.
func (d *document) directions(bar int) (all []mxml.Element) {
	s := d.s
	if name := sectionName(s, bar); name != "" {
		all = append(all, words(name, "font-weight", "bold", "font-style", "normal", "font-size", "13"))
	}
	if bar == 0 {
		all = append(all, tempo(s))
	}
	if feel := feelAt(s, bar); feel != "" {
		all = append(all, words(feel, "font-style", "italic"))
	}
	if slowsIn(s, bar) {
		all = append(all, words("rit.", "font-style", "italic"))
	}
	return all
}

// slowsIn reports the bar in which a ritardando begins, or the first where it began
// before.
func slowsIn(s *score.Score, bar int) bool {
	from, b := s.Slowing.From, &s.Bars[bar]
	return s.Slows() && (bar == 0 && from < b.At || from >= b.At && from < b.At+b.Len)
}

// lineBegins reports a bar, but for the first, with which a line of the chart
// begins: where a new system is welcome. An upbeat goes with the bar after it.
func lineBegins(s *score.Score, bar int) bool {
	if bar == 0 {
		return false
	}
	of := lineOf(s.Chart)
	a, b := &s.Bars[bar-1], &s.Bars[bar]
	return a.Number != 0 && (of[a.Printed] != of[b.Printed] || b.Printed <= a.Printed)
}

// sectionName names a section where it begins, and how often it has come where it
// comes again.
func sectionName(s *score.Score, bar int) string {
	b := &s.Bars[bar]
	again := bar > 0 && s.Bars[bar-1].Section == b.Section
	switch {
	case b.Section == "":
		return ""
	case again && s.Bars[bar-1].Number == 0 && bar == 1 && s.Bars[0].Pass == b.Pass:
		return "" // told over the upbeat
	case again && b.Pass <= s.Bars[bar-1].Pass:
		return ""
	case again:
		return fmt.Sprintf("%s (%d)", b.Section, b.Pass)
	}
	return b.Section
}

// tempo is a metronome mark where somebody chose the tempo, else for machines
// alone.
func tempo(s *score.Score) mxml.Element {
	mark := mxml.Tempo(s.Tempo, s.Meter)
	if s.Untimed {
		return mark.Kids[len(mark.Kids)-1] // the <sound> in it
	}
	return mark
}

// feelAt says how even notes are played from a bar on, where that changes.
func feelAt(s *score.Score, bar int) string {
	now, before := swingOf(s, bar), pattern.Swing{}
	if bar > 0 {
		before = swingOf(s, bar-1)
	}
	switch {
	case now == before || now.Straight() && before.Straight():
		return ""
	case now.Straight():
		return "straight"
	}
	unit := "eighths"
	if s.Bars[bar].Pattern.Grid == pattern.Sixteenths {
		unit = "sixteenths"
	}
	return fmt.Sprintf("Swing: %s long and short, %d:%d", unit, now.Long, now.Short)
}

func swingOf(s *score.Score, bar int) pattern.Swing {
	if p := s.Bars[bar].Pattern; p != nil {
		return p.Swing
	}
	return pattern.Swing{}
}

// harmonies are the chord names of a stretch of a bar.
func (d *document) harmonies(b *score.Bar, from, to meter.Ticks) (all []mxml.Element) {
	for i, h := range d.s.Harmonies {
		in := max(h.At, b.At) - b.At
		begun := h.At < b.At && (i > 0 || b.At > 0)
		if begun || in < from || in >= to || h.End <= b.At {
			continue
		}
		all = append(all, d.harmony(h.Chord, in-from))
	}
	return all
}

// harmony is a chord name. For a page it is its text alone: verovio would print the
// degrees, too, flats as letters, and the root that stands in for none.
func (d *document) harmony(c chord.Chord, after meter.Ticks) mxml.Element {
	e := mxml.Harmony(c, after)
	if !d.o.Names {
		return e
	}
	if c.IsNone() {
		e.Kids[0] = mxml.Group("root", mxml.Leaf("root-step", c.String()))
		e.Kids[1] = mxml.Leaf("kind", "none").With("text", "")
		return e
	}
	e.Kids = slices.DeleteFunc(e.Kids, func(k mxml.Element) bool { return k.Name == "degree" })
	for i, k := range e.Kids {
		if k.Name == "kind" {
			e.Kids[i] = mxml.Leaf("kind", k.Text).With("text", strings.NewReplacer("#", "♯", "b", "♭").Replace(c.Type.Suffix()))
		}
	}
	return e
}
