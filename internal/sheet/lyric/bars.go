package lyric

import (
	"math"
	"slices"
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/song"
)

// laid is a phrase laid out in bars.
type laid struct {
	bars []song.Bar
	cuts []int // the column of the words where each bar begins; of the first, where they do
}

// layer lays phrases out in bars.
type layer struct {
	meter  meter.Meter
	per    float64 // bars a chord; 0 to find out
	usual  float64 // syllables that a chord usually stands over
	d      decorated
	paired int // bars that two chords were put into
	single int // chords that were given a bar
}

// measured is the median number of syllables under a chord.
func (l *layer) measured(parts []part) float64 {
	var all []int
	for i := range parts {
		for j := range parts[i].phrases {
			if ph := &parts[i].phrases[j]; ph.text != "" && !ph.exact() {
				all = append(all, l.under(ph, l.placed(ph))...)
			}
		}
	}
	if len(all) == 0 {
		return 4
	}
	slices.Sort(all)
	return float64(all[len(all)/2])
}

// placed are the chords of a phrase with the columns where words are cut for them.
func (l *layer) placed(ph *phrase) []token {
	var all []token
	for _, t := range ph.chords {
		if t.mark == name {
			t.col = cutAt(ph.text, l.d.column(t), ph.sung, ph.inline)
			all = append(all, t)
		}
	}
	return all
}

// under counts the syllables from each chord to the next.
func (l *layer) under(ph *phrase, chords []token) []int {
	counts := make([]int, len(chords))
	for _, at := range syllables(ph.text, ph.sung) {
		for i := len(chords) - 1; i >= 0; i-- {
			if at >= chords[i].col || i == 0 {
				counts[i]++
				break
			}
		}
	}
	return counts
}

// lay lays a phrase out.
func (l *layer) lay(ph *phrase) laid {
	switch {
	case !ph.chorded() && !ph.exact():
		return l.finish(ph, laid{[]song.Bar{{Len: l.meter.Bar()}}, []int{ph.sung}})
	case ph.exact():
		return l.finish(ph, l.cells(ph))
	}
	return l.finish(ph, l.assumed(ph))
}

// assumed gives each chord its bars, or half a bar where two stand over few syllables.
func (l *layer) assumed(ph *phrase) laid {
	chords := l.placed(ph)
	per := l.per
	if per == 0 {
		per = 1
	}
	halves := l.pairs(ph, chords)
	var out laid
	at := 0.0
	for i, c := range chords {
		bar := int(at + 1e-9)
		for len(out.bars) <= bar {
			out.bars = append(out.bars, song.Bar{Len: l.meter.Bar()})
			out.cuts = append(out.cuts, c.col)
		}
		s := symbol(c.text)
		place := int(math.Round((at - float64(bar)) * parts64))
		g := gcd(place, parts64)
		s.At = l.slot(place/g, parts64/g)
		out.bars[bar].Chords = append(out.bars[bar].Chords, s)
		if halves[i] {
			at += 0.5
		} else {
			at += per
		}
	}
	for float64(len(out.bars)) < at-1e-9 {
		out.bars = append(out.bars, song.Bar{Len: l.meter.Bar()})
		out.cuts = append(out.cuts, columns(ph.text))
	}
	return out
}

// parts64 are the parts of a bar by which chords are placed that share it.
const parts64 = 64

// slot is where in a bar the place i of n lies: on a beat where the beats can be
// shared, earlier places getting more of them; on halves or thirds of beats, or evenly,
// where there are more places.
func (l *layer) slot(i, n int) meter.Ticks {
	units := l.meter.Beats()
	for _, split := range []int{1, 2, 4} {
		if l.meter.Compound() && split > 1 {
			split = split * 3 / 2
		}
		if u := units * split; n <= u {
			return meter.Ticks((i*u+n-1)/n) * l.meter.Bar() / meter.Ticks(u)
		}
	}
	return l.meter.Bar() * meter.Ticks(i) / meter.Ticks(n)
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// few is how many syllables at most are few for two chords in one bar.
const few = 4

// pairs marks the chords that get half a bar each: two that stand over few syllables
// where a chord usually stands over clearly more, or over one or two. The last of a line
// is held, unless nothing is sung to it.
func (l *layer) pairs(ph *phrase, chords []token) []bool {
	half := make([]bool, len(chords))
	if l.per != 0 || ph.text == "" {
		return half
	}
	n := l.under(ph, chords)
	for i := 0; i+1 < len(chords); i++ {
		last := i+2 == len(chords)
		sum := float64(n[i] + n[i+1])
		shorter := float64(min(n[i], n[i+1]))
		if sum <= max(few, l.usual) && shorter*2 <= max(2, l.usual) && (!last || n[i+1] == 0) && len(chords) > 2 {
			half[i], half[i+1] = true, true
			l.paired++
			i++
		}
	}
	l.single += len(chords)
	return half
}

// finish puts the words under the bars, and says where they are written.
func (l *layer) finish(ph *phrase, out laid) laid {
	if len(out.bars) == 0 {
		return out
	}
	out.words(ph.text, ph.sung)
	for i := range out.bars {
		out.bars[i].Line = ph.line
	}
	out.bars[len(out.bars)-1].Breaks = true
	return out
}

// words cuts a line of words at the columns where bars begin; what is sung before the
// first stands in the first.
func (out *laid) words(text string, from int) {
	if text == "" {
		return
	}
	for i := range out.bars {
		a, b := from, columns(text)
		if i > 0 {
			a = max(out.cuts[i], from)
		}
		if i+1 < len(out.bars) {
			b = max(out.cuts[i+1], from)
		}
		sung := ""
		if a < b {
			sung = text[offset(text, a):offset(text, b)]
		}
		if rest := text[offset(text, b):]; i+1 < len(out.bars) && joined(sung, rest) {
			sung += "-"
		}
		sung = strings.Join(strings.Fields(strings.ReplaceAll(sung, "|", " ")), " ")
		out.bars[i].Lyrics = []string{sung}
	}
}

// joined reports whether a word goes on from one text to the next.
func joined(a, b string) bool {
	letter := func(s string) bool { return s != "" && s[0] != ' ' && s[0] != '-' }
	return a != "" && a[len(a)-1] != ' ' && a[len(a)-1] != '-' && letter(b)
}
