package sitting

import "time"

// Teller is a sitting's clock, and what it tells until that is taken.
type Teller struct {
	Began, Now time.Duration
	told       []Record
}

// Open begins to tell, with a piece and a notice, which may be none.
func (t *Teller) Open(now time.Duration, p *Piece, opening Notice) {
	t.Began, t.Now = now, now
	t.Tell(Record{Piece: p})
	if opening.Kind != NoNotice {
		t.Notice(opening)
	}
}

// Tell tells something now.
func (t *Teller) Tell(r Record) {
	r.At = t.Length()
	t.told = append(t.told, r)
}

// Notice tells a notice.
func (t *Teller) Notice(n Notice) { t.Tell(Record{Notice: &n}) }

// Refuse tells that a command cannot be done now.
func (t *Teller) Refuse(c Command) { t.Notice(Notice{Kind: NotNow, Command: c.Do}) }

// Length is how long the sitting has lasted.
func (t *Teller) Length() time.Duration { return t.Now - t.Began }

// Reach lets time pass; it never goes back.
func (t *Teller) Reach(now time.Duration) { t.Now = max(t.Now, now) }

// Take is what was told since the last time.
func (t *Teller) Take() []Record {
	told := t.told
	t.told = nil
	return told
}
