// Package flow hears whether an accompaniment flows: a singer goes on, whatever the
// player does.
package flow

import (
	"math"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
)

// Flow hears where a player who leads stops, goes back, or has a beat too many or too
// few. Waiting is right where the chord is held, or struck again and again.
type Flow struct {
	score *score.Score

	begun bool
	pass  int
	at    meter.Ticks
	since time.Duration // when that was struck
	beat  time.Duration // how long one lasted there

	onset       time.Duration // the last stroke, of whatever
	silent, gap time.Duration // since then the longest silence, and time from one stroke to the next

	broke Break
}

// Break is where the order was left, or time was lost, and where playing went on.
type Break struct {
	Kind         finding.Kind // WentBack, Stopped or LostBeat
	Pass, ToPass int
	At, To       meter.Ticks   // the last place before it, and the first after it
	Left, Since  time.Duration // when these were struck
	Silent       time.Duration // how long nothing sounded between them
	Known        time.Duration // when it was
	Bar, ToBar   int           // of the places: indices into the score's bars
	Beats        int           // of a LostBeat: too many, or too few where negative
}

// Skips reports bars left out: all between the two places.
func (b *Break) Skips() bool { return b.Pass == b.ToPass && b.ToBar > b.Bar+1 }

// New makes a Flow for a player of s.
func New(s *score.Score) *Flow { return &Flow{score: s} }

// Stroke is a key struck by a player who leads.
type Stroke struct {
	Place  follow.Estimate
	Since  time.Duration // when the place was struck
	Beat   time.Duration // how long one lasts
	Silent time.Duration // for how long nothing had sounded before the key
	At     time.Duration
}

// Hear takes a key struck. It returns what broke the flow; ok is false where nothing did.
// Bar and Beat are where it broke, To where playing went on.
func (w *Flow) Hear(s *Stroke) (f finding.Finding, ok bool) {
	w.silent, w.gap, w.onset = max(w.silent, s.Silent), max(w.gap, s.At-w.onset), s.At
	p := &s.Place
	if p.Event < 0 || p.Lost || p.Extra || p.Confidence < likely {
		return f, false
	}
	ahead := p.At - w.at + meter.Ticks(p.Pass-w.pass)*w.score.Length
	if w.begun && ahead != 0 {
		f, ok = w.weigh(s, ahead)
	}
	if !w.begun || ahead != 0 {
		w.since, w.beat, w.silent, w.gap = s.Since, s.Beat, 0, 0
	}
	w.begun, w.pass, w.at = true, p.Pass, p.At
	return f, ok
}

// weigh compares the way from the place before with the time that it took.
func (w *Flow) weigh(s *Stroke, ahead meter.Ticks) (finding.Finding, bool) {
	if ahead < 0 {
		if w.vamp(s) {
			return finding.Finding{}, false
		}
		return w.tell(finding.WentBack, s, w.silent, 0), true
	}
	beat := float64(w.beat)
	wanted := w.elapsed(&s.Place) / float64(w.score.Meter.Beat()) * beat
	late := float64(s.Since-w.since) - wanted
	waited := min(late, float64(w.silent), float64(w.gap)-beat)
	if max(late, -late) < broken*wanted {
		return finding.Finding{}, false
	}
	if waited >= stopped*beat {
		return w.tell(finding.Stopped, s, w.silent, 0), true
	}
	if max(waited, -late) >= lost*beat {
		return w.tell(finding.LostBeat, s, 0, int(math.Round(late/beat))), true
	}
	return finding.Finding{}, false
}

// elapsed is the way from the place before, in ticks of the written tempo.
func (w *Flow) elapsed(p *follow.Estimate) float64 {
	return w.score.Elapsed(p.At) - w.score.Elapsed(w.at) + float64(p.Pass-w.pass)*w.score.Elapsed(w.score.Length)
}

// vamp reports a way back that is none: the same chord again, within a bar and without a
// pause.
func (w *Flow) vamp(s *Stroke) bool {
	p := &s.Place
	return p.Pass == w.pass && w.at-p.At <= w.score.Meter.Bar() && w.silent < w.beat &&
		w.score.HarmonyAt(p.At) == w.score.HarmonyAt(w.at)
}

// Broke is the break that Hear told last.
func (w *Flow) Broke() Break { return w.broke }

func (w *Flow) tell(k finding.Kind, s *Stroke, pause time.Duration, beats int) finding.Finding {
	bar := w.score.BarAt(w.at)
	w.broke = Break{
		Kind: k, Pass: w.pass, ToPass: s.Place.Pass, At: w.at, To: s.Place.At, Bar: bar, ToBar: s.Place.Bar,
		Left: w.since, Since: s.Since, Silent: w.silent, Known: s.At, Beats: beats,
	}
	return finding.Finding{
		Kind: k, Part: finding.BothHands, Bar: bar, Pass: w.pass, Beat: w.score.Meter.BeatAt(w.at - w.score.Bars[bar].At),
		At: s.At, Want: -1, Second: -1, Offset: pause, Flow: finding.FlowDetail{To: s.Place.Bar, Beats: beats},
	}
}

// Waits reports notes that fill a wait: none but the chord's where the player is.
func (w *Flow) Waits(f *finding.Finding) bool {
	if f.Kind != finding.Extra || !w.begun {
		return false
	}
	tones := w.score.Harmonies[w.score.HarmonyAt(w.at)].Chord.Set()
	for i := range f.Heard.Len() {
		if !tones.Has(f.Heard.At(i).Class()) {
			return false
		}
	}
	return true
}
