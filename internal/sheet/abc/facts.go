package abc

import (
	"strconv"
	"strings"

	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/song"
)

// ourName begins the instructions with what only charts know. Other readers pass
// over instructions that they do not know (11.0.2).
const ourName = "undersong"

// What stands in them. Bars and notes are counted from 1 in the line of music that
// follows.
const (
	factChart      = "chart"      // the tune was a chart
	factPattern    = "pattern"    // of the chart, or in the body of the part
	factIntro      = "intro"      // and so on: names of patterns
	factFills      = "fills"      // one name and its bars
	factTurnaround = "turnaround" //
	factEnding     = "ending"     //
	factSame       = "same"       // bars that are written as %
	factThin       = "thin"       // bars that end with a single barline where two are written
	factJoined     = "joined"     // notes that belong to the one before, cut for a chord's sake
)

// facts are those of ours about a line of music.
type facts struct {
	line               int // bars of the voice before it
	sung               int // notes before it
	same, thin, joined map[int]bool
}

// part is a section (3.1.9) while it is read.
type part struct{ name, pattern string }

// fact reads an instruction of ours.
func (r *reader) fact(text string) {
	name, value, _ := strings.Cut(text, " ")
	value = plainText(value)
	switch name {
	case factChart:
		r.ours = true
	case factPattern:
		if r.body {
			r.parts[len(r.parts)-1].pattern = value
		} else {
			r.asks.Pattern = value
		}
	case factIntro:
		r.asks.Intro = value
	case factTurnaround:
		r.asks.Turnaround = value
	case factEnding:
		r.asks.Ending = value
	case factFills:
		if i := strings.LastIndex(value, " at "); i >= 0 {
			r.asks.Fills = append(r.asks.Fills, song.Fill{Name: value[:i], Bars: numbers(value[i+len(" at "):])})
		}
	case factSame:
		r.facts.same = set(numbers(value))
	case factThin:
		r.facts.thin = set(numbers(value))
	case factJoined:
		r.facts.joined = set(numbers(value))
	}
}

// numbers reads rising numbers with spaces between; from the first that is none on
// they are left out.
func numbers(text string) []int {
	var all []int
	for _, f := range strings.Fields(text) {
		n, err := strconv.Atoi(f)
		if err != nil || n < 1 || n > song.MostBars || len(all) > 0 && n <= all[len(all)-1] {
			break
		}
		all = append(all, n)
	}
	return all
}

func set(numbers []int) map[int]bool {
	all := map[int]bool{}
	for _, n := range numbers {
		all[n] = true
	}
	return all
}

// applyFacts gives the line of music just read what was said about it.
func (r *reader) applyFacts() {
	f, v := r.facts, r.v
	r.facts = facts{}
	for i := f.line; i < len(v.bars); i++ {
		b := v.bars[i]
		b.simile = f.same[i-f.line+1]
		if f.thin[i-f.line+1] {
			b.barline = chart.Single
		}
	}
	for i := f.sung; i < len(v.sung); i++ {
		v.sung[i].joins = f.joined[i-f.sung+1]
	}
}
