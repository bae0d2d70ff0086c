package cause

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/keyboard"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
)

// rest is how long nothing has been heard of a hand while the other played on: a player who
// leads is followed by one hand alone, and what the other leaves out need not be missed.
type rest struct {
	at    meter.Ticks   // its last stroke, through all passes
	since time.Duration // when that was
	bars  meter.Ticks   // after which causes are looked for next; 0 where nothing was heard yet
	right meter.Ticks   // after its last right stroke; 0 where none was
}

// rests takes a finding, and begins a doubt where a hand has rested for long.
func (j *Judge) rests(f *finding.Finding) {
	l, d := j.led, &j.doubt
	if j.Score.Only != score.BothHands || f.Want < 0 || f.Kind != finding.Right && !mistaken(f.Kind) || f.Kind == finding.Missing {
		return
	}
	at := j.placeOf(f.Pass, placeIn(j.Score, f))
	for h := range l.rests {
		r := &l.rests[h]
		if own := f.Part == finding.BothHands || int(f.Part) == h; own || at < r.at || r.bars == 0 {
			*r = rest{at, f.At, restBars, r.right}
			if own && f.Kind == finding.Right {
				r.right = at + 1
			}
			continue
		}
		bar := j.Score.Meter.Bar()
		if j.reading.mute[h] || at-r.at <= r.bars*bar || j.strokes(h, r.at, at) < fewestResting {
			continue
		}
		r.bars *= 2
		since := r.since + keyboard.Together
		if j.never[h] {
			since = 0
		}
		if !d.on {
			d.begin(since, f.At)
			d.pass = f.Pass
		}
		d.since = min(d.since, since)
		l.looks = true
	}
}

// placeRest lets the cause of a hand that is silent begin with the first stroke that did
// not come, rather than with what the other struck.
func (j *Judge) placeRest(f *finding.Finding) {
	h := j.reading.causes[what].Hand
	if !j.reading.is(finding.Silent) || h > finding.RightHand || !j.fresh[what] {
		return
	}
	from := j.placeOf(f.Pass, placeIn(j.Score, f))
	if r := &j.led.leftAt[h]; r.right > 0 || j.never[h] {
		from = min(from, r.right)
	}
	for i := range j.Score.Wants {
		if w := &j.Score.Wants[i]; finding.PartOf(w.Hand) == h && j.placeOf(f.Pass, w.At) >= from {
			j.all[j.current[what]].Bar = j.printed(w.Bar)
			return
		}
	}
}

// strokes counts what is wanted of a hand between two places of all passes.
func (j *Judge) strokes(hand int, from, to meter.Ticks) (n int) {
	for i := range j.Score.Wants {
		w := &j.Score.Wants[i]
		for pass := from / j.Score.Length; pass <= to/j.Score.Length; pass++ {
			if at := w.At + pass*j.Score.Length; int(w.Hand) == hand && at > from && at < to {
				n++
			}
		}
	}
	return n
}

// passed weighs the strokes that were passed without a word: where the player is followed
// by what one hand plays, the other's need not be missed.
type passed struct {
	score *score.Score
	seen  map[int]bool // strokes of which something was told, or that were counted
	begun bool
	pass  int
	at    meter.Ticks
	of    [2]int // by hand: how many
}

// take takes a finding.
func (p *passed) take(f *finding.Finding) (nats float64) {
	if f.Want < 0 {
		return 0
	}
	p.seen[f.Want+f.Pass*len(p.score.Wants)] = true
	if f.Second >= 0 {
		p.seen[f.Second+f.Pass*len(p.score.Wants)] = true
	}
	if f.Kind != finding.Right {
		return 0
	}
	at := p.score.Wants[f.Want].At
	if p.begun && f.Pass == p.pass && at > p.at && at-p.at <= longestPassed*p.score.Meter.Bar() {
		nats = p.between(at)
	}
	p.begun, p.pass, p.at = true, f.Pass, at
	return nats
}

// between weighs what was passed on the way to a place.
func (p *passed) between(to meter.Ticks) (nats float64) {
	var told [2]int // bar of the last that counted in full, from 1
	for i := range p.score.Wants {
		w := &p.score.Wants[i]
		if key := i + p.pass*len(p.score.Wants); w.At > p.at && w.At < to && !p.seen[key] {
			p.seen[key] = true
			nats += ofMore
			p.of[w.Hand]++
			if told[w.Hand] != w.Bar+1 {
				nats += ofMistake - ofMore
			}
			told[w.Hand] = w.Bar + 1
		}
	}
	return nats
}
