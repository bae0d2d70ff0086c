package firstbass

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// judge takes keys struck together under the tune, low to high, at a place in a
// bar.
func (l *Listener) judge(v *visit, group []struck, pos meter.Ticks, now time.Duration) {
	if g := v.before(&l.keys); l.beginsBass(v, g, group[0], pos) {
		if v == l.here {
			l.closeBefore(now) // its bass cannot come any more
		}
		v.begin(l.placedBass(group[0], pos))
		l.judgeBass(v, group, now)
		group = group[1:]
	}
	if f := v.last(); f == nil && v.carried != nil && len(group) > 0 {
		v.begin(l.placedBass(v.carried.struck, l.s.Bars[v.bar].At)) // what is struck above it makes it this bar's own
	}
	for _, k := range group {
		l.judgeUpper(v, k, now)
	}
	l.rejoice(v, now)
}

func (v *visit) begin(f placedBass) {
	v.basses = append(v.basses, f)
	v.moving = 0
}

// placedBass is a key as a bass at a place.
func (l *Listener) placedBass(k struck, pos meter.Ticks) placedBass {
	f := placedBass{struck: k, pos: pos, chord: -1, reach: pos}
	for i := range l.th.primary {
		if l.th.primary[i].Root.Class() == k.key.Class() {
			f.chord, f.reach = i, l.th.Stays(i, pos)
		}
	}
	return f
}

// beginsBass reports that a key begins a new bass, where before is the one before: a
// lower key does, and one that fits where nothing else holds it. What belongs to
// the chord on the bass that stands is part of it.
func (l *Listener) beginsBass(v *visit, before *placedBass, k struck, pos meter.Ticks) bool {
	is := l.placedBass(k, pos)
	if before == nil || k.key <= before.key {
		return l.low(k.key) || is.chord >= 0 && l.apart(k.key)
	}
	if before == v.carried {
		return is.chord >= 0 && (is.reach > pos || !l.chordal(before, k.key))
	}
	if l.keys.Down.Has(before.key) {
		return false
	}
	if is.chord < 0 {
		return l.o.Voicing == BassAlone && l.low(k.key) && !l.chordal(before, k.key)
	}
	if before.chord < 0 {
		return true
	}
	if l.chordal(before, k.key) {
		return before.reach <= pos && is.reach > pos
	}
	return is.reach > pos || l.o.Voicing == BassAlone
}

// chordal reports a key of the chord on a bass.
func (l *Listener) chordal(f *placedBass, k pitch.Num) bool {
	return f.chord >= 0 && l.th.primary[f.chord].Has(k.Class())
}

// low reports a key that stands apart from the tune. Closer ones may be slips of
// the hand that plays the tune.
func (l *Listener) low(k pitch.Num) bool {
	return k <= l.tr.lowNear(l.tr.bestO, l.heard)-aFifthBelow
}

// apart reports a key that is no slip to a key beside the tune's.
func (l *Listener) apart(k pitch.Num) bool {
	return k < l.tr.lowNear(l.tr.bestO, l.heard)-slipNear
}

// judgeBass tells what is wrong with the bass that was just struck, the lowest of
// a group.
func (l *Listener) judgeBass(v *visit, group []struck, now time.Duration) {
	f := v.last()
	choices := l.th.Choices(f.pos)
	switch {
	case f.chord < 0:
		kind := finding.NotRoot
		for _, k := range group[1:] {
			if is := l.placedBass(k, f.pos); is.chord >= 0 && is.reach > f.pos {
				kind = finding.NotLowest
			}
		}
		l.tell(v, wrong(kind, -1, f.key, l.nearest(f.key, choices), choices), f.pos, now)
	case f.reach == f.pos:
		l.tell(v, l.misfit(v, choices, f.pos), f.pos, now)
	}
}

// left tells that the tune has left a bass behind that fitted at first.
func (l *Listener) left(v *visit, now time.Duration) {
	v.moving = never
	f := v.last()
	told := l.misfit(v, l.th.Choices(f.reach), f.reach)
	told.Bass.Later = true
	l.tell(v, told, f.reach, now)
}

// misfit is the bass that stands, where the tune goes against it from a place on.
func (l *Listener) misfit(v *visit, choices []int, from meter.Ticks) finding.Finding {
	f := v.last()
	m := wrong(finding.Misfit, f.chord, f.key, l.nearest(f.key, choices), choices)
	m.Bass.Speaks = finding.FewOf(l.against(f.chord, from, l.barEnd(v.bar))...)
	return m
}

// wrong is a finding about a key, where the hand should go to a goal instead; 0 for
// none.
func wrong(k finding.Kind, chord int, key, goal pitch.Num, choices []int) finding.Finding {
	return finding.Finding{
		Kind: k, Want: -1, Second: -1, Heard: keyOf(key), Goal: keyOf(goal),
		Bass: finding.BassDetail{Chord: chord, Choices: finding.FewOf(choices...)},
	}
}

func keyOf(k pitch.Num) finding.Keys {
	if k == 0 {
		return finding.Keys{}
	}
	return finding.KeysOf(k)
}

// nearest is the root among choices that lies nearest to a key; 0 where there is
// no choice.
func (l *Listener) nearest(k pitch.Num, choices []int) pitch.Num {
	best := pitch.Num(0)
	for _, i := range choices {
		n := nearestOf(l.th.primary[i].Root.Class(), k)
		if best == 0 || distance(n, k) < distance(best, k) {
			best = n
		}
	}
	return best
}

func distance(a, b pitch.Num) pitch.Num { return max(a-b, b-a) }

// nearestOf is the key of a class at most six semitones from another key, on the
// piano.
func nearestOf(c pitch.Class, from pitch.Num) pitch.Num {
	return c.Near(from).Within(pitch.PianoLow, pitch.PianoHigh)
}

// against lists notes of the tune, each pitch class once, that are
// foreign to bass i and no mere ornaments; where all adorn it, the first foreign
// one.
func (l *Listener) against(i int, from, to meter.Ticks) []int {
	var all, spare []int
	var seen [12]bool
	b := &l.th.primary[i]
	for _, r := range l.th.runs(from, to) {
		c := l.s.Melody[r.first].Key().Class()
		if b.Has(c) || seen[c] {
			continue
		}
		if l.th.embellishes(b, r, from, to) {
			spare = append(spare, r.first)
			continue
		}
		seen[c] = true
		all = append(all, r.first)
	}
	if len(all) == 0 && len(spare) > 0 {
		return spare[:1]
	}
	return all
}

func beatIn(s *score.Score, bar int, pos meter.Ticks) float64 {
	b := &s.Bars[bar]
	return s.Meter.BeatAt(pos - b.At + s.Meter.Bar() - b.Len)
}
