package sitting

import (
	"slices"

	"undersong/internal/judge/finding"
)

// Turn is one time of playing a bar, among all times in a session. The zero Turn
// is the first.
type Turn struct {
	Round int // begun anew: after a break, or where a player who leads went back
	Pass  int // through the score, from 0
}

// Before reports that t was earlier than u.
func (t Turn) Before(u Turn) bool {
	return t.Round < u.Round || t.Round == u.Round && t.Pass < u.Pass
}

// Turns tells which turn a finding belongs to.
type Turns struct {
	Led bool // the player leads, and may go back within a pass

	round int
	pass  int // where the player was last heard
	bar   int
}

// Again begins a round, as after a break.
func (t *Turns) Again() { t.round++ }

// Round is the present round.
func (t *Turns) Round() int { return t.round }

// Of is the turn of a finding made in a pass, counted from 0. Findings come in
// the order in which they were made.
func (t *Turns) Of(f *finding.Finding, pass int) Turn {
	if t.Led && here(f.Kind) {
		if pass < t.pass || pass == t.pass && f.Bar < t.bar {
			t.round++
		}
		t.pass, t.bar = pass, f.Bar
	}
	return Turn{t.round, pass}
}

// here reports a kind that is told where the player is; others look back.
func here(k finding.Kind) bool {
	return k == finding.Right || k >= finding.WrongNote && k < finding.Lost
}

// Picture is how each bar went the last time it was played, by rising numbers.
// The zero value is empty.
type Picture []LastTime

// LastTime is how a bar went the last time it was played.
type LastTime struct {
	Bar   int // as printed
	Turn  Turn
	Worst finding.Kind // the most important kind of finding in it
}

// Add takes a finding of a kind in a bar.
func (p *Picture) Add(bar int, t Turn, k finding.Kind) {
	i, known := p.find(bar)
	if !known {
		*p = slices.Insert(*p, i, LastTime{bar, t, k})
		return
	}
	switch l := &(*p)[i]; {
	case l.Turn.Before(t):
		*l = LastTime{bar, t, k}
	case l.Turn == t:
		l.Worst = max(k, l.Worst)
	}
}

func (p Picture) find(bar int) (int, bool) {
	return slices.BinarySearchFunc(p, bar, func(l LastTime, bar int) int { return l.Bar - bar })
}

// Clone is a copy that stays as it is.
func (p Picture) Clone() Picture { return slices.Clone(p) }

// Last is the worst kind in a bar, the last time it was played; ok is false where
// nothing was judged.
func (p Picture) Last(bar int) (worst finding.Kind, ok bool) {
	i, ok := p.find(bar)
	if !ok {
		return 0, false
	}
	return p[i].Worst, true
}
