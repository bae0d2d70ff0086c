package transcribe

import (
	"math"
	"sort"
	"time"

	"undersong/internal/music/meter"
)

// Seconds of a beat in the fastest tempo that there is, and in the slowest.
const (
	shortestBeat = 60 / float64(meter.FastestTempo)
	longestBeat  = 60 / float64(meter.SlowestTempo)
)

// pulse is a beat, in seconds, and how it is cut.
type pulse struct {
	at    float64
	bar   bool // the file has a bar line here
	cells int
}

// origin is where beats come from.
type origin int

const (
	fromPlaying origin = iota // found in the playing
	fromTempo                 // the file's tempo, its place found in the playing
	fromFile                  // the file's own
)

// chooseBeats takes the file's beats where the playing keeps to them, and finds
// its own otherwise. They reach over the whole performance.
func chooseBeats(file []Beat, on []stroke, end time.Duration, own bool) ([]pulse, origin) {
	if !own {
		if b, from := fitted(filePulses(file), on); from != fromPlaying {
			return cover(b, end.Seconds()), from
		}
	}
	return cover(findBeats(on, end.Seconds()), end.Seconds()), fromPlaying
}

func filePulses(file []Beat) []pulse {
	out := make([]pulse, 0, len(file))
	last := -1.0
	for _, b := range file {
		at := b.At.Seconds()
		if at < 0 || at <= last {
			continue
		}
		out = append(out, pulse{at, b.Bar, min(max(b.Cells, 1), 6)})
		last = at
	}
	return out
}

// fitted checks the strokes against the beats, in halves, thirds and quarters.
// Where they keep to them but all lie off by the same part of a beat, as when a
// recording was started after the count, the beats are shifted.
func fitted(beats []pulse, on []stroke) ([]pulse, origin) {
	if len(beats) < 2 || len(on) == 0 {
		return nil, fromPlaying
	}
	mean := (beats[len(beats)-1].at - beats[0].at) / float64(len(beats)-1)
	if mean < shortestBeat/2 || mean > 2*longestBeat {
		return nil, fromPlaying
	}
	best, shift := 0.0, 0.0
	for _, parts := range []float64{2, 3, 4} {
		re, im := meanPhase(beats, on, parts)
		r, s := math.Hypot(re, im), math.Atan2(im, re)/(2*math.Pi*parts)
		// Finer grids fit more by chance, and must fit better.
		if r -= fitFiner * (parts - 2); r > best {
			best, shift = r, s
		}
	}
	if best < fitLeast {
		return nil, fromPlaying
	}
	lead := 1.0
	if math.Abs(shift) < keepShift {
		shift, lead = 0, shiftLead
	}
	shift = beatShift(beats, on, shift, lead)
	if shift == 0 {
		return beats, fromFile
	}
	return shifted(beats, shift), fromTempo
}

// meanPhase is the weighted mean direction of the strokes' places in the beat.
func meanPhase(beats []pulse, on []stroke, parts float64) (re, im float64) {
	sum := 0.0
	i := 0
	for _, s := range on {
		phase, ok := phaseAt(beats, &i, s.at)
		if !ok {
			continue
		}
		re += s.weight * math.Cos(2*math.Pi*parts*phase)
		im += s.weight * math.Sin(2*math.Pi*parts*phase)
		sum += s.weight
	}
	if sum == 0 {
		return 0, 0
	}
	return re / sum, im / sum
}

// phaseAt is how far into its beat (0 to 1) a time lies; i walks on.
func phaseAt(beats []pulse, i *int, at float64) (float64, bool) {
	for *i+1 < len(beats) && beats[*i+1].at <= at {
		*i++
	}
	if *i+1 >= len(beats) || at < beats[*i].at {
		return 0, false
	}
	return (at - beats[*i].at) / (beats[*i+1].at - beats[*i].at), true
}

// beatShift chooses among the shifts that fit alike, a quarter beat apart, the
// one with the heaviest strokes on the beat.
func beatShift(beats []pulse, on []stroke, shift, lead float64) float64 {
	best, bestW := shift, lead*weightOn(beats, on, shift)
	for _, step := range []float64{0.25, -0.25, 0.5} {
		if w := weightOn(beats, on, shift+step); w > bestW {
			best, bestW = shift+step, w
		}
	}
	return best
}

func weightOn(beats []pulse, on []stroke, shift float64) float64 {
	w := 0.0
	i := 0
	for _, s := range on {
		phase, ok := phaseAt(beats, &i, s.at)
		if !ok {
			continue
		}
		d := phase - shift
		if d -= math.Round(d); math.Abs(d) < onBeat {
			w += s.weight
		}
	}
	return w
}

func shifted(beats []pulse, shift float64) []pulse {
	out := make([]pulse, len(beats))
	for i, b := range beats {
		period := 0.0
		if i+1 < len(beats) {
			period = beats[i+1].at - b.at
		} else {
			period = b.at - beats[i-1].at
		}
		out[i] = pulse{b.at + shift*period, b.bar, b.cells}
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].at < out[b].at })
	return out
}

// cover carries the beats on, at the pace of the nearest ones, to before 0 and
// past the end.
func cover(beats []pulse, end float64) []pulse {
	if len(beats) == 0 {
		beats = []pulse{{at: 0, cells: 2}}
	}
	first, last := 0.5, 0.5
	if n := len(beats); n > 1 {
		first, last = beats[1].at-beats[0].at, beats[n-1].at-beats[n-2].at
	}
	first = min(max(first, shortestBeat), longestBeat)
	last = min(max(last, shortestBeat), longestBeat)
	var before []pulse
	for at := beats[0].at - first; at > -first && beats[0].at > 0; at -= first {
		before = append(before, pulse{at: at, cells: beats[0].cells})
	}
	out := make([]pulse, 0, len(before)+len(beats))
	for i := len(before) - 1; i >= 0; i-- {
		out = append(out, before[i])
	}
	out = append(out, beats...)
	for out[len(out)-1].at < end {
		b := out[len(out)-1]
		out = append(out, pulse{at: b.at + last, cells: b.cells})
	}
	return out
}
