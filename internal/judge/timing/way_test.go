package timing

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/music/meter"
	"undersong/internal/test/sounding"
)

// A little less than a share.
const less = 1e-9

// spot is a place in a pass, from 0; beats are counted from the beginning of the score.
type spot struct {
	pass int
	beat float64
}

func (p spot) at() meter.Ticks { return meter.Ticks(p.beat * float64(meter.Quarter)) }

// taken is a place that the follower is sure of.
func (k *Lead) taken(p spot) follow.Estimate {
	return follow.Estimate{At: p.at(), Bar: k.score.BarAt(p.at()), Pass: p.pass, Before: -1, Confidence: 1}
}

// playedUpTo is a player who leads round and round four bars of a two-beat, and has
// just played what is wanted at a place: a bass on the first and third beat of a bar, a
// chord on the second and fourth.
func playedUpTo(t *testing.T, p spot) (*Lead, *clerk) {
	k, c := leading(sounding.ScoreOf(t, "4/4", "| C | F | G7 | C |", "two-beat"), LeadOptions{Loop: true, High: 127})
	est := k.taken(p)
	k.settle(&est, 0)
	for _, h := range k.sep.Hands {
		h.Restart(p.pass, p.at())
		if j := h.StrokeAt(p.pass, p.at()); j >= 0 {
			h.Stroke(j).Judged = true
		}
	}
	c.told = nil
	return k, c
}

func TestFromPlaceToPlace(t *testing.T) {
	for _, c := range []struct {
		name     string
		from, to spot
		jumped   bool
		want     string
	}{
		{"on to the next", spot{0, 0}, spot{0, 1}, false, ""},
		{"a chord left out", spot{0, 0}, spot{0, 2}, false, "right 1.2 missing"},
		{"a bar ahead", spot{0, 0}, spot{0, 4}, false, "left 1.3 missing, right 1.2 missing, right 1.4 missing, bar 1 over, harmony 2"},
		{"more than a bar: nobody knows what was left out", spot{0, 0}, spot{0, 5}, false, "bar 1 over, harmony 2"},
		{"round to the top", spot{0, 14}, spot{1, 0}, false, "right 4.4 missing, bar 4 over, harmony 1"},
		{"and again", spot{1, 14}, spot{2, 0}, false, "right 4.4 missing, bar 8 over, harmony 1"},
		{"a bar ahead, over the end", spot{0, 14}, spot{1, 2}, false, "left 1.1 missing, right 4.4 missing, right 1.2 missing, bar 4 over, harmony 1"},
		{"more than a bar ahead, over the end", spot{0, 14}, spot{1, 3}, false, "bar 4 over, harmony 1"},
		{"a whole pass ahead", spot{0, 1}, spot{1, 2}, false, "bar 1 over, bar 2 over, bar 3 over, bar 4 over"},
		{"a stroke played again", spot{0, 1}, spot{0, 1}, true, ""},
		{"back", spot{0, 4}, spot{0, 0}, false, "begin"},
		{"back to the pass before", spot{1, 0}, spot{0, 12}, false, "begin"},
		{"a jump", spot{0, 0}, spot{0, 2}, true, "begin"},
	} {
		k, clerk := playedUpTo(t, c.from)
		est := k.taken(c.to)
		est.Jumped = c.jumped
		k.settle(&est, time.Second)
		assert.Equal(t, c.want, strings.Join(clerk.told, ", "), c.name)
		assert.Equal(t, place{c.to.pass, c.to.at(), k.place.since, k.score.HarmonyAt(c.to.at())}, k.place, c.name)
		assert.Equal(t, 4*c.to.pass+est.Bar, k.bar, c.name)
	}
}

// Who begins in the first bar began at the top; what was left out before that is
// missing.
func TestWhereThePlayerBegins(t *testing.T) {
	for _, c := range []struct {
		name string
		at   spot
		want string
	}{
		{"at the top", spot{0, 0}, "begin"},
		{"late in the first bar", spot{0, 3}, "begin, left 1.1 missing, left 1.3 missing, right 1.2 missing"},
		{"in the second bar", spot{0, 4}, "begin"},
		{"in the first bar of the second pass", spot{1, 3}, "begin"},
	} {
		k, clerk := leading(sounding.ScoreOf(t, "4/4", "| C | F | G7 | C |", "two-beat"), LeadOptions{Loop: true, High: 127})
		est := k.taken(c.at)
		k.settle(&est, time.Second)
		assert.Equal(t, c.want, strings.Join(clerk.told, ", "), c.name)
		assert.Equal(t, 4*c.at.pass+est.Bar, k.bar, c.name)
	}
}

// A mistake that was kept is told once the place is likely, or was never given up.
func TestHowSureAPlaceIs(t *testing.T) {
	for _, c := range []struct {
		name             string
		confidence       float64
		age              int
		unsure, doubtful bool
		want             string
	}{
		{"surely", surely, 0, false, false, "at last wrong-note of bar 1"},
		{"not quite", surely - less, 0, true, false, "at last wrong-note of bar 1"},
		{"likely", likely, 0, true, false, "at last wrong-note of bar 1"},
		{"less than likely", likely - less, longestWithheld, true, true, ""},
		{"for long", likely - less, longestWithheld + 1, true, true, "at last wrong-note of bar 1"},
	} {
		k, clerk := playedUpTo(t, spot{0, 0})
		k.withheld.hold(&finding.Finding{Kind: finding.WrongNote})
		k.withheld.age = c.age
		est := k.taken(spot{0, 1})
		est.Confidence = c.confidence
		k.settle(&est, time.Second)
		assert.Equal(t, c.unsure, k.unsure, c.name)
		assert.Equal(t, c.doubtful, k.doubtful, c.name)
		assert.Equal(t, c.want, strings.Join(clerk.told, ", "), c.name)
	}
}

// After a jump to a place that is not sure only what is right is told.
func TestMistakesAfterAJump(t *testing.T) {
	for _, c := range []struct {
		jumped     bool
		confidence float64
		mute       bool
	}{{true, sure, false}, {true, sure - less, true}, {false, sure - less, false}} {
		k, _ := playedUpTo(t, spot{0, 0})
		est := k.taken(spot{0, 8})
		est.Jumped, est.Confidence = c.jumped, c.confidence
		k.settle(&est, time.Second)
		assert.Equal(t, c.mute, k.mute, "jumped %t, confidence %g", c.jumped, c.confidence)
	}
}

// An onset that seemed to stand for nothing was a stroke, where the player has gone on
// from it: it is neither extra nor missing.
func TestAnExtraOnsetIsTakenBack(t *testing.T) {
	for _, c := range []struct {
		name   string
		from   float64
		before float64 // the beat of the onset before, as it is seen now; -1 where it stood for nothing
		to     float64
		want   string
	}{
		{"it stood for nothing", 0, -1, 2, "right 1.2 missing, at last extra of bar 1"},
		{"it was the chord", 0, 1, 2, ""},
		{"it was the bass", 1, 2, 3, ""},
		{"the stroke before it, again", 0, 0, 2, "right 1.2 missing, at last extra of bar 1"},
		{"the same stroke", 0, 2, 2, "right 1.2 missing, at last extra of bar 1"},
	} {
		k, clerk := playedUpTo(t, spot{0, c.from})
		k.withheld.hold(&finding.Finding{Kind: finding.Extra, Want: -1})
		est := k.taken(spot{0, c.to})
		est.Before = spot{0, c.before}.at()
		k.settle(&est, time.Second)
		assert.Equal(t, c.want, strings.Join(clerk.told, ", "), c.name)
	}
}

// Of two onsets for one stroke the first was too early, where the player has come from
// elsewhere to the second: that is where it is told that it was one too many.
func TestAnOnsetTooEarly(t *testing.T) {
	for _, c := range []struct {
		name   string
		tried  trial
		before float64
		change func(*follow.Estimate)
		want   bool
	}{
		{"from the place before", trial{0, spot{0, 1}.at(), true}, 0, nil, true},
		{"from nowhere", trial{0, spot{0, 1}.at(), true}, -1, nil, true},
		{"the same again", trial{0, spot{0, 1}.at(), true}, 1, nil, false},
		{"the first was tried elsewhere", trial{0, spot{0, 2}.at(), true}, 0, nil, false},
		{"in another pass", trial{1, spot{0, 1}.at(), true}, 0, nil, false},
		{"nowhere", trial{0, spot{0, 1}.at(), false}, 0, nil, false},
		{"the second stands for nothing", trial{0, spot{0, 1}.at(), true}, 0, func(e *follow.Estimate) { e.Extra = true }, false},
		{"by a jump", trial{0, spot{0, 1}.at(), true}, 0, func(e *follow.Estimate) { e.Jumped = true }, false},
	} {
		k, clerk := playedUpTo(t, spot{0, 0})
		k.trialBefore, k.hereBefore, k.doubts = c.tried, follow.Position{Beat: 1.5}, 1
		k.sep.Onset.Start = time.Second
		k.sep.Hands[right].Stroke(0).Judged = true
		est := k.taken(spot{0, 1})
		est.Before = spot{0, c.before}.at()
		if c.change != nil {
			c.change(&est)
		}
		k.settle(&est, time.Second)
		assert.Equal(t, c.want, k.second, c.name)
		assert.Equal(t, c.want, k.Position(time.Second) == k.hereBefore, c.name)
		assert.NotEqual(t, k.hereBefore, k.Position(time.Second+1), c.name)
		if !c.want {
			continue
		}
		assert.True(t, k.sep.Hands[right].Stroke(0).Judged, "%s: it is not asked for again", c.name)
		assert.Empty(t, clerk.told, c.name)
	}
}

// Where the next onset goes on from where one in doubt was tried, that stood there, and
// what else was wanted by then is missing.
func TestATrialThatIsConfirmed(t *testing.T) {
	const tune = "name: own\nmeter: 4/4\ngrid: quarters\nright: ch ch ch ch\nleft: 1 5 1 5\n"
	for _, c := range []struct {
		name   string
		tried  trial
		before float64
		trials int
		want   string
	}{
		{"it stood there", trial{0, spot{0, 1}.at(), true}, 1, 1, "right 1.2 missing, at last wrong-note of bar 1"},
		{"it stood for nothing", trial{0, spot{0, 1}.at(), true}, -1, 1, "at last wrong-note of bar 1"},
		{"it stood elsewhere", trial{0, spot{0, 1}.at(), true}, 0, 1, "at last wrong-note of bar 1"},
		{"it was tried nowhere", trial{0, spot{0, 1}.at(), false}, 1, 1, "at last wrong-note of bar 1"},
		{"after others in doubt", trial{0, spot{0, 1}.at(), true}, 1, 2, "at last wrong-note of bar 1"},
	} {
		s := sounding.ScoreOf(t, "4/4", "| C | F |", tune)
		k, clerk := leading(s, LeadOptions{High: 127})
		first := k.taken(spot{0, 0})
		k.settle(&first, 0)
		for _, h := range k.sep.Hands {
			h.Stroke(0).Judged = true
		}
		clerk.told = nil
		k.withheld.hold(&finding.Finding{Kind: finding.WrongNote})
		k.sep.Hands[left].Stroke(1).Judged = true // in doubt
		k.trialBefore, k.doubts, k.trials = c.tried, 1, c.trials
		est := k.taken(spot{0, 2})
		est.Before = spot{0, c.before}.at()
		k.settle(&est, time.Second)
		assert.Equal(t, c.want, strings.Join(clerk.told, ", "), c.name)
	}
}

// A free hand may have got what was meant for the other: that nothing came of the other
// says nothing then.
func TestATrialBesideAFreeHand(t *testing.T) {
	k, clerk := leading(sounding.ScoreOf(t, "4/4", "| C | F |", "broken-up"), LeadOptions{High: 127})
	first := k.taken(spot{0, 0})
	k.settle(&first, 0)
	k.sep.Hands[left].Stroke(0).Judged = true
	clerk.told = nil
	k.trialBefore, k.doubts, k.trials = trial{0, spot{0, 1}.at(), true}, 1, 1
	est := k.taken(spot{0, 2})
	est.Before = spot{0, 1}.at()
	k.settle(&est, time.Second)
	assert.Empty(t, clerk.told)
}

// Who begins anew with the stroke that sounded last is asked for it again.
func TestABarBegunAnew(t *testing.T) {
	for settled, want := range map[bool][]string{false: {"begin"}, true: nil} {
		k, clerk := playedUpTo(t, spot{0, 4})
		k.settled = settled // by a note of the same onset
		est := k.taken(spot{0, 4})
		est.Jumped, est.Before = true, est.At
		k.settle(&est, time.Second)
		assert.Equal(t, want, clerk.told)
	}
}

// A trial that is confirmed may be a bar from where the player was surely.
func TestATrialABarAhead(t *testing.T) {
	for _, c := range []struct {
		before float64
		want   string
	}{{4, "bar 1 over, bar 2 over, at last wrong-note of bar 1, harmony 3"}, {-1, "bar 1 over, bar 2 over, harmony 3"}} {
		s := sounding.ScoreOf(t, "4/4", "| C | F | G7 |", "block-whole")
		k, clerk := leading(s, LeadOptions{High: 127})
		first := k.taken(spot{0, 0})
		k.settle(&first, 0)
		clerk.told = nil
		k.withheld.hold(&finding.Finding{Kind: finding.WrongNote})
		for _, h := range k.sep.Hands {
			h.Stroke(0).Judged, h.Stroke(1).Judged = true, true
		}
		k.trialBefore, k.doubts, k.trials = trial{0, spot{0, 4}.at(), true}, 1, 1
		est := k.taken(spot{0, 8})
		est.Before = spot{0, c.before}.at()
		k.settle(&est, time.Second)
		assert.Equal(t, c.want, strings.Join(clerk.told, ", "), "before %g", c.before)
	}
}
