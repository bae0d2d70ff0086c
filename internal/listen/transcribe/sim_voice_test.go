package transcribe

import (
	"math"
	"sort"
	"time"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

func (p *player) triad(c chord.Chord) []pitch.Class {
	classes := c.HandTones(4)
	if len(classes) > 3 && c.Type.Set().Has(7) && c.Bass == c.Root {
		classes = []pitch.Class{classes[0], classes[1], classes[3]}
		if !p.complete && p.chance(0.4) {
			classes[2] = c.Root.Class().Up(7)
		}
	}
	if !contains(classes, c.Bass.Class()) {
		classes = append(classes, c.Bass.Class())
	}
	return classes
}

func contains(classes []pitch.Class, c pitch.Class) bool {
	for _, x := range classes {
		if x == c {
			return true
		}
	}
	return false
}

// extra is what an arpeggio adds at its top.
func (p *player) extra(c chord.Chord) []pitch.Class {
	classes := c.HandTones(4)
	if len(classes) > 3 {
		return classes[3:]
	}
	if p.chance(p.colour) {
		return []pitch.Class{c.Root.Class().Up(2)}
	}
	return nil
}

// walk is a bass in quarters that ends a step from the next root.
func (p *player) walk(c change, beat, end float64, i int) {
	next := c.chord.Bass.Class()
	if i+1 < len(p.changes) {
		next = p.changes[i+1].chord.Bass.Class()
	}
	tones := c.chord.HandTones(4)
	at := p.bassKey(c.chord.Bass.Class())
	for b := beat; b < end; b++ {
		k := at
		switch {
		case b == beat:
		case int(b)%p.perBar == 0:
		case p.complete && int(b-beat)%2 == 0:
			k = p.bassKey(c.chord.Root.Up(c.chord.Degree(5)).Class())
		case b == end-1:
			k = p.bassKey(next) + pitch.Num([]int{-1, 1, 2, -2}[p.r.IntN(4)])
		default:
			k = p.bassKey(tones[p.r.IntN(len(tones))])
		}
		p.add(k, b, b+0.95, 76)
	}
}

// sing is a melody above: chord notes on the beats, scale notes between, some
// of them leaning on the beat.
func (p *player) sing() {
	scale := p.key.Scale()
	degree := 7 * 5
	for i, c := range p.changes {
		for b := float64(c.beat); b < float64(c.beat+c.beats); {
			length := []float64{0.5, 0.5, 1, 1, 2, 1.5}[p.r.IntN(6)]
			if p.chance(0.25) {
				b += length
				continue
			}
			degree += p.r.IntN(5) - 2
			degree = min(max(degree, 7*5), 7*6+4)
			n := scale[((degree%7)+7)%7]
			if math.Mod(b, 1) == 0 && p.chance(0.8) {
				for range 7 {
					if c.chord.Set().Has(n.Class()) {
						break
					}
					degree++
					n = scale[((degree%7)+7)%7]
				}
			}
			key := pitch.Num(12*(degree/7) + 12)
			key += pitch.Num(n.Class().Above(key.Class()))
			p.add(key, b, min(b+length, float64(c.beat+c.beats)+0.5), 80)
			b += length
		}
		_ = i
	}
}

// clock says when a beat comes, in seconds.
type clock func(beat float64) float64

// perform turns beats into time, with human hands and feet.
func (p *player) perform(at clock) []Note {
	sort.SliceStable(p.raw, func(a, b int) bool { return p.raw[a].on < p.raw[b].on })
	ups := p.pedalUps(at)
	var notes []Note
	group, lag := math.Inf(-1), 0.0
	for _, n := range p.raw {
		if p.chance(p.dropped) {
			continue
		}
		if n.on != group {
			group, lag = n.on, p.jitter*p.r.NormFloat64()
		}
		key := n.key
		if p.chance(p.wrong) {
			key += pitch.Num([]int{-1, 1, 2, -2}[p.r.IntN(4)])
		}
		on := at(n.on) + lag + p.spread*p.r.Float64()
		off := max(at(n.to)+p.jitter*p.r.NormFloat64(), on+0.05)
		note := Note{Key: key, Velocity: uint8(min(max(n.vel, 20), 120)), On: seconds(max(on, 0)), Release: seconds(max(off, 0.05))}
		note.Off = note.Release
		if i := sort.SearchFloat64s(ups, off); len(ups) > 0 && i < len(ups) {
			note.Off = seconds(ups[i])
		}
		notes = append(notes, note)
	}
	return cutRepeats(notes)
}

func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

// cutRepeats ends a note where its key is struck again.
func cutRepeats(notes []Note) []Note {
	sort.SliceStable(notes, func(a, b int) bool { return notes[a].On < notes[b].On })
	last := map[pitch.Num]int{}
	for i, n := range notes {
		if j, ok := last[n.Key]; ok && notes[j].Off > n.On {
			notes[j].Off = n.On
			notes[j].Release = min(notes[j].Release, n.On)
		}
		last[n.Key] = i
	}
	return notes
}

// pedalUps are the moments the damper falls; between them the pedal is down.
func (p *player) pedalUps(at clock) []float64 {
	var ups []float64
	last := p.changes[len(p.changes)-1]
	total := last.beat + last.beats
	switch p.pedal {
	case 1, 3:
		for i, c := range p.changes {
			if p.pedal == 3 && i%3 == 1 {
				continue // forgotten
			}
			ups = append(ups, at(float64(c.beat))+0.03+0.09*p.r.Float64())
		}
	case 2:
		for b := 0; b < total; b += p.perBar {
			ups = append(ups, at(float64(b))+0.03+0.05*p.r.Float64())
		}
	default:
		return nil
	}
	return append(ups, at(float64(total)))
}
