package capture

import (
	"math"

	"undersong/internal/music/meter"
)

// aspect is one thing that speaks against an interpretation, 0 where it does not.
type aspect int

const (
	offPulse     aspect = iota // the cost of the pulse, see pulse.weigh
	description                // what it takes to write the pattern down, see describe
	slip                       // each stroke that did not come each time
	oddTempo                   // see tempoOff
	oddBar                     // see barOff
	inThree                    // 3/4
	inSix                      // 6/8
	inTwo                      // 2/4
	inTwelve                   // 12/8
	inFive                     // 5/4
	shortPair                  // two bars of 2/4 or 6/8, which would be one of 4/4 or 12/8
	weakLow                    // low notes on weak places
	weakLowest                 // the lowest notes there
	weakStroke                 // strokes on weak places
	weakAccent                 // accents there
	syncope                    // strokes that pass over a stronger place, see level
	offEnd                     // each beat by which the sound ends before the last bar, or after it
	closing                    // a last stroke that only ends the playing
	unseenThree                // a meter of threes or fives, but no stroke that tells it from twos
	unseenMiddle               // no stroke on the second of three eighths: it may be swung
	triplets                   // thirds of a beat, where the meter has halves
	sixteenths                 // a grid of them
	manyFine                   // the same in a bar of more than three quarters
	againFine                  // the same in 4/4 whose halves are alike: two of 2/4
	swung                      // pairs that are not even: one more thing to know
	aspects
)

// weigh is how unlikely an interpretation is, but for its fold.
func (r *interpretation) weigh(t *take) {
	f := &r.aspects
	f[offPulse] = r.pulse.cost
	f[oddTempo] = r.tempoOff(t.o.Tempo)
	f[oddBar] = r.barOff()
	r.weighMeter()
	r.weighGrid()
	r.weighStrokes(t)
	r.weighThrees(t)
	r.weighEnd(t)
	r.cost = 0
	for i, w := range weights {
		r.cost += w * f[i]
	}
}

// tempoOff is how unlikely the tempo is, beside the one that was told or the usual.
func (r *interpretation) tempoOff(told meter.Tempo) float64 {
	about, spread := float64(usualTempo), usualSpread
	switch {
	case told > 0:
		about, spread = float64(told), toldSpread
	case r.meter.Compound():
		about = usualCompound
	}
	d := math.Log2(float64(r.tempo())/about) / spread
	return d * d / 2
}

// barOff is how unlikely it is that a bar lasts so long.
func (r *interpretation) barOff() float64 {
	d := math.Log2(r.cell*float64(r.perBar)/usualBar) / barSpread
	return d * d / 2
}

func (r *interpretation) weighMeter() {
	f := &r.aspects
	for i, m := range tried {
		if m == r.meter && i > 0 {
			f[inThree+aspect(i-1)] = 1
		}
	}
	if short := r.meter.Beats() == 2; short && r.length%2 == 0 {
		f[shortPair] = 1
	}
}

func (r *interpretation) weighGrid() {
	f := &r.aspects
	long := r.meter.Bar() > 3*meter.Quarter
	fine := r.ticks < meter.Eighth
	mark := func(a aspect, is bool) {
		if is {
			f[a] = 1
		}
	}
	mark(swung, !r.swing.Straight())
	mark(triplets, !r.meter.Compound() && r.ticks == meter.Triplet)
	mark(sixteenths, fine)
	mark(manyFine, fine && long)
	mark(againFine, r.ticks == meter.Sixteenth && long && r.halves)
}

// share is a mean of weaknesses.
type share struct{ sum, of float64 }

func (s *share) add(weakness, weight float64) {
	s.sum += weakness * weight
	s.of += weight
}

func (s *share) mean() float64 {
	if s.of == 0 {
		return 0
	}
	return s.sum / s.of
}

// weighStrokes weighs where strokes fall.
func (r *interpretation) weighStrokes(t *take) {
	var all, low, lowest, loud, passed share
	groups := r.counted(t)
	limit, usual := t.lowLimit(), t.usualVelocity()
	bottoms := r.bottoms(t)
	for i, g := range groups {
		bar, cell := r.at(i)
		w := r.weakness(cell)
		key := g.notes[0].key
		all.add(w, 1)
		if int(key) <= limit {
			low.add(w, 1)
		}
		if limit >= 0 && key == bottoms[bar%len(bottoms)] {
			lowest.add(w, 1)
		}
		if g.loudest() > usual+loudBy {
			loud.add(w, 1)
		}
		passed.add(r.passedOver(i, len(groups)), 1)
	}
	f := &r.aspects
	f[weakStroke], f[weakLow], f[weakLowest] = all.mean(), low.mean(), lowest.mean()
	f[weakAccent], f[syncope] = loud.mean(), passed.mean()
}

// weighThrees weighs that no stroke tells threes.
func (r *interpretation) weighThrees(t *take) {
	threes, middle := false, false
	for i := range r.counted(t) {
		_, cell := r.at(i)
		in := meter.Ticks(cell) * r.ticks
		if r.meter.Compound() {
			in %= r.meter.Beat()
		}
		threes = threes || in != 0
		middle = middle || in == meter.Eighth
	}
	f := &r.aspects
	if !threes && (r.meter.Compound() || r.meter.Num%2 == 1) {
		f[unseenThree] = 1
	}
	if !middle && r.meter.Compound() {
		f[unseenMiddle] = 1
	}
}

// weighEnd weighs how the last bar ends.
func (r *interpretation) weighEnd(t *take) {
	f := &r.aspects
	end := 0.0
	for i, g := range r.counted(t) {
		for _, n := range g.notes {
			end = max(end, place(r.swing, r.pos[i])+(n.off-n.on).Seconds()/r.cell)
		}
	}
	beat := float64(r.meter.Beat()) / float64(r.ticks)
	left := (float64(r.bars*r.perBar-r.offset) - end) / beat
	f[offEnd] = math.Abs(left)
	if r.closed {
		f[closing] = 1
	}
}
