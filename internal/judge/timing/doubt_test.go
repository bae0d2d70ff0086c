package timing

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/music/meter"
	"undersong/internal/test/sounding"
)

func TestWhenAPlaceIsDoubtful(t *testing.T) {
	for _, c := range []struct {
		name string
		est  follow.Estimate
		want bool
	}{
		{"sure", follow.Estimate{Confidence: sure}, false},
		{"not quite sure", follow.Estimate{Confidence: sure - less}, true},
		{"lost", follow.Estimate{Confidence: 1, Lost: true}, true},
		{"after a jump, surely", follow.Estimate{Confidence: surely, Jumped: true}, false},
		{"after a jump, less than that", follow.Estimate{Confidence: surely - less, Jumped: true}, true},
	} {
		assert.Equal(t, c.want, doubtful(&c.est), c.name)
	}
}

// While an onset sounds its place is taken for known only where it surely is.
func TestAPlaceBeforeTheOnsetIsOver(t *testing.T) {
	for _, c := range []struct {
		name                      string
		confidence                float64
		lost                      bool
		settled, unsure, doubtful bool
	}{
		{"surely", surely, false, true, false, false},
		{"not quite", surely - less, false, false, true, false},
		{"likely", likely, false, false, true, false},
		{"less than likely", likely - less, false, false, true, true},
		{"lost", 1, true, false, true, true},
	} {
		k, _ := playedUpTo(t, spot{0, 0})
		k.settled = false
		est := k.taken(spot{0, 1})
		est.Confidence, est.Lost = c.confidence, c.lost
		k.hear(&est, time.Second)
		assert.Equal(t, c.settled, k.settled, c.name)
		assert.Equal(t, c.unsure, k.unsure, c.name)
		assert.Equal(t, c.doubtful, k.doubtful, c.name)
	}
}

// An onset that stands for nothing is a try at the next place, within two fifths of
// the way to it from its time. At 120 that is 200 ms to a place a beat away.
func TestTheNextPlace(t *testing.T) {
	for _, c := range []struct {
		name string
		from float64 // beat
		at   time.Duration
		next float64
		ok   bool
	}{
		{"too early", 0, 299 * ms, 1, false},
		{"early", 0, 300 * ms, 1, true},
		{"at its time", 0, 500 * ms, 1, true},
		{"late", 0, 700 * ms, 1, true},
		{"too late", 0, 701 * ms, 1, false},
		{"from a chord to the bass", 1, 500 * ms, 2, true},
		{"the last chord, when the last bass is over", 14, 500 * ms, 15, true},
		{"nothing is left", 15, 500 * ms, 0, false},
	} {
		k, _ := leading(sounding.ScoreOf(t, "4/4", "| C | F | G7 | C |", "two-beat"), LeadOptions{High: 127})
		k.place.at = spot{0, c.from}.at()
		k.place.since = time.Second
		k.sep.Onset.Start = time.Second + c.at
		next, ok := k.next()
		assert.Equal(t, c.ok, ok, c.name)
		assert.Equal(t, spot{0, c.next}.at(), next, c.name)
	}
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "block-half")
	k, _ := leading(s, LeadOptions{High: 127})
	k.sep.Onset.Start = time.Second
	next, ok := k.next()
	assert.True(t, ok, "a hand that plays what it likes has no next place")
	assert.Equal(t, meter.Half, next)
}

// That the place is lost is told once, and for no stroke in particular.
func TestAPlaceThatIsLost(t *testing.T) {
	k, clerk := playedUpTo(t, spot{0, 0})
	k.withheld.hold(&finding.Finding{Kind: finding.WrongNote})
	est := k.taken(spot{1, 6})
	k.lose(&est, time.Second)
	k.lose(&est, 2*time.Second)
	assert.Equal(t, []string{"lost in bar 2, beat 3"}, clerk.told)
	assert.Equal(t, finding.Finding{Kind: finding.Lost, Part: finding.BothHands, Bar: 1, Pass: 1, Beat: 3, At: time.Second, Want: -1, Second: -1}, clerk.last)
	assert.Empty(t, k.withheld.list)
}

// Where the player may have gone on or not, a stroke at the time of the next place is a
// try at that, and at no time of its own one more where the player is.
func TestWhereThePlayerMayHaveGoneOn(t *testing.T) {
	for _, c := range []struct {
		name       string
		after      time.Duration
		confidence float64
		extra      bool
		tried      float64 // beat; -1 for none
		ok, surely bool
	}{
		{"in time with the next", 500 * ms, likely - less, false, 1, true, false},
		{"in time with it, and stands for nothing", 500 * ms, likely - less, true, 1, true, false},
		{"in time with it, but likely where it was", 500 * ms, likely, false, 0, true, true},
		{"at no time", 200 * ms, likely - less, false, 0, true, false},
		{"at no time, and stands for nothing", 200 * ms, likely - less, true, -1, true, false},
	} {
		k, _ := playedUpTo(t, spot{0, 0})
		k.sep.Onset.Start = c.after
		est := k.taken(spot{0, 0})
		est.Confidence, est.Extra = c.confidence, c.extra
		assert.Equal(t, c.ok, k.attempt(&est), c.name)
		assert.Equal(t, c.tried >= 0, k.trial.ok, c.name)
		if c.tried >= 0 {
			assert.Equal(t, spot{0, c.tried}.at(), k.trial.at, c.name)
		}
		assert.Equal(t, !c.surely, k.undecided(&est), c.name)
	}
	k, _ := playedUpTo(t, spot{0, 0})
	k.sep.Onset.Start = 200 * ms
	est := k.taken(spot{0, 8})
	est.Confidence = sure - less
	assert.False(t, k.attempt(&est), "somewhere else: nobody knows where")
	k.lost = true
	est = k.taken(spot{0, 0})
	est.Extra = true
	assert.False(t, k.attempt(&est), "nor while the place is lost")
}
