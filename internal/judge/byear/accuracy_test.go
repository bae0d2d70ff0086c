package byear

import (
	"flag"
	"fmt"
	"sort"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/test/reduced"
)

var (
	seeds = flag.Int("seeds", 20, "simulated students for each tune")
	seed  = flag.Int("seed", 0, "this one alone, with what went wrong")
)

// score of an ear against the truth.
type marks struct {
	ended, told, rightly   int // phrases to their end: in truth, told, and told rightly
	clean, toldC, rightlyC int // the same for those without a wrong note
	notes, placed          int // right notes, and those after which the place was known
	remarks, helpful       int // directions, and those given where the truth was a wrong try, the right way
}

func (m *marks) add(o marks) {
	m.ended += o.ended
	m.told += o.told
	m.rightly += o.rightly
	m.clean += o.clean
	m.toldC += o.toldC
	m.rightlyC += o.rightlyC
	m.notes += o.notes
	m.placed += o.placed
	m.remarks += o.remarks
	m.helpful += o.helpful
}

func share(n, of int) float64 {
	if of == 0 {
		return 1
	}
	return float64(n) / float64(of)
}

func (m *marks) line(name string) string {
	return fmt.Sprintf("%-28s %6d %9.3f %9.3f %6d %9.3f %9.3f %7.3f %6d %7.3f", name, m.ended, share(m.rightly, m.ended), share(m.rightly, m.told),
		m.clean, share(m.rightlyC, m.clean), share(m.rightlyC, m.toldC), share(m.placed, m.notes), m.remarks, share(m.helpful, m.remarks))
}

// rows are the columns for make sensitivity.
func (m *marks) rows(name string) {
	row := func(column string, n, of int) { reduced.Row(name+": "+column, float64(n), float64(of)) }
	row("phrases told of those to their end", m.rightly, m.ended)
	row("phrases to their end of those told", m.rightly, m.told)
	row("phrases told right of those right", m.rightlyC, m.clean)
	row("phrases right of those told right", m.rightlyC, m.toldC)
	row("place known after right notes", m.placed, m.notes)
	row("directions that help", m.helpful, m.remarks)
}

// soFar is a phrase up to a note: phrases that begin alike cannot be told apart
// before they part.
func (t *Tune) soFar(pos int) string {
	return fmt.Sprint(t.keys[t.starts[t.phrase[pos]] : pos+1])
}

// measure lets an ear hear a searcher.
func measure(tn *Tune, s *searcher, explain func(string, ...any)) marks {
	var m marks
	ear := NewEar(tn, Options{})
	type end struct {
		class int
		clean bool
	}
	ends := map[time.Duration]end{}
	var last truth
	var lastKey int
	note := func(found []finding.Finding) {
		for _, f := range found {
			switch f.Kind {
			case finding.PhraseRight, finding.PhraseFound:
				e, ok := ends[f.Tune.Ended]
				ok = ok && e.class == tn.Alike(f.Tune.Phrase)
				m.told++
				if ok {
					m.rightly++
				}
				if f.Kind == finding.PhraseRight {
					m.toldC++
					if ok && e.clean {
						m.rightlyC++
					}
				}
				if ok && e.clean == (f.Kind == finding.PhraseRight) {
					delete(ends, f.Tune.Ended)
				} else {
					explain("%v told %v phrase %d; truth %+v %v", f.At, f.Kind, f.Tune.Phrase, e, ok)
				}
			case finding.Direction:
				m.remarks++
				pos := tn.starts[f.Tune.Phrase] + f.Tune.Note
				up := tn.keys[pos]+last.shift > lastKey
				if last.pos < 0 && up == f.Tune.Way.Up {
					m.helpful++
				} else {
					explain("%v said %+v; truth %+v", f.At, f, last)
				}
			}
		}
	}
	n := 0
	for _, ev := range s.events {
		if !ev.IsNoteOn() {
			note(ear.Feed(ev))
			continue
		}
		t := s.truth[n]
		n++
		if t.ended {
			m.ended++
			if t.clean {
				m.clean++
			}
			ends[ev.At] = end{tn.Alike(tn.phrase[t.pos]), t.clean}
		}
		found := ear.Feed(ev)
		last, lastKey = t, int(ev.Data1)
		note(found)
		if t.pos >= 0 && t.firm {
			m.notes++
			best := ear.heard.best()
			if tn.soFar(best.pos) == tn.soFar(t.pos) && (best.shift-t.shift)%12 == 0 {
				m.placed++
			}
		}
		explain("%v key %d truth %+v best %+v", ev.At, ev.Data1, t, *ear.heard.best())
	}
	note(ear.Finish(s.now + time.Minute))
	for at, e := range ends {
		explain("%v missed %+v", at, e)
	}
	return m
}

// A student who looks for each tune by ear. What is told is held against what
// was played.
func TestAccuracy(t *testing.T) {
	count := *seeds
	if testing.Short() {
		t.Skip("the accuracy table takes long; it runs without -short")
	}
	all := tunes(t)
	var names []string
	for name := range all {
		names = append(names, name)
	}
	sort.Strings(names)
	var sum marks
	lines := []string{fmt.Sprintf("%-28s %6s %9s %9s %6s %9s %9s %7s %6s %7s", "", "ended", "recall", "precision", "clean", "recall", "precision", "place", "words", "helpful")}
	for _, name := range names {
		var m marks
		for i := 1; i <= count; i++ {
			if *seed > 0 && i != *seed || i%reduced.By() > 0 {
				continue
			}
			s := newSearcher(all[name], searching, uint64(i))
			s.wholeTune()
			explain := func(string, ...any) {}
			if *seed > 0 {
				explain = func(f string, args ...any) { t.Logf(name+": "+f, args...) }
			}
			m.add(measure(all[name], s, explain))
		}
		lines = append(lines, m.line(name))
		m.rows(name)
		sum.add(m)
	}
	lines = append(lines, sum.line("all"))
	t.Log("\n" + strings.Join(lines, "\n"))
	assert.GreaterOrEqual(t, share(sum.rightly, sum.ended), 0.97, "phrases to their end that are told")
	assert.GreaterOrEqual(t, share(sum.rightly, sum.told), 0.97, "phrases told that were played to their end")
	assert.GreaterOrEqual(t, share(sum.rightlyC, sum.clean), 0.98, "phrases right that are told")
	assert.GreaterOrEqual(t, share(sum.rightlyC, sum.toldC), 0.98, "phrases told right that were")
	assert.GreaterOrEqual(t, share(sum.placed, sum.notes), 0.93, "right notes after which the place is known")
	assert.GreaterOrEqual(t, share(sum.helpful, sum.remarks), 0.95, "directions that lead to the note")
}

// A faultless player, from any key in any tempo, hears no word of a wrong note.
func TestFaultless(t *testing.T) {
	for name, tn := range tunes(t) {
		low, high := 127, 0
		for _, k := range tn.keys {
			low, high = min(low, k), max(high, k)
		}
		step, told, phrases, others := reduced.By(), 0, 0, 0
		if testing.Short() {
			step = 41
		}
		for shift := 21 - low; shift <= 108-high; shift += step {
			s := newSearcher(tn, habits{}, uint64(shift+200))
			s.shift = shift
			s.wholeTune()
			ear := NewEar(tn, Options{})
			right, whole := 0, 0
			for _, ev := range s.events {
				ev.At *= time.Duration(1 + (shift+50)%7) // pauses of seconds too
				for _, f := range ear.Feed(ev) {
					switch f.Kind {
					case finding.PhraseRight:
						right++
					case finding.TuneRight:
						whole++
					case finding.TuneFound: // in a pause before phrases come again
					default:
						others++
						t.Errorf("%s, %d keys up: %v", name, shift, f)
					}
				}
			}
			told, phrases = told+right, phrases+tn.Phrases()
			assert.Equal(t, tn.Phrases(), right, "%s, %d keys up", name, shift)
			assert.Equal(t, 1, whole, "%s, %d keys up", name, shift)
		}
		reduced.Row(name+": faultless phrases told right", float64(told), float64(phrases+others))
	}
}
