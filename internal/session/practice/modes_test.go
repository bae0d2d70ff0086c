package practice

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/play/mistakes"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/pattern"
)

// rounds plays passes of a loop of four bars one after the other.
func rounds(all ...[]event.Event) []event.Event {
	var out []event.Event
	for i, one := range all {
		for _, e := range one {
			e.At += time.Duration(i) * 4 * bar
			out = append(out, e)
		}
	}
	return out
}

func wrongBass(b *bench, bars ...int) []event.Event {
	plan := mistakes.Plan{}
	for _, n := range bars {
		plan = plan.Plant(mistakes.WrongBass, want(b.t, b.score, n, 1, pattern.Left))
	}
	return exact(b.t, b.score, plan)
}

func TestNothingIsToldBeforeThePassIsOver(t *testing.T) {
	b := newBench(t, tune, func(o *Options) { o.Heading.After = true })
	plan := mistakes.Plan{}.Plant(mistakes.Missing, want(t, b.score, 1, 2, pattern.Right)).
		Plant(mistakes.WrongBass, want(t, b.score, 3, 1, pattern.Left)).
		Plant(mistakes.Missing, want(t, b.score, 3, 4, pattern.Right))
	heading := b.s.text.String()
	events := exact(t, b.score, plan)
	b.play(events, 4*bar+900*time.Millisecond)
	v := b.s.view()
	assert.Equal(t, 3, v.Current, "the place")
	assert.NotEmpty(t, v.Heard)
	assert.Empty(t, fmt.Sprint(v.Correction, v.Praise, v.Wanted, v.WantedDetail, v.NextChord))
	assert.Zero(t, v.Right+v.Wrong)
	assert.Zero(t, v.WantedKeys)
	assert.Zero(t, v.WrongKeys)
	b.play(since(events, 3*bar+900*time.Millisecond), time.Hour).pass(5 * bar)
	assert.Equal(t, heading, b.s.text.String())
	b.pass(time.Hour)
	told := strings.Split(strings.TrimPrefix(b.s.text.String(), heading), "\n")
	assert.Contains(t, told[0], "bar 3, beat 1: bass ", "the worst first")
	assert.Contains(t, told[1], "bar 1, beat 2: no chord - ")
	assert.Equal(t, []string{"", "13 strokes right, 3 to mend"}, told[2:4], "one a bar, then the summary")
	summary := b.s.view().Summary
	assert.Equal(t, told[0], summary[1], "on the screen too, after the headline")
}

func TestJSONComesAfterThePassToo(t *testing.T) {
	b := newBench(t, tune, func(o *Options) { o.Heading.After, o.Heading.Loop = true, true })
	begun := len(b.lines())
	b.play(wrongBass(b, 2), 5*bar).pass(5 * bar)
	assert.Len(t, b.lines(), begun)
	b.pass(5*bar + 600*time.Millisecond)
	lines := b.lines()[begun:]
	require.Len(t, lines, 16+2)
	assert.Equal(t, "pass 1: 15 strokes right, 1 to mend", lines[16]["text"])
	assert.Equal(t, "count-in", lines[17]["type"])
	require.Len(t, b.music, 2)
	b.play(exact(t, b.score, mistakes.Plan{}), b.music[1]+4*bar).pass(b.music[1] + 4*bar + 600*time.Millisecond)
	assert.Equal(t, []string{"pass 1: 15 strokes right, 1 to mend", "bar 2: mended", "pass 2: All right: 16 strokes"}, b.notices())
	b.stop()
}

func TestBetweenPassesThereIsTimeToRead(t *testing.T) {
	b := newBench(t, tune, func(o *Options) { o.Heading.After, o.Heading.Loop, o.Wait = true, true, true })
	b.do(sitting.DoBegin)
	b.play(wrongBass(b, 2), time.Hour).pass(b.now + time.Minute)
	v := b.s.view()
	require.Equal(t, sitting.Reading, v.Phase)
	assert.Equal(t, "15 strokes right, 1 to mend", v.Summary[0])
	assert.Contains(t, v.Summary[1], "bar 2, beat 1: bass ")
	assert.Equal(t, "Play any key to go on.", v.Summary[len(v.Summary)-1])
	assert.Contains(t, strings.Join(v.Summary, "\n"), "  1+  2B  3+  4+")
	b.s.Event(event.On(b.now, 60, 70))
	assert.Len(t, b.music, 2, "a key begins the next count-in")
	b.play(exact(t, b.score, mistakes.Plan{}), time.Hour).pass(b.now + time.Minute)
	assert.Equal(t, "All right: 16 strokes", b.s.view().Summary[0], "of this pass")
	assert.NotContains(t, b.s.view().Summary[1], "bar 2, beat 1")
	b.stop()
	assert.Equal(t, "31 strokes right, 1 to mend", b.s.view().Summary[0], "of all")
}

func TestALedLoopIsCorrectedAfterThePass(t *testing.T) {
	b := newBench(t, tune, func(o *Options) { led(o); o.Heading.After, o.Heading.Loop = true, true })
	heading := b.s.text.String()
	b.playFrom(0, rounds(wrongBass(b, 2), exact(t, b.score, mistakes.Plan{})), 4*bar+100*time.Millisecond)
	assert.Equal(t, heading, b.s.text.String())
	b.playFrom(4*bar, exact(t, b.score, mistakes.Plan{})[1:], 4*bar+900*time.Millisecond).pass(4*bar + 900*time.Millisecond)
	told := strings.TrimPrefix(b.s.text.String(), heading)
	assert.Contains(t, told, "bar 2, beat 1: bass ")
	assert.Contains(t, b.s.view().Correction, "bar 2, beat 1: bass ")
}

func TestTheSameMistakeIsToldOnceAndThenCounted(t *testing.T) {
	b := newBench(t, tune, func(o *Options) { o.Heading.Loop = true })
	bad, good := wrongBass(b, 2), exact(t, b.score, mistakes.Plan{})
	b.play(rounds(bad, bad, bad, good, bad), bar+20*bar-100*time.Millisecond)
	var told []string
	for _, l := range strings.Split(b.s.text.String(), "\n") {
		if strings.HasPrefix(l, "bar 2") {
			told = append(told, l)
		}
	}
	require.Len(t, told, 5, b.s.text.String())
	assert.Regexp(t, `^bar 2, beat 1: bass \S+, this is F - go `, told[0])
	assert.Regexp(t, `^bar 2, beat 1: bass \S+ again$`, told[1])
	assert.Regexp(t, `^bar 2, beat 1: bass \S+ again, third time$`, told[2])
	assert.Equal(t, "bar 2: mended", told[3])
	assert.Equal(t, told[0], told[4], "after it was mended it is new")
}

func TestMendedIsPraisedAndCountedInJSON(t *testing.T) {
	b := newBench(t, tune, func(o *Options) { o.Heading.Loop = true })
	bad, good := wrongBass(b, 2), exact(t, b.score, mistakes.Plan{})
	b.play(rounds(bad, bad, good), bar+8*bar+2*bar+600*time.Millisecond)
	b.pass(b.now + 10*time.Millisecond)
	assert.Equal(t, "bar 2: mended", b.s.view().Praise)
	assert.Equal(t, []string{"bar 2: mended"}, b.notices(), "that a bar was right is told in lines alone")
	var again []any
	for _, l := range b.lines() {
		if l["kind"] == "wrong-bass" {
			again = append(again, l["again"])
		}
	}
	assert.Equal(t, []any{nil, 1.0}, again)
}

func TestAnotherHandOrKindIsAnotherMistake(t *testing.T) {
	var h history
	at := func(pass int) sitting.Place { return sitting.Place{Turn: sitting.Turn{Pass: pass}, Bar: 2} }
	for _, c := range []struct {
		kind string
		part string
		pass int
		want int
	}{
		{"wrong-bass", "left", 0, 0}, {"wrong-bass", "left", 0, 0}, // twice in one bar
		{"wrong-bass", "left", 1, 1}, {"missing", "left", 1, 0}, {"missing", "right", 1, 0},
		{"missing", "left", 3, 1}, {"wrong-bass", "left", 4, 2},
	} {
		assert.Equal(t, c.want, h.note(kindOf(c.kind), partOf(c.part), at(c.pass), 3), "%+v", c)
	}
}

func TestGoingBackToMendABarIsNoticedWhereThePlayerLeads(t *testing.T) {
	b := newBench(t, tune, led)
	bad, good := wrongBass(b, 3), exact(t, b.score, mistakes.Plan{})
	cut := 3*bar + 600*time.Millisecond // two beats into bar 4
	b.playFrom(0, bad, cut)
	b.playFrom(cut+time.Second, good, time.Hour).pass(time.Hour)
	assert.Contains(t, b.notices(), "bar 3: mended")
	summary := b.summary()["bars"].([]any)
	assert.Equal(t, "right", summary[2].(map[string]any)["last"])
}

func TestADelayIsTakenOffWhatIsPlayed(t *testing.T) {
	for _, delay := range []time.Duration{-60 * time.Millisecond, 60 * time.Millisecond} {
		b := newBench(t, tune, func(o *Options) { o.Delay = delay })
		events := exact(t, b.score, mistakes.Plan{})
		for i := range events {
			events[i].At += delay
		}
		b.play(events, time.Hour).pass(time.Hour)
		timing := b.summary()["timing"].(map[string]any)["left"].(map[string]any)
		assert.InDelta(t, 0, timing["mean_ms"], 0.5)
		assert.Equal(t, 16, b.count("right"))
		first := b.lines()[2]
		assert.InDelta(t, float64((bar+delay)/time.Millisecond), first["at_ms"], 51, "told when it was heard")
	}
	far := newBench(t, tune, func(o *Options) { o.Delay = time.Second })
	assert.Equal(t, sitting.MostDelay, far.s.take.delay)
}

func kindOf(name string) finding.Kind {
	for _, k := range finding.Kinds(finding.Strokes) {
		if k.String() == name {
			return k
		}
	}
	panic(name)
}

func partOf(name string) finding.Part {
	if name == "left" {
		return finding.LeftHand
	}
	return finding.RightHand
}
