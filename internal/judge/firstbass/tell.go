package firstbass

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/meter"
)

// fault is what makes two mistakes the same.
type fault struct {
	printed int
	kind    finding.Kind
}

// tell tells a correction, one each time that a bar is played.
func (l *Listener) tell(v *visit, f finding.Finding, pos meter.Ticks, now time.Duration) {
	if v.told {
		return
	}
	v.told = true
	f.Bar, f.Pass, f.At = v.bar, v.turn, now
	f.Beat = beatIn(l.s, v.bar, pos)
	key := fault{l.s.Bars[v.bar].Number, f.Kind}
	f.Again = l.memory[key]
	l.memory[key]++
	l.summary.add(l.s, &f)
	l.found = append(l.found, f)
}

// praise tells a bar that is right.
func (l *Listener) praise(v *visit, now time.Duration) {
	v.right = true
	b := v.basses[0]
	end := l.barEnd(v.bar)
	if len(v.basses) > 1 {
		end = max(b.pos+1, v.basses[1].pos)
	}
	f := wrong(finding.Right, b.chord, b.key, 0, nil)
	f.Bar, f.Pass, f.At, f.Beat = v.bar, v.turn, now, beatIn(l.s, v.bar, b.pos)
	f.Bass.Speaks = finding.FewOf(l.th.SpeaksFor(b.chord, b.pos, end)...)
	for k := range l.memory {
		if k.printed == l.s.Bars[v.bar].Number {
			f.Mended = true
			delete(l.memory, k)
		}
	}
	l.summary.add(l.s, &f)
	l.found = append(l.found, f)
}

// enter keeps how a visit went.
func (l *Listener) enter(v *visit) {
	if v.full && v.right && !v.told {
		l.summary.bass(v)
	}
}
