package cause

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

// What is struck within 50 ms is one onset; what was told of it may come while the next
// one is open.
func TestOnsetsOfWhoLeads(t *testing.T) {
	var o onsets
	on := func(at float64, key uint8) bool { return o.strike(event.On(sec(at), key, 70)) }
	told := func(k finding.Kind, at float64, keys ...pitch.Num) {
		o.heed(&finding.Finding{Kind: k, At: sec(at), Heard: pitch.NumsOf(keys...)})
	}
	assert.True(t, on(1, 36))
	assert.False(t, o.strange(), "nothing before the first")
	assert.False(t, on(1.05, 52), "together")
	assert.Equal(t, uint16(1<<0|1<<4), o.open.struck)
	assert.True(t, on(1.051, 43))
	assert.True(t, o.strange(), "nothing was told of C and E")
	told(finding.Right, 1.04, 36)
	assert.False(t, o.strange())
	assert.Equal(t, uint16(1<<0), o.before.right)
	assert.Zero(t, o.open.right)
	told(finding.Right, 1.051, 43)
	assert.Equal(t, uint16(1<<7), o.open.right)
	assert.True(t, on(2, 60))
	assert.False(t, o.strange())
	told(finding.Short, 2)
	assert.True(t, on(3, 60))
	assert.True(t, o.strange(), "how long it was says nothing of it")
	told(finding.WrongNote, 2.5)
	assert.False(t, o.strange(), "a mistake does")
	assert.Equal(t, 4, o.n)
}

// What is unexplained costs something; the same again within a bar little.
func TestWhatIsUnexplainedCosts(t *testing.T) {
	u := unexplained{bar: 2 * time.Second}
	cost := func(at float64, right bool, keys ...uint8) float64 {
		begins := false
		for _, k := range keys {
			begins = u.strike(event.On(sec(at), k, 70)) || begins
		}
		if !begins {
			panic("no onset")
		}
		nats := u.next()
		if right {
			u.heed(&finding.Finding{Kind: finding.Right, At: sec(at), Heard: pitch.NumsOf(pitch.Num(keys[0]))})
		}
		return nats
	}
	assert.Zero(t, cost(1, true, 36), "nothing before")
	assert.Zero(t, cost(1.5, true, 48, 52), "all of it was right")
	assert.Equal(t, ofNote, cost(2, false, 40, 41), "E was not")
	assert.Equal(t, ofNote+ofStrange, cost(2.5, false, 52, 55), "nothing of E and F was, and E not for the first time")
	assert.Equal(t, 2*ofNote+ofStrange, cost(3, false, 53), "nothing of E and G, in another bar")
	assert.Equal(t, ofNote+ofMore, cost(4.5, true, 60), "nor of F")
	assert.Zero(t, cost(5, false, 53))
	assert.Equal(t, ofNote+ofStrange, cost(7, true, 60), "F in another bar")
}

// Pitch classes that are struck for those that are wanted.
func TestMomentsThatDiffer(t *testing.T) {
	of := func(keys ...int) moment {
		m := moment{low: 127}
		for _, k := range keys {
			m.add(k)
		}
		return m
	}
	c, g7 := of(48, 52, 55), of(43, 47, 50, 53)
	assert.Equal(t, []int{43, 53}, []int{g7.low, g7.high})
	for name, v := range map[string]struct {
		struck moment
		up     int
		want   float64
	}{
		"C":                  {of(60, 64, 67), 0, 0},
		"without E":          {of(60, 67), 0, alignLacking},
		"with A":             {of(60, 64, 67, 69), 0, alignForeign},
		"A for G":            {of(60, 64, 69), 0, alignForeign + alignLacking},
		"all wrong":          {of(61, 63, 66, 68), 0, alignMost},
		"D, a tone up":       {of(62, 66, 69), 2, 0},
		"B, a half step low": {of(59, 63, 66), 11, 0},
		"C, a tone up":       {of(60, 64, 67), 2, alignMost},
	} {
		assert.InDelta(t, v.want, c.differs(v.struck.down(v.up)), 1e-9, name)
	}
	left, right := g7, g7
	left.hands, right.hands = [2]bool{true, false}, [2]bool{false, true}
	struck := of(45, 60)
	a := alignment{}.with(&struck, &left, 0)
	assert.Equal(t, [2]int{2, 0}, a.off)
	a = a.with(&struck, &right, 0)
	assert.Equal(t, [2]int{2, 7}, a.off)
	assert.Equal(t, [2]int{1, 1}, a.n)
	assert.Equal(t, 5, a.higher(), "rounded")
	assert.Zero(t, (&alignment{}).higher())
}

// The best way through the score for what was struck, moment by moment.
func TestTheWayThroughAScore(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F | G7 | Am |", "two-beat")
	j := New(s, leading)
	wanted := j.led.wanted(j)
	assert.Len(t, wanted, 16)
	assert.Equal(t, wanted, j.led.wanted(j), "they are found once")
	take := func(up int, moments ...int) (all []moment) {
		for _, n := range moments {
			m := wanted[n]
			m.classes = m.down((12 - up) % 12)
			m.low, m.high = m.low+up, m.high+up
			all = append(all, m)
		}
		return all
	}
	for name, c := range map[string]struct {
		struck []moment
		cost   float64
		up     int
	}{
		"as written":        {take(0, 4, 5, 6, 7, 8, 9), 0, 0},
		"a third up":        {take(4, 4, 5, 6, 7, 8, 9), 0, 4},
		"one struck again":  {take(0, 4, 5, 6, 6, 7, 8), alignAgain, 0},
		"one left out":      {take(0, 4, 5, 7, 8, 9, 10), alignSkip, 0},
		"two left out":      {take(0, 3, 4, 5, 8, 9, 10), alignSkips, 0},
		"back to the begin": {take(0, 4, 5, 6, 7, 8, 9, 10, 11, 0, 1, 2, 3, 4, 5, 6, 7, 8), alignLeap, 0},
		"a lot left out":    {take(0, 1, 2, 3, 4, 12, 13, 14, 15), alignLeap, 0},
		"nothing":           {nil, 0, 0},
	} {
		got := align(c.struck, wanted, c.up)
		assert.InDelta(t, c.cost, got.cost, 1e-9, name)
		if len(c.struck) > 0 {
			assert.Equal(t, c.up, got.higher(), name)
			assert.Equal(t, len(c.struck), got.n[0]+got.n[1], name)
		}
	}
	assert.Equal(t, alignment{}, align(take(0, 1, 2), nil, 0), "nothing is wanted")
	var bars []int
	for i, m := range wanted {
		assert.Equal(t, i%4 == 0, m.opens, "moment %d", i)
		if m.opens {
			bars = append(bars, m.bar)
		}
	}
	assert.Equal(t, []int{0, 1, 2, 3}, bars)
}

// By how many octaves hands may be off, from how far they lie.
func TestHandsThatMayBeOff(t *testing.T) {
	for name, c := range map[string]struct {
		a    alignment
		want [][2]int
	}{
		"as written":        {alignment{off: [2]int{20, -20}, n: [2]int{4, 4}}, nil},
		"the left":          {alignment{off: [2]int{-48, 5}, n: [2]int{4, 4}}, [][2]int{{-1, 0}}},
		"more than half":    {alignment{off: [2]int{-25, 5}, n: [2]int{4, 4}}, [][2]int{{-1, 0}}},
		"less than half":    {alignment{off: [2]int{-23, 5}, n: [2]int{4, 4}}, nil},
		"the right, two":    {alignment{off: [2]int{0, 96}, n: [2]int{4, 4}}, [][2]int{{0, 2}}},
		"both":              {alignment{off: [2]int{48, 48}, n: [2]int{4, 4}}, [][2]int{{1, 0}, {0, 1}, {1, 1}}},
		"only one plays":    {alignment{off: [2]int{0, 48}, n: [2]int{0, 4}}, [][2]int{{0, 1}}},
		"three are too far": {alignment{off: [2]int{144, 0}, n: [2]int{4, 4}}, nil},
	} {
		var got [][2]int
		for _, r := range c.a.lifts() {
			got = append(got, r.lift)
		}
		assert.ElementsMatch(t, c.want, got, name)
	}
}

// placesAt are the times of places half a second apart as they are written.
func placesAt(n int, played func(i int) float64) *steady {
	s := &steady{}
	for i := range n {
		s.ring[s.n%mostTimed] = timedPlace{written: float64(i) / 2, played: played(i), bar: i / 4}
		s.n++
	}
	return s
}

// A tempo is a line through the times of places; how uneven they may be.
func TestASteadyTempo(t *testing.T) {
	zigzag := func(by float64) func(int) float64 {
		return func(i int) float64 { return 3 + 0.6*float64(i) + by*float64(i%2*2-1) }
	}
	for name, c := range map[string]struct {
		played func(i int) float64
		n, of  int
		pace   float64
		begins int
		ok     bool
	}{
		"as written":          {func(i int) float64 { return 3 + float64(i)/2 }, 20, 20, 1, 20, true},
		"slower":              {func(i int) float64 { return 3 + 0.75*float64(i) }, 20, 20, 2. / 3, 20, true},
		"faster":              {func(i int) float64 { return 0.25 * float64(i) }, 20, 20, 2, 20, true},
		"for longer":          {func(i int) float64 { return 3 + 0.75*float64(i) }, 30, 20, 2. / 3, 30, true},
		"not for longer":      {func(i int) float64 { return 3 + 0.75*float64(i) - 2*max(0, float64(10-i)) }, 30, 20, 2. / 3, 20, true},
		"longer than is kept": {func(i int) float64 { return 3 + 0.75*float64(i) }, 150, 20, 2. / 3, mostTimed, true},
		"uneven by 23 ms":     {zigzag(0.023), 20, 20, 0.8333, 20, true},
		"uneven by 25 ms":     {zigzag(0.025), 20, 20, 0.8333, 20, false},
	} {
		s := placesAt(c.n, c.played)
		pace, begins, ok := s.line(c.of, 0.5)
		assert.InDelta(t, c.pace, pace, 0.002, name)
		assert.Equal(t, c.begins, begins, name)
		assert.Equal(t, c.ok, ok, name)
	}
	s := placesAt(30, func(i int) float64 { return float64(i) })
	assert.Equal(t, 14.5, s.back(0).written)
	assert.Equal(t, 13.0, s.back(3).written)
	for written, want := range map[float64]int{9: 19, 9.1: 20, 14.5: 30, 14.6: 0, 3.5: 8, 3: 8, 0.5: 8} {
		assert.Equal(t, want, s.span(written), "%g seconds", written)
	}
	assert.Zero(t, placesAt(7, func(i int) float64 { return 0 }).span(1), "too few places")
}

// Where one hand is silent, the other's strokes are counted by themselves.
func TestTheHandThatPlays(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	for _, muted := range []pattern.Hand{pattern.Left, pattern.Right} {
		r := reading{}
		r.mute[muted] = true
		only := r.alone(s).Only
		assert.False(t, only.Judges(muted))
		assert.True(t, only.Judges(1-muted))
		j := New(s, leading)
		j.reading = r
		j.led.wants = j.heardWants()
		assert.Len(t, j.led.wants, 16)
		for _, w := range j.led.wants {
			assert.Equal(t, 1-muted, s.Wants[w].Hand)
		}
		f := finding.Finding{Want: 3, Second: -1}
		j.led.asWritten(&f)
		assert.Equal(t, []int{j.led.wants[3], -1}, []int{f.Want, f.Second})
		f = finding.Finding{Want: 0, Second: 0}
		j.led.asWritten(&f)
		assert.Equal(t, []int{j.led.wants[0], j.led.wants[0]}, []int{f.Want, f.Second})
	}
	j := New(s, leading)
	assert.Nil(t, j.heardWants(), "both play")
	f := finding.Finding{Want: 3, Second: 4}
	j.led.asWritten(&f)
	assert.Equal(t, []int{3, 4}, []int{f.Want, f.Second})
	assert.Same(t, s, (&reading{}).alone(s))
	assert.Equal(t, score.BothHands, s.Only)
}

// How what was played at a time was taken, and where its keys lie under another reading.
func TestTranspositionsByTime(t *testing.T) {
	l := led{ups: []transposition{{from: sec(2), up: 3}, {from: sec(5), up: -1}}}
	for at, want := range map[float64]int{0: 0, 1.99: 0, 2: 3, 4.99: 3, 5: -1, 60: -1} {
		assert.Equal(t, want, l.transposed(sec(at)).up, "at %g", at)
	}
	l.middle = middleOf(sounding.ScoreOf(t, "4/4", eight, "two-beat"))
	plain, up := transposition{}, transposition{up: 5}
	low, both := transposition{lift: [2]int{-1, 0}}, transposition{lift: [2]int{1, 2}}
	for name, c := range map[string]struct {
		key     int
		was, is transposition
		want    int
	}{
		"as it is":                   {48, plain, plain, 48},
		"a fourth up":                {48, plain, up, 53},
		"a fourth down again":        {53, up, plain, 48},
		"the left hand lower":        {43, plain, low, 31},
		"the right stays":            {64, plain, low, 64},
		"each hand on its own":       {43, plain, both, 55},
		"the right by two":           {64, plain, both, 88},
		"the left back":              {31, low, plain, 43},
		"the right back by two":      {88, both, plain, 64},
		"from one reading to other":  {31, low, up, 48},
		"the right, which was there": {64, low, up, 69},
	} {
		assert.Equal(t, c.want, l.key(c.key, c.was, c.is), name)
	}
}

func TestAKeyBetweenTheHands(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	m := middleOf(s)
	for i := range s.Wants {
		w := &s.Wants[i]
		for _, key := range w.Keys() {
			assert.Equal(t, w.Hand == pattern.Right, int(key) >= m, key)
		}
	}
	left := *s
	left.Wants = []score.Want{s.Wants[0]}
	assert.Equal(t, 128, middleOf(&left), "the left alone")
	left.Wants = []score.Want{s.Wants[1]}
	assert.Equal(t, 0, middleOf(&left), "the right alone")
}
