package performer

import (
	"math"
	"sort"
	"time"

	"undersong/internal/music/meter"
)

// TempoMark is a tempo at a place of the score. Between two marks it changes
// evenly; before the first it is the score's own, after the last it stays.
type TempoMark struct {
	At    meter.Ticks
	Share float64 // of the score's tempo, 0.25 to 4; others are taken as the nearest of these
}

// Fermata holds the moment at a place for so many beats longer.
type Fermata struct {
	At    meter.Ticks
	Beats float64 // up to LongestWait
}

// LongestWait bounds what is waited for at one place, in beats.
const LongestWait = 64

// segment is a stretch of the score played without a break.
type segment struct {
	from, to meter.Ticks
	gap      time.Duration   // the wait before it
	start    time.Duration   // when from sounds
	played   meter.Ticks     // music played before it
	table    []time.Duration // from start on, every tableStep of a beat; nil in a steady tempo
}

// tableStep is the part of a beat for which a changing tempo is taken as steady.
const tableStep = 4

// layPath follows the breaks through the score and gives the segments their
// times, once.
func (t *Take) layPath() {
	if t.path != nil {
		return
	}
	next := segment{from: 0}
	for {
		b := t.nextBreak(next.from)
		next.to = t.s.Length
		if b != nil {
			next.to = b.At
		}
		t.path = append(t.path, next)
		if b == nil {
			break
		}
		b.segment = len(t.path) + 1
		next = segment{from: b.To, gap: b.Gap}
	}
	t.timePath()
}

// nextBreak is the first break at or after a place that was not reached yet;
// of several at one place the first made.
func (t *Take) nextBreak(from meter.Ticks) *Break {
	var first *Break
	for i := range t.breaks {
		if b := &t.breaks[i]; b.segment == 0 && b.At >= from && (first == nil || b.At < first.At) {
			first = b
		}
	}
	return first
}

func (t *Take) timePath() {
	walk := t.walk()
	marks := append([]TempoMark(nil), t.course.Tempo...)
	sort.SliceStable(marks, func(i, j int) bool { return marks[i].At < marks[j].At })
	at, played := t.course.Start, meter.Ticks(0)
	for i := range t.path {
		sg := &t.path[i]
		sg.start, sg.played = at+sg.gap, played
		if len(marks) > 0 || t.h.TempoWalk != 0 || t.h.Rubato != 0 {
			t.tabulate(sg, walk, marks)
		}
		at = t.nominal(sg, sg.to)
		played += sg.to - sg.from
	}
}

// beatsPlayed is about how many beats the path has, not less.
func (t *Take) beatsPlayed() int {
	var sum meter.Ticks
	for _, sg := range t.path {
		sum += sg.to - sg.from
	}
	return int(sum/t.s.Meter.Beat()) + 2
}

// walk is the free tempo at each beat played, as a share of the score's.
func (t *Take) walk() []float64 {
	all := make([]float64, t.beatsPlayed())
	r := t.random(forTempo, 0, 0)
	v := 0.0
	for i := range all {
		all[i] = 1 + v
		v = clamp(v+normal(r)*t.h.TempoWalk, -MostDrift, MostDrift)
	}
	return all
}

// tabulate sums up a segment's time under a changing tempo, a bar past its end.
func (t *Take) tabulate(sg *segment, walk []float64, marks []TempoMark) {
	beat := t.s.Meter.Beat()
	step := beat / tableStep
	length := float64(t.s.Tempo.Duration(beat, t.s.Meter)) / tableStep
	steps := int((sg.to-sg.from+t.s.Meter.Bar())/step) + 1
	sg.table = make([]time.Duration, steps+1)
	for i := range steps {
		from := sg.from + meter.Ticks(i)*step
		middle := from + step/2
		n := clamp(int((sg.played+middle-sg.from)/beat), 0, len(walk)-1)
		share := walk[n] * t.rubato(middle) * markedShare(marks, middle)
		sg.table[i+1] = sg.table[i] + time.Duration(length/share*t.s.Stretch(from, from+step))
	}
}

// rubato swells and ebbs over four bars.
func (t *Take) rubato(pos meter.Ticks) float64 {
	phrase := float64(4 * t.s.Meter.Bar())
	return 1 + clamp(t.h.Rubato, 0, MostDrift)*math.Sin(2*math.Pi*float64(pos)/phrase)
}

func markedShare(marks []TempoMark, pos meter.Ticks) float64 {
	share := 1.0
	for i, m := range marks {
		if m.At > pos {
			if i > 0 {
				before := marks[i-1]
				part := float64(pos-before.At) / float64(m.At-before.At)
				share += (limited(m.Share) - share) * part
			}
			return share
		}
		share = limited(m.Share)
	}
	return share
}

func limited(share float64) float64 {
	if math.IsNaN(share) {
		return 1
	}
	return clamp(share, 0.25, 4)
}

// nominal is when a place sounds within a segment, before any unevenness.
// Places after the segment's end are told as if it went on.
func (t *Take) nominal(sg *segment, pos meter.Ticks) time.Duration {
	at := sg.start + t.fermatas(sg, pos)
	if sg.table == nil {
		return at + t.s.Lasts(sg.from, pos)
	}
	step := t.s.Meter.Beat() / tableStep
	i := clamp(int((pos-sg.from)/step), 0, len(sg.table)-2)
	part := float64(pos-sg.from)/float64(step) - float64(i)
	return at + sg.table[i] + time.Duration(part*float64(sg.table[i+1]-sg.table[i]))
}

// fermatas is the time held in a segment before a place.
func (t *Take) fermatas(sg *segment, pos meter.Ticks) time.Duration {
	var sum float64
	for _, f := range t.course.Fermatas {
		if f.At >= sg.from && f.At < min(pos, sg.to) && f.Beats > 0 {
			sum += min(f.Beats, LongestWait)
		}
	}
	return time.Duration(sum * float64(t.s.Tempo.Duration(t.s.Meter.Beat(), t.s.Meter)))
}

// wanderKeep is how much of the wander around the click is kept from one beat
// to the next.
const wanderKeep = 0.9

// wander lists the distance from the click, in beats, at each beat played.
func (t *Take) wander() []float64 {
	all := make([]float64, t.beatsPlayed())
	if t.h.Drift == 0 {
		return all
	}
	r := t.random(forWander, 0, 0)
	fresh := math.Sqrt(1 - wanderKeep*wanderKeep)
	v := normal(r)
	for i := range all {
		all[i] = clamp(v, -within, within) * t.h.Drift
		v = wanderKeep*v + fresh*normal(r)
	}
	return all
}

// wandered is the distance from the click at a place, in time.
func (t *Take) wandered(wander []float64, sg *segment, pos meter.Ticks) time.Duration {
	beat := t.s.Meter.Beat()
	played := sg.played + pos - sg.from
	i := clamp(int(played/beat), 0, len(wander)-2)
	part := clamp(float64(played)/float64(beat)-float64(i), 0, 1)
	v := wander[i] + (wander[i+1]-wander[i])*part
	return time.Duration(v * float64(t.s.Tempo.Duration(beat, t.s.Meter)))
}
