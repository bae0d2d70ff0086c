package sitting

import (
	"bytes"
	"encoding/json"
	"slices"
)

// kept is how many records a Log keeps for faces that slept.
const kept = 512

// Log numbers what a sitting tells and shows, so that a face that slept can ask for
// what changed meanwhile.
type Log struct {
	sitting Sitting
	seq     int
	state   State    // as last looked at, whole
	changed changes  // the numbers with which its parts last changed
	records []Record // the latest
	taken   int      // the number of the last that Take gave
	dropped int      // and of the last that is not kept any more
}

// changes are numbers of the parts of a State.
type changes struct{ piece, where, sound, wanted, told, search, menu, result int }

// NewLog keeps the log of a sitting.
func NewLog(s Sitting) *Log { return &Log{sitting: s} }

// Take is what was told since the last time, numbered.
func (l *Log) Take() []Record {
	if over := len(l.records) - kept; over > 0 {
		l.dropped = l.records[over-1].Seq
		l.records = slices.Delete(l.records, 0, over)
	}
	l.hear()
	told := l.after(l.taken)
	l.taken = l.seq
	return told
}

// hear numbers what the sitting told.
func (l *Log) hear() {
	for _, r := range l.sitting.Take() {
		l.seq++
		r.Seq = l.seq
		l.records = append(l.records, r)
	}
}

func (l *Log) after(seq int) []Record {
	n := len(l.records)
	for n > 0 && l.records[n-1].Seq > seq {
		n--
	}
	return slices.Clone(l.records[n:])
}

// State is all that there is to see, without records.
func (l *Log) State() State {
	l.look()
	return l.state
}

// look sees what changed.
func (l *Log) look() {
	now := l.sitting.State()
	next := l.seq + 1
	note := func(at *int, same bool) {
		if !same {
			*at, l.seq = next, next
		}
	}
	was := &l.state
	first := was.Piece == nil
	note(&l.changed.piece, !first && now.Piece == was.Piece)
	note(&l.changed.where, !first && *now.Where == *was.Where)
	note(&l.changed.sound, !first && *now.Sound == *was.Sound)
	note(&l.changed.wanted, !first && *now.Wanted == *was.Wanted)
	note(&l.changed.told, !first && now.Told.same(was.Told))
	note(&l.changed.search, !first && now.Search.same(was.Search))
	note(&l.changed.menu, !first && now.Menu.same(was.Menu))
	note(&l.changed.result, !first && now.Result.same(was.Result))
	now.Seq = l.seq
	l.state = now
}

func (t *Told) same(u *Told) bool {
	return t.Praise == u.Praise && t.Cause == u.Cause && t.Notice == u.Notice && t.Right == u.Right && t.Wrong == u.Wrong && t.Fresh == u.Fresh &&
		slices.Equal(t.Read, u.Read) && slices.EqualFunc(t.Found, u.Found, slices.Equal[[]Item])
}

func (s *Search) same(t *Search) bool {
	return s.Phrase == t.Phrase && s.Found == t.Found && s.Notes == t.Notes && s.Asked == t.Asked && s.From == t.From && slices.Equal(s.Phrases, t.Phrases)
}

func (m *Menu) same(n *Menu) bool {
	return m.Piano == n.Piano && m.AtPiano == n.AtPiano && slices.Equal(m.Choices, n.Choices)
}

func (r *Result) same(s *Result) bool {
	if r == s {
		return true
	}
	a, err := json.Marshal(r)
	b, err2 := json.Marshal(s)
	return err == nil && err2 == nil && bytes.Equal(a, b)
}

// Since is what changed after a number that a State or a Record bore: the parts that
// did, and what was told.
func (l *Log) Since(seq int) State {
	l.hear()
	l.look()
	s := State{Seq: l.seq, Records: l.after(seq), Missed: l.dropped > seq}
	c, now := &l.changed, &l.state
	s.Piece = since(c.piece, seq, now.Piece)
	s.Where = since(c.where, seq, now.Where)
	s.Sound = since(c.sound, seq, now.Sound)
	s.Wanted = since(c.wanted, seq, now.Wanted)
	s.Told = since(c.told, seq, now.Told)
	s.Search = since(c.search, seq, now.Search)
	s.Menu = since(c.menu, seq, now.Menu)
	s.Result = since(c.result, seq, now.Result)
	return s
}

func since[T any](changed, seq int, part *T) *T {
	if changed > seq {
		return part
	}
	return nil
}

// Merge brings a State up to date with what changed since.
func (s *State) Merge(changed State) {
	s.Seq, s.Records, s.Missed = changed.Seq, changed.Records, changed.Missed
	merge(&s.Piece, changed.Piece)
	merge(&s.Where, changed.Where)
	merge(&s.Sound, changed.Sound)
	merge(&s.Wanted, changed.Wanted)
	merge(&s.Told, changed.Told)
	merge(&s.Search, changed.Search)
	merge(&s.Menu, changed.Menu)
	merge(&s.Result, changed.Result)
}

func merge[T any](part **T, changed *T) {
	if changed != nil {
		*part = changed
	}
}

// NewState is a whole State in which nothing goes on.
func NewState(p *Piece) State {
	return State{
		Piece: p, Where: &Where{Bar: -1}, Sound: &Sound{}, Wanted: &Wanted{Wants: [2]int{-1, -1}}, Told: &Told{},
		Search: &Search{}, Menu: &Menu{}, Result: nothing,
	}
}

// nothing is the result before there is one to read.
var nothing = &Result{}
