package cause

import (
	"cmp"
	"math"
	"slices"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// instead is other music over the same bars: another accompaniment.
type instead struct {
	score  *score.Score
	places []place
}

// offAssignment reports that something else is played than what is asked for, so that
// strokes are not judged.
func (r *reading) offAssignment() bool {
	switch r.causes[what].Kind {
	case finding.OtherPattern, finding.OtherChart, finding.SwappedHands:
		return true
	}
	return false
}

// others are the readings of what is asked for by nobody.
func (j *Judge) others(ev *evidence) []reading {
	if ev.present.causes[what].Kind != finding.NoCause {
		return nil
	}
	all := j.swaps()
	if n := len(ev.struck); n-ev.doubted >= fewestInstead && ev.struck[n-1].at-ev.struck[ev.doubted].at >= j.barLasts()*3/2 {
		all = append(all, reading{})
		all[len(all)-1].causes[what].Kind = finding.OtherChart
		all = append(all, j.patterns(ev)...)
	}
	for i := range all {
		all[i].causes[what].Hand = finding.BothHands
	}
	return all
}

// patterns are the readings of the accompaniments that explain most of what was struck,
// and want least besides. Some more are laid over the bars each time.
func (j *Judge) patterns(ev *evidence) []reading {
	for n := 0; len(j.left) > 0 && (n < patternsAtOnce || j.options.Patient); n++ {
		p := j.left[0]
		j.left = j.left[1:]
		if s, err := j.Score.Relaid(p); err == nil && p.Name != j.Score.Pattern.Name {
			j.laid = append(j.laid, instead{s, placesOf(s)})
		}
	}
	type candidate struct{ which, explained int }
	var all []candidate
	for i := range j.laid {
		all = append(all, candidate{i, j.explained(j.laid[i].places, ev)})
	}
	slices.SortStableFunc(all, func(a, b candidate) int { return cmp.Compare(b.explained, a.explained) })
	var few []reading
	for _, c := range all[:min(len(all), likeliestPatterns)] {
		r := reading{score: j.laid[c.which].score}
		r.causes[what] = finding.Cause{Kind: finding.OtherPattern, Hand: finding.BothHands, Name: r.score.Pattern.Name}
		few = append(few, r)
	}
	return few
}

// explained is how many of the strikes in doubt are wanted at such places, less those of
// the places at which nothing is struck.
func (j *Judge) explained(places []place, ev *evidence) (n int) {
	near := j.close()
	missed := map[int]bool{}
	begins, ends := j.inScore(&ev.present, ev.struck[ev.doubted].at), j.inScore(&ev.present, ev.struck[len(ev.struck)-1].at)
	first, last := around(places, begins, ends)
	for i := first; i < last; i++ {
		missed[i] = true
	}
	for i := ev.doubted; i < len(ev.struck); i++ {
		s := &ev.struck[i]
		far := j.inScore(&ev.present, s.at)
		first, last := around(places, far-near, far+near)
		for at := first; at < last; at++ {
			delete(missed, at)
			if places[at].classes.Has(pitch.ClassOf(int(s.key) - ev.present.up)) {
				n += 2
				if places[at].has(s.key - pitch.Num(ev.present.up)) {
					n++
				}
				break
			}
		}
	}
	return n - 2*len(missed)
}

// swaps are the readings of hands that have each other's part, where that lies in their
// reach.
func (j *Judge) swaps() []reading {
	if j.Score.Only != score.BothHands {
		return nil
	}
	if j.crossed == nil {
		j.crossed = []*score.Score{}
		for _, lift := range [][2]int{{1, -1}, {2, -1}, {1, -2}, {2, -2}} {
			if s, ok := swapped(j.Score, lift); ok {
				j.crossed = append(j.crossed, s)
			}
		}
	}
	var all []reading
	for _, s := range j.crossed {
		r := reading{score: s}
		r.causes[what].Kind = finding.SwappedHands
		all = append(all, r)
	}
	return all
}

// swapped is a score with each hand's part in the other, so many octaves higher; ok is
// false where the hands would cross then, or leave the piano.
func swapped(s *score.Score, lift [2]int) (c *score.Score, ok bool) {
	if c, ok = s.Lifted(lift); !ok {
		return nil, false
	}
	var low, high [2]pitch.Num
	low = [2]pitch.Num{127, 127}
	for i := range c.Wants {
		w := &c.Wants[i]
		w.Hand = w.Hand.Other()
		low[w.Hand] = min(low[w.Hand], w.Tones[0].Key)
		high[w.Hand] = max(high[w.Hand], w.Tones[len(w.Tones)-1].Key)
	}
	slices.SortStableFunc(c.Wants, func(a, b score.Want) int {
		return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Hand, b.Hand))
	})
	return c, high[pattern.Left] < low[pattern.Right] && high[pattern.Right] > 0 && high[pattern.Left] > 0
}

// foreign weighs that this is another tune: none of what is struck is explained, and
// nothing is wrong with it. It is only where the harmony of no key and of no bar near
// explains much. Strokes are counted as the present reading has them.
func (j *Judge) foreign(ev *evidence, was *weight) (w weight, ok bool) {
	struck := 0
	for i := ev.doubted; i < len(ev.struck); i++ {
		if _, ok := j.harmonyAt(ev, i, 0); ok {
			struck++
		}
	}
	w.notes, w.struck, w.right, w.wrong, w.near = struck, struck, was.right, was.wrong, j.inHarmony(ev)
	return w, float64(was.right+was.off) <= mostFamiliar*float64(was.right+was.wrong) && w.foreign(1/math.Sqrt(float64(w.struck)))
}

// foreign reports that few notes belong to the harmony, or some more.
func (w *weight) foreign(more float64) bool {
	return float64(w.near) <= (mostForeign+more)*float64(w.struck)
}

// inHarmony is how many of the strikes in doubt belong to the harmony, at most: in any
// key, and some bars on or back.
func (j *Judge) inHarmony(ev *evidence) (most int) {
	for bars := -nearBars; bars <= nearBars; bars++ {
		var n [12]int
		for i := ev.doubted; i < len(ev.struck); i++ {
			h, ok := j.harmonyAt(ev, i, bars)
			if !ok {
				continue
			}
			for up := range n {
				if h.Chord.Set().Has(pitch.ClassOf(int(ev.struck[i].key) - up)) {
					n[up]++
				}
			}
		}
		most = max(most, slices.Max(n[:]))
	}
	return most
}

// harmonyAt is the harmony that sounds where a strike falls, some bars on; ok is false before
// the music begins and when it is over.
func (j *Judge) harmonyAt(ev *evidence, i, bars int) (h *score.Harmony, ok bool) {
	far := j.inScore(&ev.present, ev.struck[i].at) + j.close() + time.Duration(bars)*j.barLasts()
	if far < 0 || far >= j.Click.Pass() {
		return nil, false
	}
	return &j.Score.Harmonies[j.Score.HarmonyAt(meter.Ticks(j.Score.At(far)))], true
}

// inOtherHand reports a stroke that is right, and octaves off where the hands have each
// other's part, so that it may be the other's still.
func (j *Judge) inOtherHand(f *finding.Finding) bool {
	return j.reading.is(finding.SwappedHands) && f.Want >= 0 && f.Heard.Len() > 0 && octavesOff(f, j.heard.Score) != 0
}

// aside takes a finding while something else is played: it counts when right strokes come
// in a row, as many as come by chance seldom.
func (j *Judge) aside(f *finding.Finding) {
	j.all[j.current[what]].ToBar = j.Score.Bars[f.Bar].Number
	switch {
	case f.Kind == finding.Right && !j.inOtherHand(f):
		j.row++
	case mistaken(f.Kind):
		j.row, j.awaited = 0, j.awaited[:0]
		return
	}
	if j.awaited = append(j.awaited, *f); j.row < rightAgain || j.awaited[0].Bar == f.Bar {
		return
	}
	j.reading = j.reading.inTime()
	for i := range j.awaited {
		j.tell(&j.awaited[i])
	}
	j.row, j.awaited = 0, j.awaited[:0]
}
