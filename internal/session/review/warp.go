package review

import (
	"math"
	"slices"
	"sort"
	"time"

	"undersong/internal/midi/smf"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
)

// knot is a moment on both clocks: the file's and the engine's.
type knot struct{ file, engine time.Duration }

// warp carries times from a file to the engine and back. Between knots it is a
// straight line, outside them the clocks run alike. Both rise from knot to knot.
type warp []knot

// toEngine is the engine's time for a time in the file.
func (w warp) toEngine(t time.Duration) time.Duration {
	return w.carry(t, func(k knot) (from, to time.Duration) { return k.file, k.engine })
}

// toFile is the time in the file for one of the engine's.
func (w warp) toFile(t time.Duration) time.Duration {
	return w.carry(t, func(k knot) (from, to time.Duration) { return k.engine, k.file })
}

func (w warp) carry(t time.Duration, ends func(knot) (from, to time.Duration)) time.Duration {
	i := sort.Search(len(w), func(i int) bool { from, _ := ends(w[i]); return from > t })
	if i == 0 || i == len(w) {
		from, to := ends(w[max(i-1, 0)])
		return to + t - from
	}
	from, to := ends(w[i-1])
	from2, to2 := ends(w[i])
	if from2-from == to2-to {
		return to + t - from // exact
	}
	return to + time.Duration(math.Round(float64(t-from)*float64(to2-to)/float64(from2-from)))
}

// straight is a warp for a file whose times are taken as they are: score tick 0
// sounds at a time in the file.
func straight(start time.Duration) warp { return warp{{start, start}} }

// tempoMap is the tempo map of a file that counts quarters.
type tempoMap struct {
	tempos []smf.TempoChange // by tick, the first at tick 0
	per    float64           // ticks a quarter
}

func mapOf(p *smf.Performance) tempoMap {
	m := tempoMap{per: float64(p.TicksPerQuarter)}
	if len(p.Tempos) == 0 || p.Tempos[0].Tick > 0 {
		m.tempos = append(m.tempos, smf.TempoChange{MicrosPerQuarter: smf.DefaultTempo})
	}
	for _, t := range p.Tempos {
		if n := len(m.tempos); n > 0 && m.tempos[n-1].Tick == t.Tick {
			m.tempos = m.tempos[:n-1] // of several at one tick the last holds
		}
		m.tempos = append(m.tempos, t)
	}
	return m
}

// at is when a place sounds, in quarters from the start of the file.
func (m tempoMap) at(quarters float64) time.Duration {
	i := sort.Search(len(m.tempos), func(i int) bool { return float64(m.tempos[i].Tick)/m.per > quarters }) - 1
	t := m.tempos[max(i, 0)]
	return t.At + time.Duration(math.Round((quarters-float64(t.Tick)/m.per)*float64(t.MicrosPerQuarter)*1000))
}

// tempoOver is the tempo of a stretch of the file in felt beats a minute: its
// own where there is one, else the mean, a ritardando of the score's taken off.
func (m tempoMap) tempoOver(s *score.Score, from float64) (tempo meter.Tempo, several bool) {
	quarters := float64(s.Length) / float64(meter.Quarter)
	first, last := 0, 0
	for i, t := range m.tempos {
		q := float64(t.Tick) / m.per
		if q <= from {
			first = i
		}
		if q < from+quarters {
			last = i
		}
	}
	micros := float64(m.tempos[first].MicrosPerQuarter)
	for _, t := range m.tempos[first : max(first, last)+1] {
		several = several || t.MicrosPerQuarter != m.tempos[first].MicrosPerQuarter
	}
	if several {
		micros = float64(m.at(from+quarters)-m.at(from)) / 1000 / (s.Elapsed(s.Length) / float64(meter.Quarter))
	}
	beat := float64(s.Meter.Beat()) / float64(meter.Quarter)
	return meter.Tempo(60e6 / (micros * beat)), several
}

// slack is the part of the way to the next moment, on either side, in which the
// clocks run alike. A little is left over so that both keep rising.
const slack = 0.45

// byTempoMap is a warp that puts the score's moments where the file's tempo map
// has them. The engine keeps one tempo; where the file's is another, its clock
// is bent. It is bent between the moments only: around each of them, up to
// slack of the way to the next, file and engine run alike. So how many
// milliseconds a stroke is early or late, how long fingers take to land together
// and how a chord is spread are the file's own, whatever the local tempo, and a
// tolerance in milliseconds means what it says.
func byTempoMap(s *score.Score, m tempoMap, from float64) warp {
	start := m.at(from)
	var beats []knot
	for _, at := range moments(s) {
		beats = append(beats, knot{
			file:   m.at(from + float64(at)/float64(meter.Quarter)),
			engine: start + s.Time(at),
		})
	}
	var w warp
	add := func(k knot) {
		if n := len(w); n == 0 || k.file > w[n-1].file && k.engine > w[n-1].engine {
			w = append(w, k)
		}
	}
	for i, b := range beats {
		if i > 0 {
			add(shifted(b, -room(beats[i-1], b)))
		}
		add(b)
		if i+1 < len(beats) {
			add(shifted(b, room(b, beats[i+1])))
		}
	}
	return w
}

func shifted(k knot, d time.Duration) knot { return knot{k.file + d, k.engine + d} }

// room is how far from a moment towards its neighbour the clocks run alike.
func room(a, b knot) time.Duration {
	return time.Duration(slack * float64(max(0, min(b.file-a.file, b.engine-a.engine))))
}

// moments are the places where anything may be wanted: every beat, every stroke,
// and the end.
func moments(s *score.Score) []meter.Ticks {
	all := []meter.Ticks{0, s.Length}
	for at := meter.Ticks(0); at < s.Length; at += s.Meter.Beat() {
		all = append(all, at)
	}
	for _, b := range s.Bars {
		all = append(all, b.At)
	}
	for i := range s.Wants {
		all = append(all, s.Wants[i].At)
	}
	slices.Sort(all)
	return slices.Compact(all)
}
