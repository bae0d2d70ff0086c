package follow

import (
	"fmt"
	"time"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/play/mistakes"
	"undersong/internal/sheet/score"
	"undersong/internal/test/reduced"
)

// tally is what came of one manner of playing.
type tally struct {
	onsets, right, lost, wrong int
	atOnce                     int    // right from the first note of the onset on
	unheard                    int    // wrong, but nobody could have heard it
	leaps                      int    // moves told that are not to a place near by
	strays                     int    // times that strayed or more onsets in a row stood farther than astray from their places
	bars                       int    // played
	breaks                     int    // after which at least three bars were played in order
	within                     [3]int // of these, with at most 1 or 2 bars played out of place
	audible                    int    // the same as within 2, but for what nobody could have heard
	worst                      float64
}

func (a *tally) add(b tally) {
	a.onsets += b.onsets
	a.right += b.right
	a.lost += b.lost
	a.wrong += b.wrong
	a.atOnce += b.atOnce
	a.unheard += b.unheard
	a.leaps += b.leaps
	a.strays += b.strays
	a.bars += b.bars
	a.breaks += b.breaks
	for i := range a.within {
		a.within[i] += b.within[i]
	}
	a.audible += b.audible
	a.worst = max(a.worst, b.worst)
}

func share(a, b int) float64 {
	if b == 0 {
		return 1
	}
	return float64(a) / float64(b)
}

var headings = fmt.Sprintf("%-22s %6s %6s %7s %6s %6s %7s %10s %6s %8s %8s %7s %5s", "", "onsets", "right", "at once",
	"lost", "wrong", "unheard", "leaps/100b", "breaks", "in 1 bar", "in 2", "audible", "worst")

func (a *tally) line(name string) string {
	of := func(n int) float64 { return share(n, a.onsets) }
	s := fmt.Sprintf("%-22s %6d %6.4f %7.4f %6.4f %6.4f %7.4f %10.2f %6d", name, a.onsets, of(a.right), of(a.atOnce),
		of(a.lost), of(a.wrong), of(a.unheard), 100*share(a.leaps, a.bars), a.breaks)
	if a.breaks > 0 {
		s += fmt.Sprintf(" %8.4f %8.4f %7.4f %5.1f", share(a.within[1], a.breaks), share(a.within[2], a.breaks), share(a.audible, a.breaks), a.worst)
	}
	return s
}

// rows tells what make sensitivity compares.
func (a *tally) rows(name string) {
	reduced.Row(name+": right", float64(a.right), float64(a.onsets))
	reduced.Row(name+": right at once", float64(a.atOnce), float64(a.onsets))
	reduced.Row(name+": told nothing wrong", float64(a.onsets-a.wrong), float64(a.onsets))
	reduced.Row(name+": bars without a leap", float64(a.bars-a.leaps), float64(a.bars))
	if a.breaks > 0 {
		reduced.Row(name+": found in 1 bar", float64(a.within[1]), float64(a.breaks))
		reduced.Row(name+": found in 2 bars", float64(a.within[2]), float64(a.breaks))
	}
}

// beat is the strokes of both hands at one event, as played.
type beat struct {
	at    time.Duration
	event int
	run   int // the event at which playing last went on out of order; -1 if never
	right bool
	deaf  bool // wrong, but nobody could have heard it
}

const (
	slack    = 80 * time.Millisecond  // how far a stroke may be off the time of its break
	oneBeat  = 130 * time.Millisecond // how far apart two hands may strike
	listened = 50 * time.Millisecond  // after its first note an onset must be placed
	strayed  = 4                      // onsets
	astray   = meter.Half
)

// truth lists the events played. Strokes that nobody wanted are left out.
func truth(f *Follower, perf mistakes.Performance) []beat {
	byPlace := map[meter.Ticks]int{}
	for i := range f.events {
		byPlace[f.events[i].at] = i
	}
	var beats []beat
	run, next := -1, 0
	for _, o := range perf.Onsets {
		if o.Want < 0 {
			continue
		}
		m := byPlace[f.score.Wants[o.Want].At]
		for ; next < len(perf.Truth); next++ {
			fault := &perf.Truth[next]
			if outOfOrder(fault.Kind) && fault.At > o.At+slack {
				break
			}
			if outOfOrder(fault.Kind) {
				run = m
			}
		}
		if n := len(beats); n > 0 && beats[n-1].event == m && o.At-beats[n-1].at < oneBeat {
			continue
		}
		beats = append(beats, beat{at: o.At, event: m, run: run})
	}
	return beats
}

func outOfOrder(k mistakes.Kind) bool {
	switch k {
	case mistakes.Restart, mistakes.Stumble, mistakes.RepeatBar, mistakes.SkipBar, mistakes.Jump:
		return true
	}
	return false
}

// alike reports that place e is the true one, or sounds like it so far: all
// that was wanted since playing last went on out of order is the same at the
// same places in the bar. A bar left out among bars that are alike cannot be
// heard until they end, and what is wanted is the same.
func alike(f *Follower, e int, b *beat) bool { return same(f, e, b, true) }

// same is alike, or where the place in the bar does not count, the same to the
// ear: the second beat for the third where each has the same chord.
func same(f *Follower, e int, b *beat, inBar bool) bool {
	if e == b.event {
		return true
	}
	if b.run < 0 || b.event < b.run {
		return false
	}
	for d := 0; d <= b.event-b.run; d++ {
		i, j := b.event-d, e-d
		if j < 0 || f.events[i].stroke != f.events[j].stroke {
			return false
		}
		if inBar && f.inBar(i) != f.inBar(j) {
			return false
		}
	}
	return true
}

func (f *Follower) inBar(m int) meter.Ticks {
	return f.events[m].at - f.score.Bars[f.events[m].bar].At
}

// untilNextOf is the distance from an event to the next.
func (f *Follower) untilNextOf(m int) meter.Ticks {
	if m+1 < len(f.events) {
		return meter.Ticks(f.events[m+1].gap)
	}
	return meter.Ticks(f.events[m].left)
}

// measure follows one performance.
func measure(s *score.Score, perf mistakes.Performance, name string) tally {
	f := NewFollower(s, FollowOptions{})
	a := tally{bars: len(s.Bars)}
	beats := truth(f, perf)
	n, far := 0, 0
	for i := range beats {
		until := beats[i].at + listened
		if i+1 < len(beats) {
			until = min(until, beats[i+1].at-1)
		}
		n = a.listen(f, perf, n, until, &beats[i])
		a.judge(f, &beats[i])
		if far = a.follows(f, &beats[i], far); far == strayed {
			a.strays++
		}
		if *showFlag == name {
			show(f, &beats[i])
		}
	}
	a.afterBreaks(f, perf, beats)
	if *showFlag == "list" && (share(a.right, a.onsets) < *worstFlag || a.breaks > a.within[2]) {
		fmt.Println(a.line(""), name)
	}
	return a
}

// listen feeds the events from the n-th on, up to a time.
func (a *tally) listen(f *Follower, perf mistakes.Performance, n int, until time.Duration, b *beat) int {
	first := true
	for ; n < len(perf.Events) && perf.Events[n].At <= until; n++ {
		e := perf.Events[n]
		if !e.IsNoteOn() {
			continue
		}
		f.Strike(pitch.Num(e.Data1), e.Data2, e.At)
		if f.Estimate().Jumped {
			a.leaps++
		}
		if e.At >= b.at && first {
			first = false
			if est := f.Estimate(); alike(f, est.Event, b) && !est.Lost {
				a.atOnce++
			}
		}
	}
	return n
}

// follows counts on the onsets in a row that stand far from their places.
func (a *tally) follows(f *Follower, b *beat, far int) int {
	d := f.Estimate().At - f.events[b.event].at
	if b.right || max(d, -d) <= astray {
		return 0
	}
	return far + 1
}

func (a *tally) judge(f *Follower, b *beat) {
	a.onsets++
	e := f.Estimate()
	b.right = alike(f, e.Event, b) && !e.Lost
	b.deaf = !b.right && !e.Lost && same(f, e.Event, b, false)
	switch {
	case b.right:
		a.right++
	case e.Lost:
		a.lost++
	default:
		a.wrong++
	}
	if b.deaf {
		a.unheard++
	}
}

// afterBreaks counts the bars that were played out of place between each break
// and the next.
func (a *tally) afterBreaks(f *Follower, perf mistakes.Performance, beats []beat) {
	var breaks []time.Duration
	for i := range perf.Truth {
		if t := &perf.Truth[i]; t.Kind == mistakes.Pause || outOfOrder(t.Kind) {
			breaks = append(breaks, t.At-slack)
		}
	}
	bar := float64(f.score.Meter.Bar())
	for k, from := range breaks {
		var played, astray, deaf float64
		for i := range beats {
			b := &beats[i]
			if b.at < from || k+1 < len(breaks) && b.at >= breaks[k+1] {
				continue
			}
			bars := float64(f.untilNextOf(b.event)) / bar
			played += bars
			if !b.right {
				astray += bars
			}
			if b.deaf {
				deaf += bars
			}
		}
		if played >= 3 {
			a.recover(astray, deaf)
		}
	}
}

func (a *tally) recover(astray, deaf float64) {
	a.breaks++
	a.worst = max(a.worst, astray)
	for n := range a.within {
		if astray <= float64(n) {
			a.within[n]++
		}
	}
	if astray-deaf <= 2 {
		a.audible++
	}
}

func show(f *Follower, b *beat) {
	place := func(m int) string {
		return fmt.Sprintf("%d:%.2f", f.events[m].bar, f.score.Meter.BeatAt(f.inBar(m)))
	}
	e, mark := f.Estimate(), " "
	if !b.right {
		mark = "x"
	}
	fmt.Printf("%s %8.3f %s (%s) heard %s sure %.2f lost %v tempo %.0f cost %.1f mean %.1f extra %v\n", mark, b.at.Seconds(), place(b.event),
		f.score.Harmonies[f.score.HarmonyAt(f.events[b.event].at)].Chord, place(max(0, e.Event)), e.Confidence, e.Lost, float64(e.Tempo), f.cost, f.mean, e.Extra)
}
