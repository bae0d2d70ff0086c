package transcribe

import (
	"fmt"
	"os"
	"sort"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/pitch"
	"undersong/internal/test/reduced"
)

func TestAccuracy(t *testing.T) {
	skipIfShort(t)
	measure(t, false).assertLeast(t, least)
}

func TestAccuracyOfCarelessPlaying(t *testing.T) {
	skipIfShort(t)
	measure(t, true).assertLeast(t, leastCareless)
}

func skipIfShort(t *testing.T) {
	if testing.Short() {
		t.Skip("a measurement, not a matter of races; it takes long under their detector")
	}
}

// measure logs a table and gives the scores. UNDERSONG_SHOW names a style
// (or all) whose takes are shown chord by chord.
func measure(t *testing.T, hard bool) (all scores) {
	var plain, told scores
	byTiming := map[string]*scores{}
	wrong := map[string]float64{}
	t.Log("style        root   majmin bass   whole   | plain beat by beat            | plain, borders told")
	for s, style := range styles {
		var mine, beat, border scores
		for n := range 24 * *seedsFlag {
			timing := n % timingKinds
			if n%reduced.By() > 0 {
				continue
			}
			tk := record(t, style, uint64(1000*s+n), timing, n%3 == 2, hard)
			got, _ := Chords(tk.perf, Options{})
			score := compare(tk.truth, guesses(got))
			mine.add(score)
			name := timingNames[timing]
			if byTiming[name] == nil {
				byTiming[name] = &scores{}
			}
			byTiming[name].add(score)
			beat.add(compare(tk.truth, plainChords(tk.perf.Notes, tk.beats)))
			border.add(compare(tk.truth, plainChords(tk.perf.Notes, bordersOf(tk.truth))))
			if show := os.Getenv("UNDERSONG_SHOW"); show == style || show == "all" {
				confuse(wrong, tk.truth, guesses(got))
			}
			if show := os.Getenv("UNDERSONG_SHOW"); show == style || show == "all" {
				t.Logf("%s: %v\n%s", tk.about, score, sideBySide(tk, got))
			}
		}
		t.Logf("%-11s  %v  | %v  | %v", style, mine, beat, border)
		mine.rows(fmt.Sprintf("%s, careless %v", style, hard))
		all.add(mine)
		plain.add(beat)
		told.add(border)
	}
	t.Logf("%-11s  %v  | %v  | %v", "all", all, plain, told)
	for _, name := range timingNames {
		t.Logf("timing %-8s %v", name, byTiming[name])
	}
	if os.Getenv("UNDERSONG_SHOW") != "" {
		logWorst(t, wrong)
	}
	return all
}

func bordersOf(truth []labelled) []float64 {
	out := []float64{truth[0].from}
	for _, l := range truth {
		out = append(out, l.to)
	}
	return out
}

// confuse adds up time by what was meant and what was named, root as C.
func confuse(into map[string]float64, truth, guess []labelled) {
	for _, t := range truth {
		for _, g := range guess {
			d := min(t.to, g.to) - max(t.from, g.from)
			if d <= 0 {
				continue
			}
			down := pitch.IntervalUp(t.chord.Root, pitch.Note{})
			a, b := t.chord.Transpose(down).String(), g.chord.Transpose(down).String()
			if t.chord.Type == g.chord.Type && t.chord.Root.Class() == g.chord.Root.Class() && t.chord.Bass.Class() == g.chord.Bass.Class() {
				continue
			}
			into[a+" heard as "+b] += d
		}
	}
}

func logWorst(t *testing.T, wrong map[string]float64) {
	var names []string
	for n := range wrong {
		names = append(names, n)
	}
	sort.Slice(names, func(a, b int) bool { return wrong[names[a]] > wrong[names[b]] })
	for _, n := range names[:min(45, len(names))] {
		t.Logf("%6.1f s  %s", wrong[n], n)
	}
}

func sideBySide(tk take, got []Segment) string {
	var b strings.Builder
	for _, l := range tk.truth {
		fmt.Fprintf(&b, "%7.2f %-8s", l.from, l.chord)
		for _, g := range got {
			d := min(l.to, g.End.Seconds()) - max(l.from, g.Start.Seconds())
			if d > 0.05 {
				fmt.Fprintf(&b, " %s(%.0f%%)", g.Label(), 100*d/(l.to-l.from))
			}
		}
		b.WriteByte('\n')
	}
	return b.String()
}

func TestAnHourIsQuick(t *testing.T) {
	skipIfShort(t)
	perf := hour(t)
	start := time.Now()
	got, _ := Chords(perf, Options{OwnBeats: true})
	assert.Greater(t, len(got), 500)
	t.Logf("an hour of %d notes: %v", len(perf.Notes), time.Since(start))
}

// hour strings takes together to an hour of playing.
func hour(t testing.TB) Performance {
	var p Performance
	for n := 0; p.End < time.Hour; n++ {
		tk := record(t, styles[n%len(styles)], uint64(n), free, n%2 == 0, true)
		for _, note := range tk.perf.Notes {
			note.On += p.End
			note.Off += p.End
			note.Release += p.End
			p.Notes = append(p.Notes, note)
		}
		p.End += tk.perf.End
	}
	return p
}

func BenchmarkChordsOfAnHour(b *testing.B) {
	p := hour(b)
	for b.Loop() {
		Chords(p, Options{OwnBeats: true})
	}
}
