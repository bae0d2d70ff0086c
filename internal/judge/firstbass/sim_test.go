package firstbass

import (
	"math/rand/v2"
	"sort"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// player plays a tune with a bass of his own choice, with human timing, and knows
// what he did wrong.
type player struct {
	s       *score.Score
	th      *Theory
	ear     *Listener // for the thirds that it wants
	voicing Voicing
	r       *rand.Rand
	octave  int            // of the tune, in semitones
	rate    float64        // of the tempo
	faulty  float64        // chance of a fault in a bar
	kinds   []finding.Kind // that are planted
	slips   float64        // chance of a wrong note in the tune

	events []event.Event
	truth  map[int]finding.Kind // by bar
}

// unevenness of the moments and of one hand against the other, as the steady
// player's in simulate.
const (
	jitter  = 15 * time.Millisecond
	between = 8 * time.Millisecond
)

func (p *player) normal(sd time.Duration) time.Duration {
	v := min(3, max(-3, p.r.NormFloat64()))
	return time.Duration(v * float64(sd))
}

func (p *player) time(at meter.Ticks) time.Duration {
	return 100*time.Millisecond + time.Duration(float64(p.s.Time(at))/p.rate)
}

func (p *player) note(k pitch.Num, at, end time.Duration) {
	p.events = append(p.events, event.On(max(0, at), uint8(k), 70), event.Off(max(at+20*time.Millisecond, end), uint8(k)))
}

// play plays the whole tune once.
func (p *player) play() []event.Event {
	p.truth = map[int]finding.Kind{}
	moment := map[meter.Ticks]time.Duration{}
	when := func(at meter.Ticks) time.Duration {
		if _, known := moment[at]; !known {
			moment[at] = p.time(at) + p.normal(jitter)
		}
		return moment[at]
	}
	for _, n := range p.s.Melody {
		length := time.Duration(float64(p.s.Time(n.At+n.Dur)-p.s.Time(n.At)) / p.rate * (0.8 + 0.22*p.r.Float64()))
		at := when(n.At)
		k := n.Key() + pitch.Num(p.octave)
		if p.slips > 0 && p.r.Float64() < p.slips {
			k += []pitch.Num{-2, -1, 1, 2}[p.r.IntN(4)]
		}
		if p.slips > 0 && p.r.Float64() < p.slips*0.4 {
			continue
		}
		p.note(k, at, at+length)
	}
	stretches := p.th.Stretches()
	for i := range stretches {
		p.under(&stretches[i], i == len(stretches)-1, when)
	}
	sort.SliceStable(p.events, func(i, j int) bool { return p.events[i].At < p.events[j].At })
	return p.events
}

// low is where basses lie: a good way under the tune.
func (p *player) low() pitch.Num {
	low := pitch.PianoHigh
	for _, n := range p.s.Melody {
		low = min(low, n.Key()+pitch.Num(p.octave))
	}
	return low
}

// high is the highest that the tune has gone by the end of a bar.
func (p *player) high(bar int) pitch.Num {
	high := pitch.PianoLow
	for _, n := range p.s.Melody {
		if n.Bar <= bar {
			high = max(high, n.Key()+pitch.Num(p.octave)+1)
		}
	}
	return high
}

func (p *player) keyOf(c pitch.Class, below pitch.Num) pitch.Num {
	k := below - pitch.Num(pitch.ClassOf(int(below)-int(c)))
	if k-12 >= 33 && p.r.IntN(2) == 0 {
		k -= 12
	}
	return k
}

func (p *player) under(s *Stretch, last bool, when func(meter.Ticks) time.Duration) {
	bar := &p.s.Bars[s.Bar]
	if bar.Number == 0 {
		return
	}
	fits := s.Fits
	if len(fits) == 0 {
		fits = []int{p.r.IntN(len(p.th.primary))}
	}
	choice := fits[p.r.IntN(len(fits))]
	if last && p.th.Fits(int(Tonic), s.From, s.To) {
		choice = int(Tonic)
	}
	fault := finding.Right
	if _, had := p.truth[s.Bar]; !had && p.r.Float64() < p.faulty {
		fault = p.kinds[p.r.IntN(len(p.kinds))]
	}
	b := p.th.primary[choice]
	from, to := s.From, s.To
	at := when(from) + p.normal(between)
	end := at + time.Duration(float64(p.s.Time(to)-p.s.Time(from))/p.rate*(0.8+0.22*p.r.Float64()))
	low := p.low()
	bass := p.keyOf(b.Root.Class(), low-8)
	plant := func() { p.truth[s.Bar] = fault }
	switch fault {
	case finding.Missing:
		if s.From != bar.At || s.To != bar.At+bar.Len || p.firstIn(s.Bar) < 0 {
			break
		}
		plant()
		return
	case finding.Misfit:
		wrong := p.misfits(s)
		if len(wrong) == 0 {
			break
		}
		plant()
		p.note(p.keyOf(p.th.primary[wrong[p.r.IntN(len(wrong))]].Root.Class(), low-8), at, end)
		return
	case finding.NotRoot:
		c := pitch.Class(p.r.IntN(12))
		for _, o := range p.th.primary {
			if o.Root.Class() == c {
				p.chord(&b, bass, s, finding.Right, at, end)
				return
			}
		}
		plant()
		p.note(p.keyOf(c, low-8), at, end)
		return
	case finding.NotHome:
		if !last || len(s.Fits) < 2 {
			break
		}
		for _, i := range s.Fits {
			if i != int(Tonic) {
				b = p.th.primary[i]
			}
		}
		plant()
		p.chord(&b, p.keyOf(b.Root.Class(), low-8), s, finding.Right, at, end)
		return
	case finding.NoFifth, finding.WrongFifth, finding.NoThird, finding.WrongThird, finding.HighThird:
		if p.voicing == BassAlone || fault != finding.NoFifth && fault != finding.WrongFifth && p.voicing != WithTriad {
			break
		}
		if _, both := p.ear.third(&b, s.Bar); both && fault == finding.WrongThird && b.Other != b.Third {
			break // either kind is right
		}
		plant()
		p.chord(&b, bass, s, fault, at, end)
		return
	}
	p.chord(&b, bass, s, finding.Right, at, end)
}

func (p *player) firstIn(bar int) int {
	for i, n := range p.s.Melody {
		if n.Bar == bar {
			return i
		}
	}
	return -1
}

// misfits are basses whose chord has none of the notes on the strong beats of a
// stretch, where another one fits; and not the chart's own.
func (p *player) misfits(s *Stretch) []int {
	if len(s.Fits) == 0 {
		return nil
	}
	var all []int
	for i := range p.th.primary {
		b := &p.th.primary[i]
		has := p.th.written(i, s.From) > s.From
		for _, r := range p.th.runs(s.From, s.To) {
			if (r.at == s.From || p.th.strong(r.at)) && b.Has(p.s.Melody[r.first].Key().Class()) {
				has = true
			}
		}
		if !has && p.th.Stays(i, s.From) == s.From {
			all = append(all, i)
		}
	}
	return all
}

// chord plays a bass and what the voicing has above it: together, or one after the
// other.
func (p *player) chord(b *Bass, bass pitch.Num, s *Stretch, fault finding.Kind, at, end time.Duration) {
	p.note(bass, at, end)
	if p.voicing == BassAlone {
		return
	}
	fifth := b.Fifth.Class().From(bass)
	at2 := at + p.normal(between)
	if p.r.IntN(3) == 0 { // later in the stretch
		at2 = at + (end-at)/3
	}
	switch fault {
	case finding.NoFifth:
	case finding.WrongFifth:
		wrong := []pitch.Num{fifth - 1, fifth + 1, fifth - 2}
		if p.voicing == WithTriad {
			wrong = wrong[:2]
		}
		p.note(wrong[p.r.IntN(len(wrong))], at2, end)
	default:
		p.note(fifth, at2, end)
	}
	if p.voicing != WithTriad {
		return
	}
	n, _ := p.ear.third(b, s.Bar)
	third := n.Class().From(bass)
	switch at3 := at2 + p.normal(between); fault {
	case finding.NoThird:
	case finding.WrongThird:
		wrong := third - 1
		if third-bass == 3 {
			wrong = third + 1
		}
		p.note(wrong, at3, end)
	case finding.HighThird:
		for third < p.high(s.Bar) {
			third += 12
		}
		p.note(third, at3, end)
	default:
		p.note(third, at3, end)
	}
}
