package cause

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/sounding"
)

// strike keeps the strokes of a score from one to another, half a second apart from 1 second on.
func strikeKept(j *Judge, strokes int) {
	for i := range strokes {
		for _, key := range j.Score.Wants[i].Keys() {
			j.kept.add(event.On(sec(1+float64(i)/2), uint8(key), 70))
		}
	}
}

// Sixteen strokes as they are written, in doubt from the fifth on: with both hands all of them
// are right; with the left one silent its notes are strange, and out of the other's reach.
func TestWhatIsWeighedOfWhoLeads(t *testing.T) {
	left := reading{mute: [2]bool{true, false}}
	low, high := ledBy(t).reachOf(&left)
	for name, c := range map[string]struct {
		r      reading
		more   []pitch.Num // struck with the last chord
		want   []int       // notes, struck, right, beyond
		missed [2]int
	}{
		"as written":                     {reading{}, nil, []int{0, 26, 12, 0}, [2]int{}},
		"with a key that is strange":     {reading{}, []pitch.Num{54}, []int{1, 27, 12, 0}, [2]int{}},
		"the left hand silent":           {left, nil, []int{6, 26, 6, 6}, [2]int{}},
		"a key at the reach's low end":   {left, []pitch.Num{low}, []int{7, 27, 6, 6}, [2]int{}},
		"a key below it":                 {left, []pitch.Num{low - 1}, []int{7, 27, 6, 7}, [2]int{}},
		"a key at the reach's high end":  {left, []pitch.Num{high}, []int{7, 27, 6, 6}, [2]int{}},
		"a key above it":                 {left, []pitch.Num{high + 1}, []int{7, 27, 6, 7}, [2]int{}},
		"in another key nothing is":      {reading{up: 1}, nil, []int{26, 26, 0, 0}, [2]int{}},
		"an octave off everything is so": {reading{up: 12}, nil, []int{0, 26, 12, 0}, [2]int{}},
	} {
		j := ledBy(t)
		strikeKept(j, 16)
		for _, key := range c.more {
			j.kept.add(event.On(sec(8.5), uint8(key), 70))
		}
		j.doubt.since = sec(3)
		w, ok := j.weighLed(&c.r, sec(9))
		assert.True(t, ok, name)
		assert.Equal(t, c.want, []int{w.notes, w.struck, w.right, w.beyond}, name)
		assert.Equal(t, c.missed, w.missing, name)
	}
}

// What was struck before the doubt is moved to where a reading has it, if that is on the
// keyboard; what is in doubt is as it was struck.
func TestWhatIsPlayedToAReading(t *testing.T) {
	for up, want := range map[int][]uint8{0: {127, 0, 60, 60}, 2: {2, 62, 60}, -2: {125, 58, 60}, 67: {67, 127, 60}, 68: {68, 60}, -60: {67, 0, 60}, -61: {66, 60}} {
		j := ledBy(t)
		for i, key := range []uint8{127, 0, 60, 60} {
			j.kept.add(event.On(sec(1+float64(i)), key, 70))
		}
		j.doubt.since = sec(4)
		r := reading{up: up}
		e, _ := j.follower(&reading{}, 0)
		var got []uint8
		j.replay(e, &r, 0, sec(5), func(ev event.Event, _ []finding.Finding) {
			if ev.IsNoteOn() {
				got = append(got, ev.Data1)
			} else {
				assert.Equal(t, sec(5), ev.At, "at last time passes")
			}
		})
		assert.Equal(t, want, got, "%d up", up)
	}
}

// A reading is followed from a bar on, or through all of the score.
func TestFromWhichBarAReadingIsFollowed(t *testing.T) {
	j := ledBy(t)
	for bar, want := range map[int][2]int{0: {1, 8}, 1: {2, 7}, 5: {6, 3}} {
		e, ok := j.follower(&reading{up: 3}, bar)
		assert.True(t, ok)
		assert.Equal(t, want, [2]int{e.Score.Bars[0].Number, len(e.Score.Bars)}, "from bar %d", bar)
		assert.Equal(t, j.Score.Bars[bar].At, j.Score.Bars[e.Score.Bars[0].Number-1].At)
	}
	_, ok := j.follower(&reading{up: 60}, 0)
	assert.False(t, ok, "out of the piano")
	for again, want := range map[float64]int{0.05: 1, 0.051: 2} {
		j := ledBy(t)
		for _, at := range []float64{3, 3 + again} {
			j.led.anchor(follow.Estimate{Bar: 2, At: j.Score.Bars[2].At}, sec(at), sec(0.5), j.Score)
		}
		assert.Equal(t, want, j.led.anchored, "the same bar %g s later", again)
	}
}

// A slip shortly before all lies in another key is told as it was found, and the key from where
// it begins.
func TestASlipBeforeAnotherKey(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", sixteen, "two-beat")
	for _, slip := range []int{4, 5} {
		p := bent(s, 6, 16, func(n *sounding.Note) { n.Key += 4 })
		p.Each(pattern.Left, slip, 1, func(n *sounding.Note) { n.Key += 2 })
		h, j := played(s, slowly(p), leading, 0)
		if assert.Len(t, h.causes, 1) {
			assert.Equal(t, []int{6, 4}, []int{h.causes[0].Bar, h.causes[0].Semitones})
		}
		if left := wrongs(h.found); assert.Len(t, left, 1) {
			assert.Equal(t, finding.WrongBass, left[0].Kind)
			assert.Equal(t, []int{slip - 1, 0}, []int{left[0].Bar, left[0].Up})
		}
		sum := j.Summary()
		assert.Equal(t, len(s.Wants)-1, sum.Count(finding.Right))
	}
}

// Another key is told with the second harmony that it explains, however long the first one
// lasts; it is likely before. Notes by chance make none likely.
func TestAKeyIsLikelyBeforeItIsTold(t *testing.T) {
	const bar = 2 * time.Second
	for tune, want := range map[string]time.Duration{"| C | F | C | F | C | F | C | F |": bar, "| C | C | C | F | F | F | F | F |": 3 * bar} {
		s := sounding.ScoreOf(t, "4/4", tune, "two-beat")
		j := New(s, leading)
		likely := time.Duration(0)
		for _, ev := range bent(s, 1, 8, func(n *sounding.Note) { n.Key += 2 }).Events() {
			j.Feed(ev)
			if j.doubt.likely && likely == 0 {
				likely = ev.At
			}
		}
		if assert.Len(t, j.all, 1, tune) {
			assert.Equal(t, want, j.all[0].At.Truncate(bar), tune)
		}
		assert.Equal(t, sec(2.5), likely, tune)
	}
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	j := New(s, leading)
	for _, ev := range bent(s, 1, 8, func(n *sounding.Note) { n.Key = 60 + n.Key*(n.Key+1)%11 }).Events() {
		j.Feed(ev)
		assert.False(t, j.doubt.likely, "at %s", ev.At)
	}
	assert.Positive(t, j.doubt.wrong)
	assert.Empty(t, j.all)
}

// Another key is told where next to nothing is explained as written, and nearly all is in it;
// hands are octaves off where that explains notes.
func TestAReadingThatConvinces(t *testing.T) {
	key, octave, silent := reading{}, reading{}, reading{}
	key.causes[what].Kind, octave.causes[what].Kind, silent.causes[what].Kind = finding.OtherKey, finding.OctaveOff, finding.Silent
	in := func(n int) map[chordOf]bool {
		all := map[chordOf]bool{}
		for i := range n {
			all[chordOf{harmony: i}] = true
		}
		return all
	}
	for name, c := range map[string]struct {
		r          reading
		unknown    int // of twenty notes, as written
		w          weight
		convincing bool
	}{
		"all is strange as written":     {key, 20, weight{right: 15, wrong: 0, harmonies: in(3)}, true},
		"most is":                       {key, 13, weight{right: 15, wrong: 0, harmonies: in(3)}, true},
		"a bit less":                    {key, 12, weight{right: 15, wrong: 0, harmonies: in(3)}, false},
		"some is wrong in the key, too": {key, 20, weight{right: 15, wrong: 3, harmonies: in(3)}, true},
		"more is":                       {key, 20, weight{right: 15, wrong: 4, harmonies: in(3)}, false},
		"three notes of twenty are strange to it": {key, 20, weight{right: 15, notes: 3, harmonies: in(3)}, true},
		"four are":                        {key, 20, weight{right: 15, notes: 4, harmonies: in(3)}, false},
		"of six harmonies":                {key, 12, weight{right: 15, wrong: 4, harmonies: in(6)}, true},
		"of five":                         {key, 12, weight{right: 15, wrong: 4, harmonies: in(5)}, false},
		"two notes more in other octaves": {octave, 6, weight{right: 15, notes: 4}, true},
		"one note more":                   {octave, 6, weight{right: 15, notes: 5}, false},
		"of a silent hand that is weighed before": {silent, 0, weight{right: 5}, true},
	} {
		c.w.struck = 20
		assert.Equal(t, c.convincing, c.w.convinces(&weight{notes: c.unknown, struck: 20}, &c.r), name)
	}
}

// Keys share most of their chords: one is told when it explains more than any other.
func TestAKeyAmongOthers(t *testing.T) {
	in := func(up int) *reading {
		r := reading{up: up}
		r.causes[what].Kind = finding.OtherKey
		return &r
	}
	octave := reading{up: 1}
	octave.causes[what].Kind = finding.OctaveOff
	for name, c := range map[string]struct {
		other *reading
		saved float64 // nats: by the other; a fourth up saves 20
		want  bool
	}{
		"nearly as good":         {in(-2), 20 - rivalKeys + 0.1, false},
		"worse by enough":        {in(-2), 20 - rivalKeys, true},
		"better":                 {in(-2), 25, false},
		"the same, an octave up": {in(17), 19, true},
		"hands an octave off":    {&octave, 19, true},
	} {
		var k rivals
		k.add(in(5), 20)
		k.add(c.other, c.saved)
		k.add(c.other, c.saved-5)
		assert.Equal(t, c.want, k.clear(in(5), 20), name)
	}
	assert.True(t, (&rivals{}).clear(in(5), 1), "by itself")
}
