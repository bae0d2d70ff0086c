package musicxml

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/chord"
	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
)

// author writes charts by chance.
type author struct {
	*rand.Rand
	m     meter.Meter
	bars  int
	words bool
	tune  bool
}

func pick[T any](a *author, all ...T) T { return all[a.IntN(len(all))] }

// chart is the text of a chart with whatever charts may have.
func (a *author) chart() string {
	a.m, a.bars = pick(a, meter.Known()...), 0
	a.words, a.tune = a.IntN(3) > 0, a.IntN(4) > 0
	var w strings.Builder
	fmt.Fprintf(&w, "title: No. %d <&> \"Frère\"\nkey: %s\nmeter: %s\n", a.IntN(99), pick(a, "C", "F#m", "Cb", "G", "Ebm", "A#m"), a.m)
	if a.IntN(4) > 0 {
		fmt.Fprintf(&w, "tempo: %g\n", float64(60+a.IntN(900))/7.5)
	}
	upbeat := a.IntN(2) == 0
	if upbeat {
		w.WriteString("upbeat: 1 " + pick(a, "eighth", "quarter", "sixteenth") + "\n")
	}
	w.WriteString(pick(a, "", "unit: 1/4\n", "unit: 1/16\n") + pick(a, "", "pattern: two-beat\n") + pick(a, "", "intro: intro-round\nending: x.pattern\n"))
	w.WriteString(pick(a, "", "turnaround: y\nfills: fill at 1; fill-walk at 2, 3\n"))
	for i := range 1 + a.IntN(3) {
		if i > 0 || a.IntN(2) == 0 {
			fmt.Fprintf(&w, "\n[%s %d]\n%s", pick(a, "Verse", "A & B", "Chorus"), i, pick(a, "", "pattern: waltz\n"))
		}
		a.section(&w, upbeat && i == 0)
	}
	return w.String()
}

// section writes a part in one of the forms that repeats have.
func (a *author) section(w *strings.Builder, upbeat bool) {
	form := pick(a, "| a | b | c | d |", "|: a | b :|", "|: a :| x3\n| b || c |]", "|: a | b |1. c :|2. d |", "|: a |1. b | c :|2. d :|3. e ||\n| f | g |", "| a |: b :|: c :| d | % |\n| % | e |]")
	for i, line := range strings.Split(form, "\n") {
		var words []string
		text := ""
		for _, f := range strings.Fields(line) {
			if len(f) == 1 && f >= "a" && f <= "g" {
				a.bars++
				f = a.chords()
			}
			if f == "%" || !strings.ContainsAny(f, "|:") && !strings.HasPrefix(f, "x") {
				words = append(words, a.line())
			}
			text += f + " "
		}
		if upbeat && i == 0 {
			text = pick(a, "(N.C.) ", "(G7) ", "") + text
		}
		w.WriteString(text + "\n")
		for range a.IntN(3) {
			if a.words && strings.Join(words, "") != "" { // no song has a verse without words
				w.WriteString("w: | " + strings.Join(words, " | ") + " |\n")
			}
		}
	}
}

// chords fill a bar: one, one a beat, or on its first half.
func (a *author) chords() string {
	one := func() string {
		ty := pick(a, chord.Types()...)
		c := chord.New(pitch.NoteAtFifths(a.IntN(12)-5), ty)
		if a.IntN(4) == 0 {
			c = c.Over(pitch.NoteAtFifths(a.IntN(12) - 5))
		}
		return pick(a, c.String(), c.String(), c.String(), "N.C.")
	}
	all := []string{one()}
	if a.IntN(3) > 0 {
		for range a.m.Beats() - 1 {
			all = append(all, pick(a, ".", ".", one()))
		}
	}
	return strings.Join(all, " ")
}

func (a *author) line() string {
	var all []string
	for range a.IntN(5) {
		all = append(all, pick(a, "lantern", "weir,", "in", "a", "to-night", "--", "valley", "exca-", "Ö", "<b>"))
	}
	return strings.Join(all, " ")
}

// tunes gives each bar notes: of a sixteenth's multiples, triplets and quintuplets,
// some tied.
func (a *author) tunes(c *chart.Chart) {
	for _, b := range c.Bars() {
		b.Melody = nil
		if a.IntN(6) == 0 {
			continue
		}
		for at := meter.Ticks(0); at < b.Len; {
			p := pitch.Pitch{Note: pick(a, pitch.NoteAtFifths(a.IntN(16)-6), pitch.Note{}), Octave: 3 + a.IntN(3)}
			n := melody.Note{At: at, Dur: min(meter.Sixteenth*meter.Ticks(1+a.IntN(9)), b.Len-at), Pitch: p, Ends: a.IntN(9) == 0}
			parts := meter.Ticks(1)
			if at%meter.Quarter == 0 && b.Len-at >= meter.Quarter {
				parts = pick(a, meter.Ticks(1), 1, 1, 3, 5)
			}
			if parts > 1 {
				n.Dur = meter.Quarter / parts
			}
			for range parts {
				if last := len(b.Melody) - 1; last >= 0 && a.IntN(5) == 0 && b.Melody[last].At+b.Melody[last].Dur == n.At {
					b.Melody[last].Tied, n.Pitch = true, b.Melody[last].Pitch
				}
				if a.IntN(5) > 0 {
					b.Melody = append(b.Melody, n)
				}
				n.At += n.Dur
			}
			at = n.At
		}
	}
}

// byChance is the charts of so many seeds, those left out that are none.
func byChance(seeds uint64) (all []*chart.Chart) {
	for seed := range seeds {
		a := &author{Rand: rand.New(rand.NewPCG(seed, 1))}
		c, err := chart.Parse([]byte(a.chart()), "a.chart")
		if err != nil {
			continue
		}
		if a.tune {
			a.tunes(c)
		}
		if c, err = chart.Parse([]byte(c.Text()), "a.chart"); err == nil {
			all = append(all, c)
		}
	}
	return all
}

func TestChartsByChanceComeBackTheSame(t *testing.T) {
	seeds := uint64(400)
	if testing.Short() {
		seeds = 100
	}
	all := byChance(seeds)
	for _, c := range all {
		assert.Equal(t, c.Text(), again(t, c).Text())
	}
	assert.Greater(t, uint64(len(all)), seeds/3)
}
