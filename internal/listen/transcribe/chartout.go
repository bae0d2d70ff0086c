package transcribe

import (
	"sort"
	"time"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
)

// barsALine is how many bars a written chart has in a line.
const barsALine = 4

// Chart writes segments down on a grid as a chart: one chord a beat at most, in
// the key that most of the music stands in. Bars with another number of beats
// than most are stretched to it; beats before the first bar are an upbeat. It is
// nil where there is no whole bar.
func Chart(title string, segments []Segment, g Grid) *chart.Chart {
	if len(segments) == 0 || len(g.BarStarts) < 2 {
		return nil
	}
	m := meterOf(g)
	c := &chart.Chart{Title: title, Key: commonKey(segments), Meter: m, Tempo: tempoOf(g)}
	w := chartWriter{segments: segments, grid: g, meter: m}
	var bars []chart.Bar
	if up := min(g.BarStarts[0], m.Beats()-1); up > 0 && w.sounds(g.BarStarts[0]-up, g.BarStarts[0]) {
		bars = append(bars, w.bar(0, g.BarStarts[0]-up, g.BarStarts[0], up))
		c.Upbeat = bars[0].Len
	}
	for i := 0; i+1 < len(g.BarStarts); i++ {
		bars = append(bars, w.bar(i+1, g.BarStarts[i], g.BarStarts[i+1], m.Beats()))
	}
	if last := g.BarStarts[len(g.BarStarts)-1]; w.sounds(last, len(g.Beats)) {
		bars = append(bars, w.bar(len(g.BarStarts), last, len(g.Beats), m.Beats()))
	}
	c.Sections = []chart.Section{{Lines: lines(bars)}}
	return c
}

func lines(bars []chart.Bar) []chart.Line {
	var all []chart.Line
	for len(bars) > 0 {
		n := barsALine
		if bars[0].Number == 0 {
			n++
		}
		n = min(n, len(bars))
		all = append(all, chart.Line{Bars: bars[:n:n]})
		bars = bars[n:]
	}
	last := &all[len(all)-1].Bars
	(*last)[len(*last)-1].Barline = chart.Final
	return all
}

// meterOf is the meter that most bars of the grid have.
func meterOf(g Grid) meter.Meter {
	counts := map[int]int{}
	best := 0
	for i := 0; i+1 < len(g.BarStarts); i++ {
		n := g.BarStarts[i+1] - g.BarStarts[i]
		counts[n]++
		if counts[n] > counts[best] || counts[n] == counts[best] && n < best {
			best = n
		}
	}
	switch best {
	case 2:
		return meter.Meter{Num: 2, Den: 4}
	case 3:
		return meter.Meter{Num: 3, Den: 4}
	case 5:
		return meter.Meter{Num: 5, Den: 4}
	}
	return meter.Meter{Num: 4, Den: 4}
}

// tempoOf is the tempo of the median beat, within what a chart may say.
func tempoOf(g Grid) meter.Tempo {
	var gaps []time.Duration
	for i := 1; i < len(g.Beats); i++ {
		gaps = append(gaps, g.Beats[i]-g.Beats[i-1])
	}
	sort.Slice(gaps, func(i, j int) bool { return gaps[i] < gaps[j] })
	t := meter.Tempo((float64(time.Minute)/float64(max(1, gaps[len(gaps)/2])))*10+0.5) / 10
	return min(meter.FastestTempo, max(meter.SlowestTempo, meter.Tempo(int(t+0.5))))
}

func commonKey(segments []Segment) pitch.Key {
	weight := map[pitch.Key]time.Duration{}
	best := segments[0].Key
	for _, s := range segments {
		weight[s.Key] += s.End - s.Start
		if weight[s.Key] > weight[best] {
			best = s.Key
		}
	}
	return best
}

type chartWriter struct {
	segments []Segment
	grid     Grid
	meter    meter.Meter
}

// sounds reports a chord anywhere in a run of beats.
func (w *chartWriter) sounds(from, to int) bool {
	for b := from; b < to; b++ {
		if !w.segments[w.at(b)].Chord.IsNone() {
			return true
		}
	}
	return false
}

// bar writes the beats from to before as a bar of so many beats.
func (w *chartWriter) bar(number, from, before, beats int) chart.Bar {
	b := chart.Bar{Number: number, Len: meter.Ticks(beats) * w.meter.Beat()}
	played := max(1, before-from)
	for i := range beats {
		at := meter.Ticks(i) * w.meter.Beat()
		c := w.segments[w.at(from+i*played/beats)].Chord
		if n := len(b.Chords); n > 0 && b.Chords[n-1].Chord == c {
			b.Chords[n-1].Dur += w.meter.Beat()
			continue
		}
		b.Chords = append(b.Chords, chart.Placed{At: at, Dur: w.meter.Beat(), Chord: c})
	}
	return b
}

// at is the segment that sounds for most of a beat.
func (w *chartWriter) at(beat int) int {
	start := w.grid.Beats[min(beat, len(w.grid.Beats)-1)]
	middle := start + 1
	if beat+1 < len(w.grid.Beats) {
		middle = (start + w.grid.Beats[beat+1]) / 2
	}
	i := sort.Search(len(w.segments), func(i int) bool { return w.segments[i].End > middle })
	return min(i, len(w.segments)-1)
}
