package capture

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/sheet/pattern"
	"undersong/internal/test/reduced"
)

// The bars: of what can be told, 95 in 100 are equivalent, and the meter is found as
// written in 85. What one chord hides is left out by name and counted over several
// chords instead; what is one stroke, with nothing told, must be refused.
func TestCapturesTheShippedPatterns(t *testing.T) {
	if testing.Short() {
		t.Skip("the accuracy table takes long; it runs without -short, and TestWhatIsWritten with it")
	}
	for _, c := range []struct {
		told          told
		least, meters float64
	}{
		{told{"C", true, true}, 0.95, 0.99},
		{told{"C", true, false}, 0.95, 0.99},
		{told{"C", false, false}, 0.95, 0.84},
		{told{"C F G7 Am", false, false}, 0.95, 0.88},
	} {
		m := measure(t, "shipped", shipped(t), c.told)
		m.can.atLeast(t, c.least, c.told, "equivalent")
		m.meters.atLeast(t, c.meters, c.told, "the meter")
		m.once.atLeast(t, 0.90, c.told, "one pass of one or two bars")
		m.swings.atLeast(t, 0.97, c.told, "swung or straight")
		m.accents.atLeast(t, 0.93, c.told, "accents")
	}
}

// What a teacher plays is in no catalogue.
func TestCapturesInventedPatterns(t *testing.T) {
	for _, w := range []told{{"C", false, false}, {"C", true, false}} {
		m := measure(t, "invented", invented(t), w)
		m.can.atLeast(t, 0.90, w, "equivalent")
	}
}

// measures are taken of one way to capture.
type measures struct {
	judge
	can, cannot, once, meters, swings, accents tally
}

// measure captures all patterns, which are called what they are in the rows.
func measure(t *testing.T, what string, all []*pattern.Pattern, w told) *measures {
	m := &measures{judge: judge{}}
	each(t, all, w, func(r *trial) {
		if len(groupsOf(notesOf(r.events))) == 1 && !w.meter {
			assert.ErrorIs(t, r.err, errFew, r)
			return
		}
		m.add(t, r)
	})
	m.can.print(t, w.String())
	m.once.print(t, "  of one pass of one or two bars")
	m.meters.print(t, "  the meter as written")
	m.swings.print(t, "  swung or straight, of those")
	m.accents.print(t, "  all accents as written, and no others, of those with the same grid")
	for row, y := range map[string]*tally{"equivalent": &m.can, "one pass": &m.once, "meter": &m.meters, "swing": &m.swings, "accents": &m.accents} {
		reduced.Row(what+" "+w.String()+": "+row, float64(y.good), float64(y.all))
	}
	if m.cannot.all > 0 {
		t.Logf("  of what one chord hides: %d of %d", m.cannot.good, m.cannot.all)
	}
	return m
}

func (m *measures) add(t *testing.T, r *trial) {
	fault := m.fault(t, r)
	if r.told.chords == "C" && oneChordHides[r.p.Name] != "" {
		m.cannot.add(r.String(), fault)
		return
	}
	m.can.add(r.String(), fault)
	if r.times == 1 && r.p.Length <= 2 {
		m.once.add(r.String(), fault)
	}
	if r.err != nil {
		m.meters.add(r.String(), "error")
		return
	}
	got := r.got.Pattern
	if got.Meter != meterOf(r.p) {
		m.meters.add(r.String(), "found "+got.Meter.String())
		return
	}
	m.meters.add(r.String(), "")
	m.swings.add(r.String(), differsIn(r.p.Swing.Straight(), got.Swing.Straight(), "swing"))
	if len(got.Rows[0]) == len(r.p.Rows[0]) && len(got.Rows[1]) == len(r.p.Rows[1]) {
		m.accents.add(r.String(), otherAccents(got, r.p))
	}
}

func differsIn(a, b bool, what string) string {
	if a == b {
		return ""
	}
	return what
}

func otherAccents(got, want *pattern.Pattern) string {
	for h := range want.Rows {
		for i := range want.Rows[h] {
			if got.Rows[h][i].Accent != want.Rows[h][i].Accent {
				return fmt.Sprintf("cell %d of the %s hand", i+1, pattern.Hand(h))
			}
		}
	}
	return ""
}
