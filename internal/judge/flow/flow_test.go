package flow

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/test/sounding"
)

// stroke is one at a place, counted in beats of 500 ms, at a beat in time, after so many
// beats without a sound.
type stroke struct{ place, time, silent float64 }

func (s stroke) played(w *Flow) *Stroke {
	at := meter.Ticks(s.place * float64(meter.Quarter))
	now := time.Second + time.Duration(s.time*float64(500*time.Millisecond))
	return &Stroke{
		Place: follow.Estimate{At: at, Bar: w.score.BarAt(at), Confidence: 1}, Since: now, Beat: 500 * time.Millisecond,
		Silent: time.Duration(s.silent * float64(500*time.Millisecond)), At: now,
	}
}

// In 4/4: C F G7 C, four beats each. The strokes are the last of each list after those
// on beats 1 to 4 of bar 1.
func TestWhatBreaksTheFlow(t *testing.T) {
	for name, c := range map[string]struct {
		strokes []stroke
		kind    finding.Kind // Right for none
		beats   int
	}{
		"in time":                              {[]stroke{{4, 4, 0.1}}, finding.Right, 0},
		"a third slower":                       {[]stroke{{4, 4.4, 0.4}}, finding.Right, 0},
		"a beat too many":                      {[]stroke{{4, 5, 1}}, finding.LostBeat, 1},
		"just not one":                         {[]stroke{{4, 4.7, 0.8}}, finding.Right, 0},
		"a beat too many, the chord held":      {[]stroke{{4, 5, 0}}, finding.Right, 0},
		"a beat too few of three: a tempo":     {[]stroke{{6, 5, 0.1}}, finding.Right, 0},
		"a beat too few of two":                {[]stroke{{5, 4, 0.1}}, finding.LostBeat, -1},
		"two beats too few":                    {[]stroke{{7, 5, 0.1}}, finding.LostBeat, -2},
		"a stop":                               {[]stroke{{4, 6.5, 2.5}}, finding.Stopped, 0},
		"a long wait, the chord held":          {[]stroke{{4, 20, 0.2}}, finding.Right, 0},
		"a long note, rather longer":           {[]stroke{{8, 9.4, 4}}, finding.Right, 0},
		"back a bar":                           {[]stroke{{8, 8, 0.1}, {4, 9, 0.1}}, finding.WentBack, 0},
		"back within a chord, after a silence": {[]stroke{{0, 6, 2}}, finding.WentBack, 0},
		"the chord's bar again: a vamp":        {[]stroke{{0, 4, 0.1}}, finding.Right, 0},
		"the chord's beat again: a vamp":       {[]stroke{{3, 4, 0.1}, {3, 5, 0.1}, {4, 6, 0.9}}, finding.Right, 0},
		"the rest of a chord, rolled":          {[]stroke{{4, 4, 0.1}, {4, 4.15, 0}}, finding.Right, 0},
	} {
		w := New(sounding.ScoreOf(t, "4/4", "| C | F | G7 | C |", "driving-quarters"))
		var told []finding.Finding
		for _, s := range append([]stroke{{0, 0, 2}, {1, 1, 0.1}, {2, 2, 0.1}, {3, 3, 0.1}}, c.strokes...) {
			if f, ok := w.Hear(s.played(w)); ok {
				told = append(told, f)
			}
		}
		if c.kind == finding.Right {
			assert.Empty(t, told, name)
			continue
		}
		if assert.Len(t, told, 1, name) {
			f := told[0]
			last := c.strokes[len(c.strokes)-1]
			assert.Equal(t, c.kind, f.Kind, name)
			assert.Equal(t, c.beats, f.Flow.Beats, name)
			assert.Equal(t, int(last.place)/4, f.Flow.To, name)
		}
	}
}

// Two bars of C, one of F: a way back within the chord is a vamp of a bar at most, and
// no pause may come before it.
func TestAVampIsABarAtMost(t *testing.T) {
	for name, c := range map[string]struct {
		from, to stroke
		vamp     bool
	}{
		"a bar back":                 {stroke{7, 7, 0.1}, stroke{3, 8, 0.1}, true},
		"more":                       {stroke{7, 7, 0.1}, stroke{2, 8, 0.1}, false},
		"a bar back after a silence": {stroke{7, 7, 0.1}, stroke{3, 9, 1}, false},
		"after a shorter one":        {stroke{7, 7, 0.1}, stroke{3, 8.9, 0.9}, true},
		"to another chord":           {stroke{8, 8, 0.1}, stroke{7, 9, 0.1}, false},
	} {
		w := New(sounding.ScoreOf(t, "4/4", "| C | C | F |", "driving-quarters"))
		w.Hear(c.from.played(w))
		f, ok := w.Hear(c.to.played(w))
		assert.Equal(t, !c.vamp, ok, name)
		if ok {
			assert.Equal(t, finding.WentBack, f.Kind, name)
		}
	}
}

// Of four bars that go round: sixteen beats. The pass is how many rounds on a stroke is.
func TestTheFlowGoesRound(t *testing.T) {
	for name, c := range map[string]struct {
		pass int
		s    stroke
		kind finding.Kind
	}{
		"the next round":                 {1, stroke{0, 16, 0.1}, finding.Right},
		"a beat later":                   {1, stroke{0, 17, 1.1}, finding.LostBeat},
		"a stop before it":               {1, stroke{0, 19, 3.1}, finding.Stopped},
		"a beat into the next round":     {1, stroke{1, 17, 0.1}, finding.Right},
		"a beat too few into it":         {1, stroke{1, 16, 0.1}, finding.LostBeat},
		"the round after the next":       {2, stroke{0, 16, 0.1}, finding.LostBeat},
		"the beginning, without a round": {0, stroke{0, 16, 0.1}, finding.WentBack},
	} {
		for _, first := range []int{0, 1, 5} {
			w := New(sounding.ScoreOf(t, "4/4", "| C | F | G7 | C |", "driving-quarters"))
			in := func(pass int, s stroke) *Stroke {
				p := s.played(w)
				p.Place.Pass = first + pass
				return p
			}
			w.Hear(in(0, stroke{14, 14, 0.1}))
			w.Hear(in(0, stroke{15, 15, 0.1}))
			f, _ := w.Hear(in(c.pass, c.s))
			assert.Equal(t, c.kind, f.Kind, "%s, from round %d", name, first+1)
		}
	}
}

// The bounds, after a stroke every beat of 500 ms.
func TestHowMuchBreaksTheFlow(t *testing.T) {
	for name, c := range map[string]struct {
		s    stroke
		kind finding.Kind
	}{
		"three quarters of a beat":              {stroke{4, 4.75, 1}, finding.LostBeat},
		"less":                                  {stroke{4, 4.74, 1}, finding.Right},
		"more, with less of silence":            {stroke{4, 5, 0.74}, finding.Right},
		"two beats":                             {stroke{4, 6, 2}, finding.Stopped},
		"two beats, with less of silence":       {stroke{4, 6, 1.9}, finding.LostBeat},
		"four tenths of a long way":             {stroke{11, 14.25, 8}, finding.Stopped},
		"less of it":                            {stroke{11, 14.15, 8}, finding.Right},
		"too soon by three quarters of a beat":  {stroke{4, 3.25, 0.1}, finding.LostBeat},
		"less too soon":                         {stroke{4, 3.26, 0.1}, finding.Right},
		"too soon by four tenths of a long way": {stroke{7, 5.35, 0.1}, finding.LostBeat},
		"by less of it":                         {stroke{7, 5.45, 0.1}, finding.Right},
	} {
		w := New(sounding.ScoreOf(t, "4/4", "| C | F | G7 | C |", "driving-quarters"))
		for _, s := range []stroke{{0, 0, 2}, {1, 1, 0.1}, {2, 2, 0.1}, {3, 3, 0.1}} {
			w.Hear(s.played(w))
		}
		f, _ := w.Hear(c.s.played(w))
		assert.Equal(t, c.kind, f.Kind, name)
	}
}

func TestWhereItBroke(t *testing.T) {
	w := New(sounding.ScoreOf(t, "4/4", "| C | F | G7 | C |", "driving-quarters"))
	for _, s := range []stroke{{0, 0, 2}, {5, 5, 0.1}} {
		w.Hear(s.played(w))
	}
	f, ok := w.Hear(stroke{2, 9, 3}.played(w))
	assert.True(t, ok)
	assert.Equal(t, finding.Finding{
		Kind: finding.WentBack, Part: finding.BothHands, Bar: 1, Beat: 2, At: 5500 * time.Millisecond, Want: -1, Second: -1,
		Offset: 1500 * time.Millisecond,
	}, f)
}

// What is in doubt breaks nothing, and is not gone by.
func TestAPlaceInDoubtBreaksNothing(t *testing.T) {
	for name, change := range map[string]func(*follow.Estimate){
		"lost":            func(e *follow.Estimate) { e.Lost = true },
		"hardly likely":   func(e *follow.Estimate) { e.Confidence = 0.7 },
		"stands for none": func(e *follow.Estimate) { e.Extra = true },
		"not begun":       func(e *follow.Estimate) { e.Event = -1 },
	} {
		w := New(sounding.ScoreOf(t, "4/4", "| C | F | G7 | C |", "driving-quarters"))
		w.Hear(stroke{8, 0, 2}.played(w))
		s := stroke{0, 1, 0.1}.played(w)
		change(&s.Place)
		_, ok := w.Hear(s)
		assert.False(t, ok, name)
		_, ok = w.Hear(stroke{9, 1, 0.1}.played(w))
		assert.False(t, ok, "%s: it goes on from the place before", name)
	}
}

// One that is just likely enough is no doubt.
func TestAPlaceThatIsLikely(t *testing.T) {
	w := New(sounding.ScoreOf(t, "4/4", "| C | F | G7 | C |", "driving-quarters"))
	w.Hear(stroke{8, 0, 2}.played(w))
	s := stroke{0, 1, 0.1}.played(w)
	s.Place.Confidence = likely
	f, _ := w.Hear(s)
	assert.Equal(t, finding.WentBack, f.Kind)
}

func TestNotesThatFillAWait(t *testing.T) {
	w := New(sounding.ScoreOf(t, "4/4", "| C | F | G7 | C |", "driving-quarters"))
	extra := func(kind finding.Kind, keys ...int) *finding.Finding {
		f := &finding.Finding{Kind: kind}
		for _, k := range keys {
			f.Heard.Add(pitch.Num(k))
		}
		return f
	}
	assert.False(t, w.Waits(extra(finding.Extra, 60, 64)), "before anything is played")
	w.Hear(stroke{0, 0, 2}.played(w))
	assert.True(t, w.Waits(extra(finding.Extra, 48, 64)), "tones of C")
	assert.False(t, w.Waits(extra(finding.Extra, 60, 65)), "and another")
	assert.False(t, w.Waits(extra(finding.WrongNote, 60, 64)))
}

// Bars are left out where all of one or more is, in one round.
func TestBarsLeftOut(t *testing.T) {
	for name, c := range map[string]struct {
		b    Break
		want bool
	}{
		"the next bar":           {Break{Bar: 3, ToBar: 4}, false},
		"the bar after the next": {Break{Bar: 3, ToBar: 5}, true},
		"back":                   {Break{Bar: 3, ToBar: 1}, false},
		"in the next round":      {Break{Bar: 3, ToBar: 5, ToPass: 1}, false},
		"in the second round":    {Break{Bar: 3, ToBar: 5, Pass: 1, ToPass: 1}, true},
	} {
		assert.Equal(t, c.want, c.b.Skips(), name)
	}
}
