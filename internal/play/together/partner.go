// Package together plays a part after a player who leads: in the tempo just heard,
// no farther than the player's next stroke, and not at all where the place is lost.
package together

import (
	"math"
	"sort"
	"time"

	"undersong/internal/listen/follow"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/play/playback"
	"undersong/internal/sheet/score"
)

// same, in ticks, is how far apart places are one: the score counts in no less.
const same = 1.0

// Never is a time that does not come.
const Never = time.Duration(math.MaxInt64)

// Leader tells where the player is; a follow.Follower is one.
type Leader interface {
	Estimate() follow.Estimate
	TimeOf(pass int, at meter.Ticks) time.Duration
}

// Options say what is played, and after whom.
type Options struct {
	Parts   []playback.Part
	Loop    bool  // after the end the score begins again
	Channel uint8 // on the wire
}

// Partner plays a part after a player who leads. Each of its notes comes in one of two
// ways:
//
//   - One that falls on a stroke of the player's comes when that is heard. A guess at
//     its time would be early at every fermata and stop, and late or early by what the
//     tempo has changed; the sound that answers a key is a few milliseconds behind it,
//     which is less than players of an ensemble are apart (Rasch 1979, Acustica 43: 30
//     to 50 ms). It never comes where the player leaves that stroke out.
//   - One between two strokes of the player's comes when it is due by the tempo just
//     heard: nothing else tells its time. Where a player who lets go of what ends holds
//     it longer, as at a fermata, what follows waits until it is let go.
//
// So no note runs ahead of the player's next stroke, however long that is waited for.
// What the player has passed is left out. It reads no clock.
type Partner struct {
	score  *score.Score
	part   []step    // of one pass, by place; releases first
	onsets []float64 // the player's strokes in one pass
	ends   []float64 // and until when they last
	length float64   // of one pass
	o      Options

	begun bool
	lost  bool
	doubt bool          // the player's last stroke may stand elsewhere
	here  float64       // the player's last stroke
	since time.Duration // when it was struck
	heard time.Duration // and when that was known
	ahead float64       // the player's next stroke
	tempo tempo
	hold  hold

	next int           // step that comes, counted through all passes
	down keyboard.Set  // keys that sound
	last time.Duration // when one was struck, or the player was heard
}

// step is one message of the part and its place. Places count through all passes, in
// ticks as Score.Elapsed counts them.
type step struct {
	at float64
	ev event.Event
}

// New makes a partner for a player who is led through one score, of the player's
// strokes alone, and plays the parts of another, of all strokes.
func New(led, whole *score.Score, o Options) *Partner {
	p := &Partner{score: led, o: o, length: led.Elapsed(led.Length)}
	beat := led.Tempo.Duration(led.Meter.Beat(), led.Meter)
	p.tempo = newTempo(beat, float64(led.Meter.Beat()))
	for _, ev := range playback.NewPlayer(whole, playback.Options{Parts: o.Parts, Soft: true}).Pass(0) {
		at := float64(ev.At) / float64(beat) * p.tempo.unit
		ev.Status = ev.Kind() | o.Channel
		p.part = append(p.part, step{at, ev})
	}
	for i := range led.Wants {
		w := &led.Wants[i]
		at, end := led.Elapsed(w.At), led.Elapsed(w.At+w.Dur)
		if n := len(p.onsets); n == 0 || at > p.onsets[n-1] {
			p.onsets, p.ends = append(p.onsets, at), append(p.ends, end)
		}
		p.ends[len(p.ends)-1] = max(p.ends[len(p.ends)-1], end)
	}
	return p
}

// step is the step with a number; false where the part is over.
func (p *Partner) step(n int) (step, bool) {
	if len(p.part) == 0 || !p.o.Loop && n >= len(p.part) {
		return step{}, false
	}
	s := p.part[n%len(p.part)]
	s.at += float64(n/len(p.part)) * p.length
	return s, true
}

// from is the first step at or after a place.
func (p *Partner) from(place float64) int {
	pass := max(0, math.Floor(place/p.length))
	at := place - pass*p.length - same
	return int(pass)*len(p.part) + sort.Search(len(p.part), func(i int) bool { return p.part[i].at >= at })
}

// after is the player's next stroke after a place; infinity where there is none.
func (p *Partner) after(place float64) float64 {
	pass := max(0, math.Floor(place/p.length))
	at := place - pass*p.length
	i := sort.SearchFloat64s(p.onsets, at+same)
	switch {
	case i < len(p.onsets):
		return p.onsets[i] + pass*p.length
	case p.o.Loop:
		return p.onsets[0] + (pass+1)*p.length
	}
	return math.Inf(1)
}

// end is until where the player's stroke at a place lasts, or the next one; the last of a
// pass where there is none.
func (p *Partner) end(place float64) float64 {
	pass := max(0, math.Floor((place+same)/p.length))
	i := sort.SearchFloat64s(p.onsets, place-pass*p.length-same)
	return p.ends[min(i, len(p.ends)-1)] + pass*p.length
}

// bar is the first bar that begins at or after a place.
func (p *Partner) bar(pass int, at meter.Ticks) float64 {
	for i := range p.score.Bars {
		if b := p.score.Bars[i].At; b >= at {
			return p.place(pass, b)
		}
	}
	return p.place(pass+1, 0)
}

func (p *Partner) place(pass int, at meter.Ticks) float64 {
	return p.score.Elapsed(at) + float64(pass)*p.length
}

// Hear takes where the player is, after each key struck, at a time.
func (p *Partner) Hear(l Leader, now time.Duration, sound func(event.Event)) {
	est := l.Estimate()
	if est.Event < 0 || est.Extra && !est.Lost {
		return
	}
	here, since := p.place(est.Pass, est.At), l.TimeOf(est.Pass, est.At)
	switch {
	case est.Lost:
		p.lost = true
		p.quiet(sound)
	case !p.begun && here < p.place(0, p.score.Meter.Bar()):
		p.next = p.from(here)
	case !p.begun, p.lost, est.Jumped, here < p.here:
		p.quiet(sound)
		p.lost = false
		p.next = p.from(p.bar(est.Pass, est.At))
		p.tempo.forget()
	}
	if here != p.here || !p.begun {
		p.heard = now
		p.tempo.hear(here, since)
		p.hold.strike(p.end(here))
	}
	p.last = now
	p.begun, p.doubt = true, est.Confidence < likely
	p.here, p.since, p.ahead = here, since, p.after(here)
	p.pass(now, sound)
}

// pass leaves out what the player has passed, and ends what was to end there.
func (p *Partner) pass(now time.Duration, sound func(event.Event)) {
	for !p.lost {
		s, ok := p.step(p.next)
		if !ok || s.at >= p.here-same {
			return
		}
		p.next++
		if s.ev.IsNoteOff() {
			p.send(s.ev, now, sound)
		}
	}
}

// Next is when something is due; Never for nothing.
func (p *Partner) Next() time.Duration { return min(p.coming(), p.faded()) }

// faded is when what sounds ends though nobody plays on; Never where nothing sounds.
func (p *Partner) faded() time.Duration {
	if p.down == (keyboard.Set{}) {
		return Never
	}
	return p.last + longestHeld
}

// coming is when the next step is due; Never where it waits.
func (p *Partner) coming() time.Duration {
	s, ok := p.step(p.next)
	switch {
	case !ok || !p.begun || p.lost || p.doubt && s.ev.IsNoteOn():
		return Never
	case s.at < p.here+same:
		return p.heard
	case s.ev.IsNoteOff() && p.kept(s.at):
		return Never
	case s.ev.IsNoteOn() && s.at >= p.hold.end-same && p.hold.holds():
		return Never
	case s.at < p.ahead-same:
		return p.due(s.at)
	}
	return Never
}

// due is when a place after the player's last stroke sounds by the tempo.
func (p *Partner) due(at float64) time.Duration { return p.since + p.tempo.lasts(at-p.here) }

// kept reports that a note that ends at a place sounds until the player's next stroke:
// it ends with it, or shortly before, and nothing comes between.
func (p *Partner) kept(at float64) bool {
	if at < p.ahead-overlap*float64(p.score.Meter.Beat()) {
		return false
	}
	for n := p.next; ; n++ {
		s, ok := p.step(n)
		if !ok || s.at >= p.ahead-same {
			return true
		}
		if s.ev.IsNoteOn() {
			return false
		}
	}
}

// Play sounds what is due by now. A note that is too late is left out.
func (p *Partner) Play(now time.Duration, sound func(event.Event)) {
	for due := p.Next(); due <= now; due = p.Next() {
		if p.coming() > due {
			p.quiet(sound)
			return
		}
		s, _ := p.step(p.next)
		p.next++
		if s.ev.IsNoteOff() || now-due <= tooLate {
			p.send(s.ev, due, sound)
		}
	}
}

// send plays a message, but no release of what does not sound.
func (p *Partner) send(ev event.Event, at time.Duration, sound func(event.Event)) {
	key := pitch.Num(ev.Data1)
	if ev.IsNoteOff() && !p.down.Has(key) {
		return
	}
	if ev.IsNoteOn() {
		p.down.Add(key)
		p.last = at
	} else {
		p.down.Remove(key)
	}
	ev.At = at
	if sound != nil {
		sound(ev)
	}
}

// quiet ends every note.
func (p *Partner) quiet(sound func(event.Event)) {
	for _, k := range p.down.Keys() {
		p.send(event.Event{Status: event.NoteOff | p.o.Channel, Data1: uint8(k), Data2: 64}, p.heard, sound)
	}
}

// Stop ends the part, and every note of it.
func (p *Partner) Stop(sound func(event.Event)) {
	p.quiet(sound)
	p.begun, p.part = false, nil
}
