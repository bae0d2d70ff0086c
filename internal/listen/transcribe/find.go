package transcribe

import "math"

// Finding beats in the playing: the distances between strokes give the period
// of the beat, window by window; a search over the whole performance then puts
// beats on strokes at about that period (the dynamic programming of Ellis,
// "Beat Tracking by Dynamic Programming", Journal of New Music Research 36(1),
// 2007; written from memory of its method, not read here).

// findBeats finds the beats of the strokes, which are in order.
func findBeats(on []stroke, end float64) []pulse {
	if len(on) < 4 {
		return []pulse{{at: on[0].at, cells: 2}}
	}
	period := periodCurve(on, end)
	frames := int(end/frame) + 2
	strength := strengthCurve(on, frames)
	score := make([]float64, frames)
	from := make([]int32, frames)
	logs := make([]float64, int(2*slowest/frame)+2)
	for d := 1; d < len(logs); d++ {
		logs[d] = math.Log(float64(d) * frame)
	}
	start := int(on[0].at/frame) - 3
	for t := range score {
		from[t] = -1
		p := period[min(int(float64(t)*frame/windowHop), len(period)-1)]
		logP := math.Log(p)
		lo, hi := max(int(p/2/frame), 1), min(int(2*p/frame), len(logs)-1)
		best := 0.0
		if t < start {
			best = -1e9
		}
		for d := lo; d <= hi && d <= t; d++ {
			off := logs[d] - logP
			if s := score[t-d] - tightness*off*off; s > best {
				best, from[t] = s, int32(t-d)
			}
		}
		score[t] = best + strength[t]
	}
	return trace(score, from, on[len(on)-1].at)
}

// trace follows the best chain back from the last strokes.
func trace(score []float64, from []int32, last float64) []pulse {
	end := min(int(last/frame)+6, len(score)-1)
	at := end
	for t := max(end-int(slowest/frame), 0); t <= end; t++ {
		if score[t] > score[at] {
			at = t
		}
	}
	var back []int
	for t := at; t >= 0; t = int(from[t]) {
		back = append(back, t)
		if from[t] < 0 {
			break
		}
	}
	beats := make([]pulse, len(back))
	for i, t := range back {
		beats[len(back)-1-i] = pulse{at: float64(t) * frame, cells: 2}
	}
	return beats
}

// strengthCurve spreads each stroke over a few frames, with a mean peak of 1.
func strengthCurve(on []stroke, frames int) []float64 {
	mean := 0.0
	for _, s := range on {
		mean += s.weight / float64(len(on))
	}
	curve := make([]float64, frames)
	for _, s := range on {
		centre := s.at / frame
		for t := int(centre) - peakReach; t <= int(centre)+peakReach; t++ {
			if t >= 0 && t < frames {
				d := (float64(t) - centre) / peakWidth
				curve[t] += s.weight / mean * math.Exp(-d*d/2)
			}
		}
	}
	return curve
}

// periodCurve is the period of the beat in seconds, every windowHop.
func periodCurve(on []stroke, end float64) []float64 {
	n := int(end/windowHop) + 1
	cost := make([][periods]float64, n)
	first := 0
	for w := range cost {
		centre := float64(w) * windowHop
		for first < len(on) && on[first].at < centre-windowHalf {
			first++
		}
		last := first
		for last < len(on) && on[last].at <= centre+windowHalf {
			last++
		}
		cost[w] = saliences(on[first:last])
	}
	return smoothest(cost)
}

func periodAt(i int) float64 {
	return fastest * math.Pow(slowest/fastest, float64(i)/(periods-1))
}

// saliences is how well each period explains the distances between strokes.
func saliences(on []stroke) [periods]float64 {
	const bins = int(multiples*slowest/frame) + 8
	var gaps [bins]float64
	for i := range on {
		for j := i + 1; j < len(on); j++ {
			b := int((on[j].at-on[i].at)/frame + 0.5)
			if b >= bins {
				break
			}
			gaps[b] += on[i].weight * on[j].weight
		}
	}
	var out [periods]float64
	top := 0.0
	for i := range out {
		p := periodAt(i)
		for m := 1.0; m <= multiples; m++ {
			out[i] += around(gaps[:], m*p/frame) / math.Sqrt(m)
		}
		octaves := math.Log2(p/usualPeriod) / usualSpread
		out[i] *= math.Exp(-octaves * octaves / 2)
		top = max(top, out[i])
	}
	for i := range out {
		if top > 0 {
			out[i] /= top
		}
	}
	return out
}

// around adds up the bins about a place, the nearer ones more.
func around(bins []float64, at float64) float64 {
	sum := 0.0
	for b := int(at) - 3; b <= int(at)+4; b++ {
		if b >= 0 && b < len(bins) {
			d := (float64(b) - at) / gapWidth
			sum += bins[b] * math.Exp(-d*d/2)
		}
	}
	return sum
}

// smoothest is the path through the saliences that pays for each step.
func smoothest(sal [][periods]float64) []float64 {
	back := make([][periods]int8, len(sal))
	score := sal[0]
	for w := 1; w < len(sal); w++ {
		var next [periods]float64
		for i := range next {
			best := -1.0
			for j := range score {
				if s := score[j] - periodDrift*math.Abs(float64(i-j)); s > best || j == 0 {
					best, back[w][i] = s, int8(j)
				}
			}
			next[i] = best + sal[w][i]
		}
		score = next
	}
	at := 0
	for i, s := range score {
		if s > score[at] {
			at = i
		}
	}
	curve := make([]float64, len(sal))
	for w := len(sal) - 1; w >= 0; w-- {
		curve[w] = periodAt(at)
		at = int(back[w][at])
	}
	return curve
}
