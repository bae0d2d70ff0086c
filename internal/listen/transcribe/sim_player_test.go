package transcribe

import (
	"math/rand/v2"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// player is a simulated pianist: what varies from one to the next.
type player struct {
	r       *rand.Rand
	style   string
	perBar  int
	changes []change
	key     pitch.Key

	register   pitch.Num // the bass lies within an octave above
	octaves    bool      // bass in octaves
	density    int       // notes in the right hand
	colour     float64   // chance of an added ninth on a triad
	bare       float64   // chance of a chord without its third
	anticipate float64   // chance that a chord comes an eighth early
	melody     bool
	pedal      int     // 0 none, 1 changed with the chord, 2 each bar, 3 late and careless
	jitter     float64 // seconds
	spread     float64 // seconds within a chord
	wrong      float64 // share of wrong notes
	dropped    float64
	complete   bool // sevenths are played, and the bass keeps to its note

	raw  []rawNote
	prev []pitch.Num
}

// rawNote is in beats.
type rawNote struct {
	key    pitch.Num
	on, to float64
	vel    int
}

func (p *player) chance(c float64) bool { return p.r.Float64() < c }

func (p *player) add(key pitch.Num, on, to float64, vel int) {
	if key < 21 || key > 108 {
		return
	}
	p.raw = append(p.raw, rawNote{key, on, to, vel + p.r.IntN(15) - 7})
}

func (p *player) bassKey(c pitch.Class) pitch.Num {
	return c.From(p.register)
}

func (p *player) bass(c pitch.Class, on, to float64) {
	k := p.bassKey(c)
	p.add(k, on, to, 78)
	if p.octaves {
		p.add(k+12, on, to, 72)
	}
}

// hand is the classes the right hand plays for a chord.
func (p *player) hand(c chord.Chord) []pitch.Class {
	classes := c.HandTones(4)
	if c.Type == chord.Major || c.Type == chord.Minor {
		switch {
		case p.chance(p.bare):
			classes = []pitch.Class{c.Root.Class(), c.Root.Class().Up(7)}
		case p.chance(p.colour):
			classes = append(classes, c.Root.Class().Up(2))
		}
	}
	if len(classes) > 3 && p.density < 4 && !p.complete && c.Type != chord.DiminishedSeventh && p.chance(0.6) {
		classes = classes[1:] // the bass has the root
	}
	if p.density == 2 && len(classes) == 3 && c.Type.Set().Has(7) && p.chance(0.5) {
		classes = classes[:2]
		if p.complete && !c.Type.Set().Has(10) && c.Bass == c.Root {
			classes[0], classes[1] = c.HandTones(3)[1], c.HandTones(3)[2]
		}
	}
	return classes
}

// voicing is the right hand's keys, near the last ones.
func (p *player) voicing(c chord.Chord) []pitch.Num {
	classes := p.hand(c)
	low := max(p.register+17, 52)
	if p.style == "alberti" {
		low = p.register + 28
	}
	from := p.prev
	if from == nil || p.chance(0.15) {
		from = []pitch.Num{low + pitch.Num(p.r.IntN(12))}
	}
	v := chord.Nearest(from, classes, low)
	if p.density > 3 && len(v) == 3 {
		v = append(v, v[0]+12)
	}
	p.prev = v
	return v
}

func (p *player) strike(v []pitch.Num, on, to float64) {
	for _, k := range v {
		p.add(k, on, to, 66)
	}
}

// play goes through the tune in its style.
func (p *player) play() {
	for i, c := range p.changes {
		from := float64(c.beat)
		early := 0.0
		if i > 0 && p.chance(p.anticipate) {
			early = 0.5
		}
		cut := 0.0 // the next one comes early; unknown to this chord
		p.chordSpan(c, from-early, from, from+float64(c.beats)-cut, i)
	}
	if p.melody {
		p.sing()
	}
}

// chordSpan plays one chord from start (early or not) by its beat.
func (p *player) chordSpan(c change, start, beat, end float64, i int) {
	root, fifth, bass := c.chord.Root.Class(), c.chord.Root.Class().Up(7), c.chord.Bass.Class()
	if c.chord.Type == chord.Diminished || c.chord.Type == chord.HalfDiminished || c.chord.Type == chord.DiminishedSeventh {
		fifth = root.Up(6)
	}
	v := p.voicing(c.chord)
	legato := 0.95
	switch p.style {
	case "block":
		p.bass(bass, start, beat+float64(c.beats)*legato)
		p.strike(v, start, beat+float64(c.beats)*legato)
	case "half-bar":
		for b := beat; b < end; b += 2 {
			on := b
			if b == beat {
				on = start
			}
			to := min(b+2, end)
			if p.r.IntN(3) > 0 || b == beat {
				p.bass(bass, on, to-0.1)
			}
			p.strike(v, on, to-0.1)
		}
	case "quarters":
		for b := beat; b < end; b++ {
			on := b
			if b == beat {
				on = start
				p.bass(bass, on, end-0.1)
			}
			p.strike(v, on, b+0.8)
		}
	case "broken":
		for b := beat; b < end; b++ {
			if int(b)%p.perBar == 0 || b == beat {
				p.bass(bass, b, b+0.9)
			} else {
				p.strike(v, b, b+0.7)
			}
		}
		if c.beats == 1 {
			p.strike(v, beat+0.5, beat+0.9)
		}
	case "alberti":
		keys := chord.Close(p.triad(c.chord), bass, p.register+8)
		step := 0.5
		if p.octaves {
			step = 0.25
		}
		order := []int{0, 2, 1, 2}
		if len(keys) > 3 {
			order[3] = 3
		}
		for n, b := 0, beat; b < end-1e-9; n, b = n+1, b+step {
			p.add(keys[order[n%4]%len(keys)], b, b+step*0.95, 64)
		}
		if p.chance(0.5) {
			p.strike(v[max(0, len(v)-2):], start, end-0.2)
		}
	case "arpeggio":
		low := p.bassKey(bass)
		line := []pitch.Num{low}
		rise := append([]pitch.Class{fifth, root, p.triad(c.chord)[1], fifth}, p.extra(c.chord)...)
		if extra := p.extra(c.chord); p.complete && len(extra) > 0 {
			rise = []pitch.Class{fifth, extra[0], p.triad(c.chord)[1], root} // 1 5 7 3
		}
		for _, cl := range rise {
			last := line[len(line)-1]
			up := pitch.Num(cl.Above(last.Class()))
			if up == 0 {
				up = 12
			}
			line = append(line, last+up)
		}
		span := len(line)
		for n, b := 0, beat; b < end-1e-9; n, b = n+1, b+0.5 {
			j := n % (2*span - 2)
			if j >= span {
				j = 2*span - 2 - j
			}
			on := b
			if n == 0 {
				on = start
			}
			p.add(line[j], on, b+0.5, 62)
		}
	case "sixteenths":
		p.bass(bass, start, end-0.1)
		order := []int{0, 1, 2, 1}
		if p.r.IntN(2) == 0 {
			order = []int{2, 1, 0, 1}
		}
		if len(v) > 3 {
			order[3] = 3
		}
		for n, b := 0, beat; b < end-1e-9; n, b = n+1, b+0.25 {
			p.add(v[order[n%4]%len(v)], b, b+0.25, 58)
		}
	case "root-fifth":
		for b := beat; b < end; b++ {
			n := int(b-beat) % 2
			switch {
			case n == 0 && int(b-beat)%4 == 2:
				f := p.bassKey(fifth)
				if (!p.complete || p.density == 2) && p.chance(0.6) && f-12 >= 28 {
					f -= 12
				}
				p.add(f, b, b+0.8, 74)
			case n == 0:
				on := b
				if b == beat {
					on = start
				}
				p.bass(bass, on, b+0.8)
			default:
				p.strike(v, b, b+0.6)
			}
			if c.beats == 1 {
				p.strike(v, b+0.5, b+0.9)
			}
		}
	case "walking":
		p.walk(c, beat, end, i)
		for b := beat; b < end; b += 2 {
			on := b
			if p.chance(0.3) {
				on += 0.5
			}
			p.strike(v, on, min(b+1.7, end))
		}
	case "octave-pop":
		hits := []float64{0, 1.5, 3}
		if p.r.IntN(2) == 0 {
			hits = []float64{0, 0.5, 1.5, 2.5, 3}
		}
		for b := beat; b < end; b += float64(p.perBar) {
			for n, h := range hits {
				if b+h >= end {
					break
				}
				on := b + h
				if n == 0 && b == beat {
					on = start
				}
				to := min(b+h+1, end)
				p.strike(v, on, to-0.05)
				if n == 0 || p.chance(0.4) {
					k := p.bassKey(bass)
					p.add(k, on, to, 84)
					p.add(k-12, on, to, 80)
				}
			}
		}
	case "rolled":
		p.bass(bass, start, end-0.1)
		for n, k := range v {
			p.add(k, start+0.06*float64(n+1), end-0.1, 60)
		}
		for b := beat + 2; b < end; b += 2 {
			p.strike(v[len(v)-1:], b, b+1)
			p.bass(fifth, b, b+1.5)
		}
	}
}
