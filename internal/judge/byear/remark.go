package byear

// remark is what was said at the note that is looked for.
type remark struct {
	pos, shift int
	said       Way
	tries      int // when it was said
	times      int
	once       bool // that the phrase is to be begun again, since a phrase was right
	octave     int  // the last note of which it was said that it lies in another octave, counted from 1
	paused     bool // the pause after the last key is over
}

const (
	// patience is how many wrong tries go without a word, before each word.
	patience = 2
	// mostWords are said at one note.
	mostWords = 3
	// tooLong is how many wrong tries at one note are too many: going on from the
	// beginning of the phrase helps the ear more than another word.
	tooLong = 7
)

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

func (e *Ear) sayOctave(best *reading) {
	agree := func(k *reading) bool { return k.step == octave && k.pos == best.pos }
	if e.remark.octave == best.pos+1 || !e.heard.agree(sure, agree) {
		return
	}
	e.remark.octave = best.pos + 1
	e.found(OtherOctave, best.pos, Way{})
}

// sayGap tells of a phrase that came to its end with a note left out.
func (e *Ear) sayGap(best *reading) {
	gap := func(k *reading) bool { return k.pos == best.pos && !k.pass.entire }
	if e.remark.once || best.pass.notes < 2 || !e.Tune.ends(best.pos) || !e.heard.agree(sure, gap) {
		return
	}
	e.remark.once = true
	e.found(OnceMore, best.pos, Way{})
	e.out[len(e.out)-1].Gap = true
}

func (e *Ear) sayWrong(best *reading, paused bool) {
	if best.pos+1 >= len(e.Tune.keys) || best.tries < patience && !paused {
		return
	}
	r := &e.remark
	if r.pos != best.pos || r.shift != best.shift || best.tries < r.tries {
		r.pos, r.shift, r.times, r.tries = best.pos, best.shift, 0, -patience
	}
	if best.tries >= tooLong {
		e.sayOnceMore(best)
		return
	}
	way := e.way(best)
	known := r.times > 0 && r.said == way
	margin := verySure
	if paused || best.tries > patience {
		margin = sure
	}
	if known || r.times == mostWords || best.tries < r.tries+patience || !e.heard.agree(margin, func(k *reading) bool { return e.stillWrong(k, way) }) {
		return
	}
	r.said, r.tries = way, best.tries
	r.times++
	e.found(Direction, best.pos+1, way)
}

// sayOnceMore tells, once, a student who looks for a note too long.
func (e *Ear) sayOnceMore(best *reading) {
	if e.remark.once || !e.heard.agree(sure, func(k *reading) bool { return k.step == wrong }) {
		return
	}
	e.remark.once = true
	e.found(OnceMore, best.pos+1, Way{})
}

func (e *Ear) stillWrong(k *reading, way Way) bool {
	return k.step == wrong && k.pos+1 < len(e.Tune.keys) && e.way(k).Up == way.Up
}

// way is where the note that a reading wants lies from the one just played.
func (e *Ear) way(k *reading) Way {
	wanted := e.Tune.keys[k.pos+1] + k.shift
	from := e.Tune.keys[k.pos] + k.shift
	off := wanted - e.last.key
	w := Way{Up: off > 0, Size: sizeOf(off)}
	w.More = w.Up && e.last.key > from || !w.Up && e.last.key < from
	return w
}

func (e *Ear) found(k Kind, pos int, w Way) {
	p := e.Tune.phrase[pos]
	e.out = append(e.out, Finding{At: e.now, Kind: k, Phrase: p, Note: pos - e.Tune.starts[p], Way: w, Shift: e.place.Shift})
}
