package coach

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// ring is how many strokes of one hand are remembered: the open one, and those
// whose notes still sound.
const ring = 16

// slot is one wanted stroke in one pass, and what has come of it.
type slot struct {
	index    int // which stroke of the line, counted through all passes; -1 unused
	matched  uint32
	heard    finding.Keys
	foreign  int // notes heard that belong to nothing wanted
	judged   bool
	complete bool
	octave   bool // a figure's note came in another octave
	sumAt    time.Duration
	struck   int // notes in sumAt
	firstAt  time.Duration
	velocity int  // their sum
	sung     int  // of the highest, which is the tune's; 0 in what plays no tune
	buried   bool // another note than the tune's was highest
	sounding int
	ideal    finding.Keys // where the hand should have been, after a wrong inversion
	early    finding.Keys // the right notes, struck long before their time
	earlyAt  time.Duration
	doneAt   time.Duration
}

// line is one hand's wanted strokes, in time, and the hand itself.
type line struct {
	score  *score.Score
	click  *follow.Click // nil where the player leads
	loops  bool
	hand   pattern.Hand
	wants  []int32         // indexes into score.Wants
	due    []time.Duration // when they sound in a pass; nil where the player leads
	top    []pitch.Num
	reach  time.Duration // how far from its time a stroke may still be meant
	cursor int           // the first stroke that is not over
	slots  [ring]slot
	drift  int  // where the hand plays against the demonstration, in semitones
	shift  int  // the octaves, in semitones, by which its figures lie off
	lift   int  // the same of its last chord, whose notes a figure may take up
	loose  bool // the figure's beginning was not heard: its octave is not known
}

func newLine(s *score.Score, c *follow.Click, h pattern.Hand) *line {
	l := &line{score: s, click: c, hand: h}
	if c != nil {
		l.loops = c.Loop
		// A stroke more than three quarters of a beat away is another stroke.
		l.reach = c.Beat() * 3 / 4
	}
	for i := range s.Wants {
		if s.Wants[i].Hand == h {
			l.wants = append(l.wants, int32(i))
			if c != nil {
				l.due = append(l.due, s.Time(s.Wants[i].At))
			}
		}
	}
	l.top = highest(s, l.wants)
	for i := range l.slots {
		l.slots[i].index = -1
	}
	return l
}

// highest is, for each want, the highest key that the hand is asked for within
// the same harmony.
func highest(s *score.Score, wants []int32) []pitch.Num {
	byHarmony := map[int]pitch.Num{}
	for _, i := range wants {
		w := &s.Wants[i]
		byHarmony[w.Harmony] = max(byHarmony[w.Harmony], w.Tones[len(w.Tones)-1].Key)
	}
	top := make([]pitch.Num, len(wants))
	for n, i := range wants {
		top[n] = byHarmony[s.Wants[i].Harmony]
	}
	return top
}

// free reports a hand without a row, which plays what it likes.
func (l *line) free() bool { return len(l.wants) == 0 }

// over reports that no stroke is left.
func (l *line) over() bool {
	return l.free() || !l.loops && l.cursor >= len(l.wants)
}

func (l *line) want(j int) *score.Want { return &l.score.Wants[l.wants[j%len(l.wants)]] }

// time is when stroke j is due.
func (l *line) time(j int) time.Duration {
	return l.click.PassStart(j/len(l.wants)) + l.due[j%len(l.wants)]
}

// gap is the time from stroke j to the next.
func (l *line) gap(j int) time.Duration {
	if !l.loops && j+1 >= len(l.wants) {
		return 2 * l.reach
	}
	return l.time(j+1) - l.time(j)
}

// opens and closes bound the time in which a note may be meant for stroke j:
// halfway to its neighbours, and no further than the hand's reach.
func (l *line) opens(j int) time.Duration {
	before := l.reach
	if j > 0 {
		before = min(before, l.gap(j-1)/2)
	}
	return l.time(j) - before
}

func (l *line) closes(j int) time.Duration {
	return l.time(j) + min(l.reach, l.gap(j)/2)
}

// tolerance is how far from its time stroke j is right.
func (l *line) tolerance(j int, level Level) time.Duration {
	gap := l.gap(j)
	if j > 0 {
		gap = min(gap, l.gap(j-1))
	}
	wide := max(level.Timing, time.Duration(level.OfBeat*float64(l.click.Beat())))
	return min(wide, time.Duration(level.Crowding*float64(gap)))
}

// away is how far a time is from that of stroke j, as a part of the hand's reach
// in hundredths. Where the player leads, the time is right.
func (l *line) away(j int, at time.Duration) int {
	if l.click == nil {
		return 0
	}
	d := at - l.time(j)
	return int(100 * max(d, -d) / l.reach)
}

// attempt is how far before or after its time wrong notes still count as a try
// at stroke j: further off they are a stroke of their own, and the right notes,
// if early, wait to see whether others come nearer.
func (l *line) attempt(j int, level Level) (before, after time.Duration) {
	reach := float64(max(2*level.Timing, l.reach*2/5))
	before = time.Duration(min(reach, tried*float64(l.time(j)-l.opens(j))))
	after = time.Duration(min(reach, tried*float64(l.closes(j)-l.time(j))))
	inTime := l.tolerance(j, level)
	return max(before, inTime), max(after, inTime)
}

// tried is the part of the way to the next stroke within which a wrong one is
// meant for this.
const tried = 0.7

// open is the stroke that a note struck now would be meant for, or -1. Strokes
// that are over must have been closed before.
func (l *line) open(now time.Duration) int {
	if l.over() || now < l.opens(l.cursor) {
		return -1
	}
	return l.cursor
}

// at is the slot of stroke j, made ready where it is met for the first time.
func (l *line) at(j int) *slot {
	s := &l.slots[j%ring]
	if s.index != j {
		*s = slot{index: j}
	}
	return s
}

// place is the key around which the hand is expected for stroke j.
func (l *line) place(j int) int {
	w := l.want(j)
	lo, hi := w.Tones[0].Key, w.Tones[len(w.Tones)-1].Key
	return int(lo+hi)/2 + l.drift
}

// strokeOf is the stroke of a want in a pass, where it is still remembered.
func (l *line) strokeOf(want, pass int) (int, bool) {
	for i := range l.slots {
		j := l.slots[i].index
		if j >= 0 && j/len(l.wants) == pass && int(l.wants[j%len(l.wants)]) == want {
			return j, true
		}
	}
	return 0, false
}

// moved notes where the hand really was.
func (l *line) moved(j int, keys *finding.Keys) {
	if keys.Len() == 0 {
		return
	}
	l.drift = 0
	l.drift = int(keys.At(0)+keys.At(keys.Len()-1))/2 - l.place(j)
	if l.want(j).Role == score.Block {
		l.lift = octaves(l.drift)
	}
}

// fit says how a key serves stroke j.
type fit uint8

const (
	foreign  fit = iota
	doubling     // a chord tone that is there already, or one more of the chord
	wanted
)

// match finds the tone of stroke j that a key serves, given those already
// served. octave reports a figure's note in another octave than its figure.
func (l *line) match(w *score.Want, key pitch.Num, served uint32) (f fit, tone int, octave bool) {
	c := key.Class()
	for i := range w.Tones {
		t := &w.Tones[i]
		if served>>uint(i)&1 == 1 || !t.Accept.Has(c) {
			continue
		}
		off := w.Role == score.Figure && !t.AnyOctave && !w.Anchor && !l.loose && key != t.Key+pitch.Num(l.shift) && key != t.Key+pitch.Num(l.lift)
		return wanted, i, off
	}
	if (w.Whole || w.Role == score.Melody && len(w.Tones) > 1) && w.Allowed.Has(c) || serves(w, c) {
		return doubling, -1, false
	}
	return foreign, -1, false
}

func serves(w *score.Want, c pitch.Class) bool {
	var all chord.Set
	for i := range w.Tones {
		all |= w.Tones[i].Accept
	}
	return (len(w.Tones) > 1 || w.Role == score.Bass || w.Role == score.Melody && w.Tones[0].Accept != chord.Set(0).With(c)) && all.Has(c)
}

// lacking counts the required tones that are not served.
func lacking(w *score.Want, served uint32) int {
	n := 0
	for i := range w.Tones {
		if served>>uint(i)&1 == 0 && !w.Tones[i].Optional {
			n++
		}
	}
	return n
}
