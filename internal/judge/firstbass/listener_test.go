package firstbass

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

func louScore(t testing.TB) *score.Score {
	t.Helper()
	return scoreOf(t, material.Chart(t, sounding.Lou), "")
}

// brief is a finding in short: bar and beat, kind, from where to where, the basses
// that fit, and the notes of the tune that say so.
func brief(l *Listener, f *finding.Finding) string {
	s := fmt.Sprintf("%d/%g %s", l.s.Bars[f.Bar].Number, f.Beat, f.Kind)
	name := func(k pitch.Num) string { return k.Spell(l.s.Key.Spell(k.Class())).String() }
	for i := range f.Heard.Len() {
		s += " " + name(f.Heard.At(i))
	}
	for i := range f.Goal.Len() {
		s += ">" + name(f.Goal.At(i))
	}
	for _, i := range f.Bass.Choices.Slice() {
		s += " fits:" + l.th.primary[i].Root.String()
	}
	for _, i := range f.Bass.Speaks.Slice() {
		s += " tune:" + l.s.Melody[i].Pitch.String()
	}
	return s
}

func lines(l *Listener, found []finding.Finding) []string {
	var all []string
	for i := range found {
		all = append(all, brief(l, &found[i]))
	}
	return all
}

func TestWhatIsSaid(t *testing.T) {
	home := []string{"C3 0-3.8", "C3 4-7.8", "G2 8-11.8", "C3 12-15.8"}
	with := func(bar int, h ...string) []string {
		var all []string
		for i, x := range home {
			if i != bar-1 {
				all = append(all, x)
			}
		}
		return append(all, h...)
	}
	for _, c := range []struct {
		what    string
		voicing Voicing
		hits    []string
		want    string // of the bar that is concerned
	}{
		{"all fits", BassAlone, home, ""},
		{"another fit, in another register", BassAlone, with(3, "G1 8-11.8"), ""},
		{"held on into the next bar", BassAlone, []string{"C3 0-7.8", "G2 8-11.8", "C3 12-15.8"}, ""},
		{"struck again on every beat", BassAlone, with(1, "C3 0-0.9", "C3 1-1.9", "C3 2-2.9", "C3 3-3.9"), ""},
		{"broken chord", BassAlone, with(1, "C3 0-0.9", "G3 1-1.9"), ""},
		{"late in the bar", BassAlone, with(3, "G2 10-11.8"), ""},
		{"a tenth of a second before the bar", BassAlone, with(3, "G2 7.8-11.6"), ""},
		{"misfit", BassAlone, with(3, "C3 8-11.8"), "3/1 misfit C3>G2 fits:G tune:D4 tune:B3"},
		{"misfit, mended by the hand itself", BassAlone, with(3, "C3 8-8.8", "G2 9-11.8"), "3/1 misfit C3>G2 fits:G tune:D4 tune:B3"},
		{"the root of no primary chord", BassAlone, with(2, "A2 4-7.8"), "2/1 not-a-root A2>C3 fits:C"},
		{"missing", BassAlone, with(2), "2/1 missing>C3 fits:C"},
		{"misfit at the end", BassAlone, with(4, "G2 12-15.8"), "4/1 misfit G2>C3 fits:C tune:C4"},
		{"root above another note", WithFifth, with(1, "E2 C3 0-3.8"), "1/1 not-lowest E2>C2 fits:C"},
		{"no fifth", WithFifth, home[:1], "1/1 no-fifth C3>G3"},
		{"a fourth", WithFifth, with(1, "C3 F3 0-3.8"), "1/1 wrong-fifth F3>G3"},
		{"a tritone", WithFifth, with(1, "C3 0-3.8", "F#3 1-3"), "1/1 wrong-fifth F#3>G3"},
		{"minor third", WithTriad, with(1, "C3 Eb3 G3 0-3.8"), "1/1 wrong-third Eb3>E3"},
		{"no third", WithTriad, with(1, "C3 G3 0-3.8"), "1/1 no-third C3>E3"},
		{"third above the tune", WithTriad, with(1, "C3 G3 E5 0-3.8"), "1/1 high-third C3>E3"},
		{"fourth for the third", WithTriad, with(1, "C3 G3 F3 0-3.8"), "1/1 wrong-third F3>E3"},
	} {
		l := New(louScore(t), Options{c.voicing, 2})
		found := sounding.Hear(l, sounding.Under(t, louScore(t), c.hits...))
		var wrong []string
		for i := range found {
			if found[i].Kind != finding.Right && (c.want == "" || c.want[0] == brief(l, &found[i])[0]) {
				wrong = append(wrong, brief(l, &found[i]))
			}
		}
		if c.want == "" {
			assert.Empty(t, wrong, c.what)
			assert.True(t, func() bool { s := l.Summary(); return s.Basses.Done() }(), c.what)
		} else {
			assert.Equal(t, []string{c.want}, wrong, c.what)
		}
	}
}

func TestTheLastBassIsTheTonic(t *testing.T) {
	c := material.Chart(t, strings.Replace(sounding.Lou, "C2C2", "G2E2", 1))
	s := scoreOf(t, c, "")
	home := []string{"C3 0-3.8", "C3 4-7.8", "G2 8-11.8"}
	l := New(s, Options{BassAlone, 2})
	found := sounding.Hear(l, sounding.Under(t, s, append(home, "G2 12-13.8", "C3 14-15.8")...))
	assert.Equal(t, finding.Right, found[len(found)-1].Kind, "G then C")

	c.Bars()[3].Melody = c.Bars()[3].Melody[:1]
	c.Bars()[3].Melody[0].Dur *= 2
	s = scoreOf(t, c, "")
	l = New(s, Options{BassAlone, 2})
	found = sounding.Hear(l, sounding.Under(t, s, append(home, "G2 12-15.8")...))
	assert.Equal(t, "4/1 not-home G2>C3 fits:C", lines(l, found)[3])
}

func TestRightIsToldOnceForEachBarWithItsReason(t *testing.T) {
	s := louScore(t)
	l := New(s, Options{BassAlone, 2})
	found := sounding.Hear(l, sounding.Under(t, s, "C3 0-3.8", "C3 4-7.8", "G2 8-11.8", "C3 12-15.8"))
	assert.Equal(t, []string{
		"1/1 right C3 tune:E4", "2/1 right C3 tune:E4", "3/1 right G2 tune:D4", "4/1 right C3 tune:C4",
	}, lines(l, found))
}

func TestAMistakeIsCountedAndMended(t *testing.T) {
	s := louScore(t)
	l := New(s, Options{BassAlone, 2})
	var found []finding.Finding
	for _, third := range []string{"C3", "C3", "G2", "C3"} {
		events := sounding.Under(t, s, "C3 0-3.8", "C3 4-7.8", third+" 8-11.8", "C3 12-15.8")
		start := l.now + time.Second
		for _, e := range events {
			e.At += start
			found = append(found, l.Feed(e)...)
		}
		found = append(found, l.Tick(l.now+2*time.Second)...)
	}
	var third []finding.Finding
	for _, f := range found {
		if f.Bar == 2 {
			third = append(third, f)
		}
	}
	require.Len(t, third, 4)
	assert.Equal(t, []int{0, 1, 0, 0}, []int{third[0].Again, third[1].Again, third[2].Again, third[3].Again})
	assert.True(t, third[2].Mended)
	assert.Equal(t, []int{0, 1, 2, 3}, []int{third[0].Pass, third[1].Pass, third[2].Pass, third[3].Pass})
	sum := l.Summary()
	assert.Equal(t, []int{3}, sum.Basses.ToPractise(), "as last played")
}

// Slips of the hand that plays the tune are its own affair, and one may begin
// again.
func TestSlipsAndNewBeginnings(t *testing.T) {
	s := louScore(t)
	basses := []string{"C3 0-3.8", "C3 4-7.8", "G2 8-11.8", "C3 12-15.8"}
	events := sounding.Under(t, s, basses...)
	for i := range events { // D for the second E
		if events[i].Data1 == 64 && events[i].At >= 500*time.Millisecond && events[i].At < time.Second {
			events[i].Data1 = 62
		}
	}
	l := New(s, Options{WithFifth, 2})
	for _, f := range sounding.Hear(l, events) {
		assert.Contains(t, []finding.Kind{finding.NoFifth, finding.Right}, f.Kind, brief(l, &f))
	}

	l = New(s, Options{BassAlone, 2})
	var again []event.Event
	for _, e := range sounding.Under(t, s, basses...) { // stops in bar 2 and begins again
		if e.At < 2700*time.Millisecond {
			again = append(again, e)
		}
	}
	for _, e := range sounding.Under(t, s, basses...) {
		e.At += 6 * time.Second
		again = append(again, e)
	}
	for _, f := range sounding.Hear(l, again) {
		assert.Equal(t, finding.Right, f.Kind, brief(l, &f))
	}
	assert.Equal(t, 4, func() int { s := l.Summary(); return s.Basses.Right() }())
}

func TestOtherMusicIsNotJudged(t *testing.T) {
	s := louScore(t)
	l := New(s, Options{BassAlone, 2})
	var events []event.Event
	for _, e := range sounding.Under(t, s, "C3 0-3.8") {
		if e.At < 2*time.Second {
			events = append(events, e)
		}
	}
	for i := range 24 { // another tune, on the black keys
		at := time.Duration(5+i) * 400 * time.Millisecond
		k := []uint8{66, 68, 70, 73, 70, 68, 75, 73}[i%8]
		events = append(events, event.On(at, k, 70), event.Off(at+300*time.Millisecond, k))
	}
	found := sounding.Hear(l, events)
	require.NotEmpty(t, found)
	lost := 0
	for _, f := range found {
		if f.Kind == finding.Lost {
			lost++
			assert.Equal(t, -1, f.Bass.Chord)
		} else {
			assert.Equal(t, finding.Right, f.Kind, brief(l, &f))
		}
	}
	assert.Equal(t, 1, lost, "told once")
	assert.Equal(t, 1, l.Summary().Totals[finding.Lost].Count)
}

// However often time passes, the findings are the same.
func TestTicksChangeNothing(t *testing.T) {
	for _, name := range tuneNames(t) {
		p := newPlayer(t, name, "", WithTriad, 3, 5)
		p.faulty, p.kinds = 0.4, []finding.Kind{finding.Misfit, finding.Missing, finding.NoFifth, finding.WrongThird}
		events := p.play()
		want := sounding.Hear(New(p.s, Options{WithTriad, 3}), events)
		l := New(p.s, Options{WithTriad, 3})
		var got []finding.Finding
		for _, e := range events {
			for l.now+7*time.Millisecond < e.At {
				got = append(got, l.Tick(l.now+7*time.Millisecond)...)
			}
			got = append(got, l.Feed(e)...)
		}
		end := events[len(events)-1].At
		got = append(got, l.Tick(end+4*time.Second)...)
		got = append(got, l.Finish(end+4*time.Second)...)
		assert.Equal(t, want, got, name)
	}
}

func FuzzListener(f *testing.F) {
	f.Add(uint8(2), []byte{0, 64, 70, 5, 48, 70, 200, 64, 0})
	f.Add(uint8(5), []byte{255, 127, 127, 0, 0, 1})
	s := louScore(f)
	f.Fuzz(func(t *testing.T, how uint8, data []byte) {
		l := New(s, Options{Voicing(how % 3), 2 + int(how/3%2)})
		var now time.Duration
		say := func(found []finding.Finding) {
			for i := range found {
				require.NotEmpty(t, brief(l, &found[i]))
				require.LessOrEqual(t, found[i].At, now)
			}
		}
		for len(data) >= 3 {
			now += time.Duration(data[0]) * 8 * time.Millisecond
			e := event.On(now, data[1]&0x7F, data[2]&0x7F)
			switch {
			case data[1] > 250:
				e = event.Pedal(now, data[2]&0x7F)
			case data[1] > 245:
				e = event.Event{At: now, Status: event.ControlChange, Data1: event.AllNotesOff}
			}
			say(l.Feed(e))
			data = data[3:]
		}
		now += 10 * time.Second
		say(l.Finish(now))
		sum := l.Summary()
		require.LessOrEqual(t, sum.Basses.Right(), sum.Basses.All)
	})
}
