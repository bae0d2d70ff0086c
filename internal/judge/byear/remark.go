package byear

import (
	"time"

	"undersong/internal/judge/finding"
)

// remark is what was said at the note that is looked for.
type remark struct {
	pos, shift int
	said       finding.Way
	tries      int  // when it was said
	worded     bool // something was
	once       bool // that the phrase is to be begun again, since a phrase was right
	octave     int  // the last note of which it was said that it lies in another octave, counted from 1
	paused     bool // the pause after the last key is over
}

// say tells, after a key or in a pause, what helps with it. At most one thing.
func (e *Ear) say(paused bool) {
	best := e.heard.best()
	e.remark.paused = false
	switch {
	case best == nil:
	case best.step == octave:
		e.sayOctave(best)
	case best.step == wrong:
		e.sayWrong(best, paused)
	case best.step == skipped || best.step == right:
		e.sayGap(best)
	}
}

func (e *Ear) sayOctave(best *hypothesis) {
	agree := func(k *hypothesis) bool { return k.step == octave && k.pos == best.pos }
	if e.remark.octave == best.pos+1 || !e.heard.agree(sure, agree) {
		return
	}
	e.remark.octave = best.pos + 1
	e.found(finding.OtherOctave, best.pos)
}

// sayGap tells of a phrase that came to its end with a note left out.
func (e *Ear) sayGap(best *hypothesis) {
	gap := func(k *hypothesis) bool { return k.pos == best.pos && !k.pass.entire }
	if e.remark.once || !e.Tune.ends(best.pos) || !e.heard.agree(sure, gap) {
		return
	}
	e.remark.once = true
	e.found(finding.OnceMore, best.pos).Gap = true
}

func (e *Ear) sayWrong(best *hypothesis, paused bool) {
	if best.pos+1 >= len(e.Tune.keys) || best.tries < patience && !paused {
		return
	}
	r := &e.remark
	if r.pos != best.pos || r.shift != best.shift || best.tries < r.tries {
		r.pos, r.shift, r.worded, r.tries = best.pos, best.shift, false, -patience
	}
	if best.tries >= tooLong {
		e.sayOnceMore(best)
		return
	}
	way := e.way(best)
	known := r.worded && r.said == way
	margin := verySure
	if paused || best.tries > patience {
		margin = sure
	}
	if known || best.tries < r.tries+patience || !e.heard.agree(margin, func(k *hypothesis) bool { return e.stillWrong(k, way) }) {
		return
	}
	r.worded, r.said, r.tries = true, way, best.tries
	e.found(finding.Direction, best.pos+1).Way = way
}

// sayOnceMore tells, once, a student who looks for a note too long.
func (e *Ear) sayOnceMore(best *hypothesis) {
	if e.remark.once || !e.heard.agree(sure, func(k *hypothesis) bool { return k.step == wrong }) {
		return
	}
	e.remark.once = true
	e.found(finding.OnceMore, best.pos+1)
}

func (e *Ear) stillWrong(k *hypothesis, way finding.Way) bool {
	return k.step == wrong && k.pos+1 < len(e.Tune.keys) && e.way(k).Up == way.Up
}

// way is where the note that a hypothesis wants lies from the one just played.
func (e *Ear) way(k *hypothesis) finding.Way {
	wanted := e.Tune.keys[k.pos+1] + k.shift
	from := e.Tune.keys[k.pos] + k.shift
	off := wanted - e.last.key
	w := finding.Way{Up: off > 0, Size: finding.SizeOf(off)}
	w.More = w.Up && e.last.key > from || !w.Up && e.last.key < from
	return w
}

// found tells of the note at pos, and returns what is to be said besides.
func (e *Ear) found(k finding.Kind, pos int) *finding.TuneDetail {
	p, n := e.Tune.Whereabouts(pos)
	return e.add(k, e.now, finding.TuneDetail{Phrase: p, Note: n, Shift: e.place.Shift})
}

func (e *Ear) add(k finding.Kind, at time.Duration, d finding.TuneDetail) *finding.TuneDetail {
	e.out = append(e.out, finding.Finding{Kind: k, Part: finding.BothHands, At: at, Want: -1, Second: -1, Tune: d})
	return &e.out[len(e.out)-1].Tune
}
