package cause

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

// A hand that is octaves off from bar 3 on. Bass and chord may lie an octave off anyway,
// and the chord anywhere: where the bass is two octaves too low, one too low would do.
func TestAHandIsOctavesOff(t *testing.T) {
	for name, c := range map[string]struct {
		up   [2]pitch.Num // octaves: left, right
		hand finding.Part
		off  int // octaves; 0 for no cause
	}{
		"the bass an octave low":    {[2]pitch.Num{-1, 0}, 0, 0},
		"the bass two octaves low":  {[2]pitch.Num{-2, 0}, finding.LeftHand, -1},
		"the bass two octaves high": {[2]pitch.Num{2, 0}, finding.LeftHand, 2},
		"the chord":                 {[2]pitch.Num{0, 2}, 0, 0},
		"both two octaves low":      {[2]pitch.Num{-2, -2}, finding.BothHands, -1},
		"both two octaves high":     {[2]pitch.Num{2, 2}, finding.BothHands, 2},
	} {
		s := sounding.ScoreOf(t, "4/4", eight+eight, "two-beat")
		h, _ := played(s, bent(s, 3, 16, func(n *sounding.Note) { n.Key += 12 * c.up[n.Hand] }).Events(), Options{Patient: true}, 0)
		assert.Empty(t, wrongs(h.found), name)
		if c.off == 0 {
			assert.Empty(t, h.causes, name)
			continue
		}
		if assert.Len(t, h.causes, 1, name) {
			got := h.causes[0]
			assert.Equal(t, finding.OctaveOff, got.Kind, name)
			assert.Equal(t, 3, got.Bar, name)
			assert.Equal(t, c.off, got.Octaves, name)
			assert.Equal(t, c.hand, got.Hand, name)
		}
	}
}

// rounds plays a score again and again, each time so much higher.
func rounds(s *score.Score, up ...pitch.Num) *sounding.Take {
	p := &sounding.Take{}
	for round, n := range up {
		for _, note := range sounding.Exact(s).Notes {
			by := time.Duration(round) * s.Time(s.Length)
			note.At, note.Till, note.Key = note.At+by, note.Till+by, note.Key+n
			p.Notes = append(p.Notes, note)
		}
	}
	return p
}

// Round and round, each time in another key.
func TestCausesOneAfterAnotherInALoop(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F | G7 | C |", "two-beat")
	for name, c := range map[string]struct {
		up     []pitch.Num
		causes [][2]int // semitones, and in which round
	}{
		"up, and up again":            {[]pitch.Num{0, 4, 2}, [][2]int{{4, 1}, {2, 2}}},
		"up, and back":                {[]pitch.Num{0, 4, 0}, [][2]int{{4, 1}}},
		"up, back, and up":            {[]pitch.Num{0, 4, 0, 3}, [][2]int{{4, 1}, {3, 3}}},
		"higher all the time, and up": {[]pitch.Num{2, 2, 2, -3}, [][2]int{{2, 0}, {-3, 3}}},
	} {
		for _, patient := range []bool{true, false} {
			h, j := played(s, rounds(s, c.up...).Events(), Options{Options: engine.Options{Loop: true}, Patient: patient}, 0)
			var causes [][2]int
			for _, c := range h.causes {
				assert.Equal(t, finding.OtherKey, c.Kind, name)
				assert.Equal(t, 1, c.Bar, name)
				causes = append(causes, [2]int{c.Semitones, c.Pass})
			}
			assert.Equal(t, c.causes, causes, "%s, patient: %t", name, patient)
			sum := j.Summary()
			if patient {
				assert.Empty(t, noted(wrongs(h.found)), name)
				assert.Equal(t, 16*len(c.up), sum.Count(finding.Right), name)
			}
			for _, f := range h.found {
				if f.Kind == finding.Right {
					assert.Equal(t, int(c.up[f.Pass]), f.Up, "%s: %+v", name, f)
				}
			}
		}
	}
}

// What is played in another key sums up as what is played in its own.
func TestACauseIsTakenOffTheSummary(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	uneven := func(up pitch.Num) *sounding.Take {
		p := sounding.Exact(s)
		for i := range p.Notes {
			n := &p.Notes[i]
			if n.Key += up; n.Hand == pattern.Left {
				n.At += time.Duration(i*i*7%31-10) * ms
			} else {
				n.At += time.Duration(n.Bar*n.Bar*5%23) * ms
			}
		}
		return p.Each(pattern.Right, 5, 2, func(n *sounding.Note) { n.At += 150 * ms }).Each(pattern.Left, 6, 1, func(n *sounding.Note) { n.At -= 140 * ms })
	}
	e := engine.New(s, engine.Options{Level: rules.Steady})
	evs := uneven(0).Events()
	for _, ev := range evs {
		e.Feed(ev)
	}
	e.Finish(evs[len(evs)-1].At)
	want := e.Summary()
	assert.Equal(t, 1, want.Count(finding.Late))
	assert.Equal(t, 1, want.Count(finding.Early))

	_, j := played(s, uneven(3).Events(), Options{Patient: true}, 0)
	got := j.Summary()
	assert.Len(t, got.Causes, 1)
	assert.Equal(t, want.Timing, got.Timing)
	for k := range want.Totals {
		assert.Equal(t, want.Totals[k].Count, got.Totals[k].Count, finding.Kind(k).String())
	}
}

// Under a tempo of the player's own no stroke is late, and none has an offset, as there is
// no click; without one it is.
func TestNothingIsLateAtATempoOfOnesOwn(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight+eight, "two-beat")
	for _, slower := range []time.Duration{1, 2} {
		p := sounding.Exact(s)
		for i := range p.Notes {
			n := &p.Notes[i]
			n.At, n.Till = slower*n.At, slower*n.Till
		}
		p.Each(pattern.Right, 12, 2, func(n *sounding.Note) { n.At += 170 * ms })
		h, j := played(s, p.Events(), Options{Patient: true}, 0)
		assert.Len(t, h.causes, int(slower)-1)
		assert.Len(t, wrongs(h.found), 2-int(slower))
		assert.Equal(t, slower == 1, j.Summary().Timing[0].Strokes > 4, "more than those before it was known")
	}
	_, j := played(s, sounding.Exact(s).Events(), Options{Patient: true, Options: engine.Options{Led: true}}, 0)
	assert.Zero(t, j.Summary().Timing, "where the player leads")
}

// A left hand that is silent in bars 3 to 10 but for some notes.
func TestASilentHandThatIsHeardAgain(t *testing.T) {
	for name, c := range map[string]struct {
		heard  func(n *sounding.Note) bool
		causes int
	}{
		"never":                   {func(*sounding.Note) bool { return false }, 1},
		"once":                    {func(n *sounding.Note) bool { return n.Bar == 7 && n.Beat == 1 }, 1},
		"twice, but not in a row": {func(n *sounding.Note) bool { return n.Bar >= 7 && n.Bar <= 8 && n.Beat == 1 }, 1},
		"twice in a row":          {func(n *sounding.Note) bool { return n.Bar == 7 }, 1},
		"three times in a row":    {func(n *sounding.Note) bool { return n.Bar == 6 || n.Bar == 7 && n.Beat == 1 }, 2},
	} {
		s := sounding.ScoreOf(t, "4/4", eight+eight, "two-beat")
		p := sounding.Exact(s)
		p.Notes = slices.DeleteFunc(p.Notes, func(n sounding.Note) bool {
			return n.Hand == pattern.Left && n.Bar >= 3 && n.Bar <= 10 && !c.heard(&n)
		})
		h, _ := played(s, p.Events(), Options{Patient: true}, 0)
		assert.Len(t, h.causes, c.causes, name)
		assert.Empty(t, wrongs(h.found), name)
	}
}

// Nobody plays from the beginning on, which is 4 seconds after the start: that is told
// after two bars of two seconds.
func TestNobodyPlaysAfterTheCountIn(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	j := New(s, Options{Options: engine.Options{Level: rules.Steady, Start: lead}})
	var causes []finding.Cause
	for now := time.Duration(0); now < lead+12*time.Second; now += 20 * ms {
		j.Tick(now)
		causes = append(causes, j.Causes()...)
	}
	if assert.Len(t, causes, 1) {
		assert.Equal(t, finding.Silent, causes[0].Kind)
		assert.InDelta(t, 8.5, causes[0].At.Seconds(), 0.5)
	}
}

// What is struck and when it is may each have a cause, and each may end by itself. In each
// of four lines of eight bars the music is so much higher, and so many beats late.
func TestCausesOfBothKinds(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight+eight+eight+eight, "two-beat")
	type cause struct {
		kind finding.CauseKind
		size float64 // semitones or beats
		bar  int
	}
	const key, late = finding.OtherKey, finding.LateStart
	for name, c := range map[string]struct {
		up   [4]pitch.Num
		late [4]time.Duration // beats
		want []cause
	}{
		"late in another key":    {[4]pitch.Num{2, 2, 2, 2}, [4]time.Duration{0, 1, 1, 1}, []cause{{key, 2, 1}, {late, 1, 9}}},
		"another key, late":      {[4]pitch.Num{0, 2, 2, 2}, [4]time.Duration{1, 1, 1, 1}, []cause{{late, 1, 1}, {key, 2, 9}}},
		"back in the key, late":  {[4]pitch.Num{2, 2, 0, 0}, [4]time.Duration{0, 1, 1, 1}, []cause{{key, 2, 1}, {late, 1, 9}}},
		"back in time, too high": {[4]pitch.Num{2, 2, 2, 2}, [4]time.Duration{0, 1, 0, 0}, []cause{{key, 2, 1}, {late, 1, 9}}},
	} {
		p := sounding.Exact(s)
		for i := range p.Notes {
			n := &p.Notes[i]
			line := (n.Bar - 1) / 8
			by := c.late[line] * 500 * ms
			n.At, n.Till, n.Key = n.At+by, n.Till+by, n.Key+c.up[line]
		}
		h, _ := played(s, p.Events(), Options{Patient: true}, 0)
		var got []cause
		for _, c := range h.causes {
			got = append(got, cause{c.Kind, float64(c.Semitones) + c.Beats, c.Bar})
		}
		assert.Equal(t, c.want, got, "%s: %+v", name, h.causes)
		assert.Empty(t, noted(wrongs(h.found)), name)
	}
}

// What fits in the stretch in doubt and leaves the piano elsewhere is no reading.
func TestAReadingStaysOnThePiano(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight+eight, "two-beat")
	evs := bent(s, 3, 8, func(n *sounding.Note) { n.Key += 5 }).Events()
	h, _ := played(s, evs, Options{Patient: true}, 0)
	assert.Len(t, h.causes, 1)
	high := *s
	high.Wants = slices.Clone(s.Wants)
	w := &high.Wants[len(s.Wants)-1]
	w.Tones = slices.Clone(w.Tones)
	w.Tones[len(w.Tones)-1].Key = pitch.PianoHigh
	h, _ = played(&high, evs, Options{Patient: true}, 0)
	for _, c := range h.causes {
		assert.False(t, c.Kind == finding.OtherKey && c.Semitones == 5)
	}
}
