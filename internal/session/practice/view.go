package practice

import (
	"math"
	"slices"
	"strings"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/ui/term"
	"undersong/internal/ui/words"
)

// view keeps what the screen shows between one moment and the next.
type view struct {
	chart       *chart.Chart
	first, last int // printed bars that are shown
	low, high   pitch.Num
	bars        map[int][]term.Bar // by time through the repeats

	correction string
	bar        int           // that it is about
	until      time.Duration // when it has been read
	wrongKeys  term.Keys
	praised    time.Duration // when it was last praised
	good       string        // the praise; "" when the last was none
	told       []string      // the corrections of the pass that is over
	notice     string        // to be read until the music begins
}

func newView(s *score.Score, c *chart.Chart) view {
	v := view{chart: c, bars: map[int][]term.Bar{}, low: 127}
	v.first = s.Bars[0].Printed
	for _, b := range s.Bars {
		v.first, v.last = min(v.first, b.Printed), max(v.last, b.Printed)
	}
	for i := range s.Wants {
		for _, t := range s.Wants[i].Tones {
			v.low, v.high = min(v.low, t.Key), max(v.high, t.Key)
		}
	}
	return v
}

// correct shows a correction until the bar after the present one is over.
func (v *view) correct(t *take, i *sitting.Item, now time.Duration) {
	f := i.Finding
	v.correction, v.bar = words.Line(*i), t.voice.Bar(f)
	v.until = now + t.lasts(t.score.Meter.Bar()*3/2)
	v.wrongKeys = term.Keys{}
	goal := map[pitch.Num]bool{}
	for _, k := range f.Goal.Slice() {
		goal[k] = true
	}
	for _, k := range f.Heard.Slice() {
		if !goal[k] {
			v.wrongKeys.Add(uint8(k))
		}
	}
}

// clear forgets what was said before a break.
func (v *view) clear() { v.correction, v.good = "", "" }

// praiseTime is how long praise stays.
const praiseTime = 1500 * time.Millisecond

// wellDone is the usual praise; other praise stays until it has been read.
const wellDone = "that's it"

func (v *view) praise(found []finding.Finding, now time.Duration) {
	for i := range found {
		switch {
		case found[i].Kind != finding.Right:
			v.good = ""
		case v.good == "" || v.good == wellDone || now >= v.praised+praiseTime:
			v.cheer(wellDone, now)
		}
	}
}

func (v *view) cheer(text string, now time.Duration) { v.good, v.praised = text, now }

// read keeps corrections to be read when a pass is over.
func (v *view) read(items []sitting.Item) {
	v.told = nil
	for _, i := range items {
		v.told = append(v.told, words.Line(i))
	}
}

// state draws up what is to be seen now.
func (v *view) state(s *Session) term.State {
	o := s.o
	st := term.State{
		Title: o.Heading.Name(), Key: o.Score.Key.String(), Pattern: o.Score.Pattern.Name,
		Meter: o.Score.Meter, Tempo: s.tempo, Level: o.Level.Name,
		Current: -1, Beats: o.Score.Meter.Beats(), LowKey: uint8(v.low), HighKey: uint8(v.high),
		Right: s.right, Wrong: s.wrong, Bars: v.printed(1),
	}
	if o.Heading.With != "" {
		st.Pattern += ", undersong plays the " + words.WithText(o.Heading.With)
	}
	v.sound(s, &st)
	switch s.stage {
	case ready:
		v.waiting(s, &st)
	case away:
		st.Phase, st.Notice = term.Waiting, unplugged(s.port)
	case playing:
		v.place(s, &st)
	case ended:
		st.Phase, st.Summary = term.Finished, v.summary(s.Summary())
	}
	return st
}

// waiting is what stands there until a key is played.
func (v *view) waiting(s *Session, st *term.State) {
	st.Phase, st.Notice = term.Waiting, "play any key to begin"
	switch {
	case s.o.Follow:
		st.Notice = "you lead: play when you like"
	case s.take != nil && s.o.apart():
		st.Phase = term.Finished
		st.Summary = append(v.summary(s.passOver()), strings.TrimSpace(v.notice+" Play any key to go on; q ends."))
	case s.take != nil:
		st.Notice = "play any key to go on"
	}
}

// summary is a summary with the corrections that were kept for it.
func (v *view) summary(s sitting.Result) []string {
	return slices.Insert(words.SummaryLines(s), 1, v.told...)
}

// sound is what is held and heard.
func (v *view) sound(s *Session, st *term.State) {
	st.Down = term.Keys(s.ear.Down())
	is := s.ear.Heard()
	if st.Heard = words.SoundName(&is); !is.Chord.IsNone() {
		st.HeardWords = is.Chord.Words()
	}
}

// place is where the music is and what comes.
func (v *view) place(s *Session, st *term.State) {
	t := s.take
	p := t.position(s.now)
	v.stand(t.score, &p, st)
	switch {
	case p.Pass < 0:
		st.Phase, st.CountIn, st.Beat = term.CountIn, v.countLeft(t, s.now), 0
		st.Notice = v.notice
	case s.lost:
		st.Phase = term.Lost
	}
	if s.o.Loop {
		st.Pass = t.passes + max(0, p.Pass) + 1
	}
	if s.o.Follow {
		st.Tempo = meter.Tempo(math.Round(float64(t.engine.Tempo())))
	}
	if s.o.After {
		v.onlyListening(s, &p, st)
		return
	}
	if p.Ended {
		st.Beat = 0
	} else {
		v.wanted(t, s.now, st)
		v.ahead(t.score, max(0, p.At), st)
	}
	v.words(s, st)
}

// stand shows a place in the chart.
func (v *view) stand(s *score.Score, p *follow.Position, st *term.State) {
	bar := s.Bars[p.Bar]
	st.Phase, st.Current = term.Playing, bar.Printed-v.first
	st.Bars = v.printed(bar.Pass)
	st.Beat = p.Beat
	if names := bar.Playing(); names != "" {
		st.Pattern = names
	}
	if bar.Len < s.Meter.Bar() && bar.Number == 0 { // an upbeat's beats are the bar's last
		st.Beat += s.Meter.BeatAt(s.Meter.Bar()-bar.Len) - 1
	}
}

// onlyListening leaves the player alone until the pass is over. One who leads
// round and round gets no pause to read in: the worst is told in the next first bar.
func (v *view) onlyListening(s *Session, p *follow.Position, st *term.State) {
	st.Right, st.Wrong = 0, 0
	if s.take.loop && p.Pass > 0 && p.Bar == 0 && len(v.told) > 0 {
		st.Correction = v.told[0]
	}
}

// countLeft is how many beats of the count-in are still to come, this one
// included.
func (v *view) countLeft(t *take, now time.Duration) int {
	left := t.engine.Click.Start - now
	beats := int(math.Ceil(float64(left) / float64(t.engine.Click.Beat())))
	return min(beats, len(t.clicks.countIn))
}

// words are the correction or praise.
func (v *view) words(s *Session, st *term.State) {
	switch {
	case v.correction != "" && (s.now < v.until || s.lost):
		st.Correction, st.CorrectionBar = v.correction, v.bar
		for k := range uint8(128) {
			if v.wrongKeys.Has(k) && st.Down.Has(k) {
				st.WrongKeys.Add(k)
			}
		}
	case v.good != "" && s.now < v.praised+praiseTime:
		st.Praise = v.good
	}
}

// grace is the part of a beat for which a stroke stays wanted after its time.
const grace = 0.25

// wanted is the next stroke, or the one that is just due.
func (v *view) wanted(t *take, now time.Duration, st *term.State) {
	since := now - time.Duration(grace*float64(t.lasts(t.score.Meter.Beat())))
	if t.clicks != nil {
		since = max(since, t.engine.Click.Start)
	}
	at := t.position(since).At
	var parts []string
	found := meter.Ticks(-1)
	for i := range t.score.Wants {
		w := &t.score.Wants[i]
		if w.At < at || found >= 0 && w.At != found || !t.score.Only.Judges(w.Hand) {
			continue
		}
		found = w.At
		st.Wanted = w.Chord.String()
		parts = append(parts, detail(t.voice, w))
		for _, k := range w.Keys() {
			st.WantedKeys.Add(uint8(k))
		}
	}
	st.WantedDetail = strings.Join(parts, " and ")
}

func detail(voice *words.Voice, w *score.Want) string {
	if w.Whole && w.Inversion == pattern.AnyInversion {
		return "chord"
	}
	return voice.WantName(w)
}

// ahead is the next change of chord.
func (v *view) ahead(s *score.Score, at meter.Ticks, st *term.State) {
	i := s.HarmonyAt(at)
	if i+1 >= len(s.Harmonies) {
		return
	}
	beat := s.Meter.Beat()
	st.NextChord = s.Harmonies[i+1].Chord.String()
	st.BeatsToNext = int((s.Harmonies[i].End - at + beat - 1) / beat)
}

// printed are the bars as the chart sets them out, with the words of one time
// through.
func (v *view) printed(pass int) []term.Bar {
	if bars, ok := v.bars[pass]; ok {
		return bars
	}
	var bars []term.Bar
	n := 0
	for _, section := range v.chart.Sections {
		name := section.Name
		for _, line := range section.Lines {
			first := true
			for i := range line.Bars {
				if n >= v.first && n <= v.last {
					bars = append(bars, v.barOf(&line.Bars[i], name, first, pass))
					name, first = "", false
				}
				n++
			}
		}
	}
	v.bars[pass] = bars
	return bars
}

func (v *view) barOf(b *chart.Bar, section string, newLine bool, pass int) term.Bar {
	out := term.Bar{Number: b.Number, Section: section, NewLine: newLine}
	for _, p := range b.Chords {
		out.Chords = append(out.Chords, term.ChordAt{Name: p.Chord.String(), Beat: v.chart.Meter.BeatAt(p.At)})
	}
	if n := len(b.Lyrics); n > 0 {
		out.Lyric = b.Lyrics[min(max(pass, 1), n)-1]
	}
	return out
}
