package byear

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
)

// player feeds an ear notes half a second apart, and keeps what it says.
type player struct {
	t     *testing.T
	ear   *Ear
	now   time.Duration
	said  []string
	kinds []finding.Kind
}

func newPlayer(t *testing.T, tune string, o Options) *player {
	tn := tuneOf(t, tune)
	p := &player{t: t, ear: NewEar(tn, o)}
	p.hear(p.ear.Begin(0))
	return p
}

func (p *player) hear(found []finding.Finding) {
	for i := range found {
		require.Equal(p.t, []int{-1, -1}, []int{found[i].Want, found[i].Second}, "no stroke of a score is concerned")
		p.said = append(p.said, brief(&found[i]))
		p.kinds = append(p.kinds, found[i].Kind)
	}
}

// brief is a finding in short, phrases and notes counted from 1.
func brief(f *finding.Finding) string {
	d := &f.Tune
	s := f.Kind.String()
	switch f.Kind {
	case finding.TuneFound, finding.TuneRight, finding.TaskDone:
		return s
	case finding.TaskBegins, finding.StartNote:
		return s + " " + d.From.Note.String()
	case finding.Direction:
		s += fmt.Sprintf(" %d/%d %s", d.Phrase+1, d.Note+1, d.Way.Size)
		if d.Way.Up {
			s += " up"
		}
		if d.Way.More {
			s += " more"
		}
		return s
	case finding.NextNote, finding.OtherOctave, finding.OnceMore:
		s += fmt.Sprintf(" %d/%d", d.Phrase+1, d.Note+1)
		if d.Gap {
			s += " gap"
		}
		if d.Known {
			s += fmt.Sprintf(" at %d", d.Shift)
		}
		return s
	}
	s += fmt.Sprintf(" %d", d.Phrase+1)
	if d.Row > 1 {
		s += fmt.Sprintf(" x%d", d.Row)
	}
	for a, v := range d.Asks {
		if v != finding.NotAsked {
			s += fmt.Sprintf(" %s %s", finding.Ask(a), v)
		}
	}
	return s
}

// play plays notes such as "C4 D4@90"; "3s" is a pause, "?" asks for a hint, "<"
// and ">" move what follows an octave.
func (p *player) play(text string) []string {
	p.t.Helper()
	p.said = nil
	octave := 0
	for _, word := range strings.Fields(text) {
		if d, err := time.ParseDuration(word); err == nil {
			p.now += d
			p.hear(p.ear.Tick(p.now))
			continue
		}
		switch word {
		case "?":
			p.hear(p.ear.Hint(p.now))
			continue
		case "<":
			octave -= 12
			continue
		case ">":
			octave += 12
			continue
		}
		name, force := word, 60
		if at, v, ok := strings.Cut(word, "@"); ok {
			name = at
			_, err := fmt.Sscan(v, &force)
			require.NoError(p.t, err)
		}
		n, err := pitch.ParsePitch(name)
		require.NoError(p.t, err)
		key := uint8(int(n.Num()) + octave)
		p.hear(p.ear.Feed(event.On(p.now, key, uint8(force))))
		p.hear(p.ear.Feed(event.Off(p.now+300*time.Millisecond, key)))
		p.now += 500 * time.Millisecond
	}
	return p.said
}

// Red River Valley's first line, in two phrases, and a third that ends it.
const redRiver = `C4 F4 A4 A4 G4 F4 / G4 F4 D4 F4 / C4 F4 A4 F4 A4 C5 Bb4 A4 G4`

func TestWhatIsSaid(t *testing.T) {
	for _, c := range []struct {
		name, play string
		want       []string
	}{
		{"straight through", "C4 F4 A4 A4 G4 F4 G4 F4 D4 F4", []string{"phrase-right 1", "phrase-right 2"}},
		{"in A flat", "Eb4 Ab4 C5 C5 Bb4 Ab4 Bb4 Ab4 F4 Ab4", []string{"phrase-right 1", "phrase-right 2"}},
		{"two hands in octaves", "C4 F4 A4 A4 G4 F4 > G4 F4 D4 F4", []string{"phrase-right 1", "phrase-right 2"}},
		{"one wrong try is no matter", "C4 F4 G4 A4 A4 G4 F4", []string{"phrase-found 1"}},
		{"two wrong tries, both too low", "C4 F4 F#4 G#4", []string{"direction 1/3 little up more"}},
		{"two wrong tries, then too far up", "C4 F4 B4 C#5", []string{"direction 1/3 some"}},
		{"the other way", "C4 F4 E4 C#4", []string{"direction 1/3 lot up"}},
		{"a wrong try and a pause", "C4 F4 Bb4 3s", []string{"direction 1/3 little"}},
		{"nothing new is not said again", "C4 F4 Bb4 B4 Bb4 B4 Bb4 3s", []string{"direction 1/3 little"}},
		{"too long at one note", "C4 F4 Bb4 B4 Bb4 B4 Bb4 B4 Bb4 B4 B4", []string{"direction 1/3 little", "once-more 1/3"}},
		{"a right note in another octave", "C4 F4 A5 A4 G4 F4", []string{"other-octave 1/3", "phrase-found 1"}},
		{"a note tried twice", "C4 F4 F4 A4 A4 G4 F4", []string{"phrase-found 1"}},
		{"a note left out", "C4 F4 A4 G4 F4", []string{"once-more 1/6 gap"}},
		{"begun again", "C4 F4 A4 C4 F4 A4 A4 G4 F4", []string{"phrase-right 1"}},
		{"three times", "C4 F4 A4 A4 G4 F4 C4 F4 A4 A4 G4 F4 C4 F4 A4 A4 G4 F4", []string{
			"phrase-right 1", "phrase-right 1 x2", "phrase-right 1 x3"}},
		{"another phrase first, then the whole tune", "G4 F4 D4 F4 C4 F4 A4 F4 A4 C5 Bb4 A4 G4 C4 F4 A4 A4 G4 F4 3s", []string{
			"phrase-right 2", "phrase-right 3", "phrase-right 1", "tune-found"}},
		{"from beginning to end", "C4 F4 A4 A4 G4 F4 G4 F4 D4 F4 C4 F4 A4 F4 A4 C5 Bb4 A4 G4", []string{
			"phrase-right 1", "phrase-right 2", "phrase-right 3", "tune-right"}},
		{"hints", "? ? C4 F4 ? ? A4 A4 G4 F4 ? ?", []string{"contour 1", "next-note 1/1", "next-note 1/3 at 0", "next-note 1/3 at 0", "phrase-right 1", "contour 2", "next-note 2/1 at 0"}},
		{"two wrong tries in A flat, both too low", "Eb4 Ab4 A4 B4", []string{"direction 1/3 little up more"}},
		{"six wrong tries are not too many", "C4 F4 Bb4 B4 Bb4 B4 Bb4 B4", []string{"direction 1/3 little"}},
		{"seven are", "C4 F4 Bb4 B4 Bb4 B4 Bb4 B4 Bb4", []string{"direction 1/3 little", "once-more 1/3"}},
		{"in another octave, and again", "C4 F4 A5 F4 A5", []string{"other-octave 1/3"}},
		{"each phrase once, in no order", "C4 F4 A4 A4 G4 F4 C4 F4 A4 F4 A4 C5 Bb4 A4 G4 G4 F4 D4 F4", []string{
			"phrase-right 1", "phrase-right 3", "phrase-right 2", "tune-found"}},
		{"a hint in E flat", "? Bb3 Eb4 G4 G4 F4 ?", []string{"contour 1", "next-note 1/6 at -2"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, newPlayer(t, redRiver, Options{}).play(c.play))
		})
	}
}

func TestHelpUnasked(t *testing.T) {
	assert.Equal(t, []string{"phrase-right 1", "contour 2"},
		newPlayer(t, redRiver, Options{Help: HelpContour}).play("C4 F4 A4 A4 G4 F4"))
	p := newPlayer(t, redRiver, Options{Help: HelpNote})
	assert.Equal(t, []string{"contour 1", "next-note 1/1"}, p.said)
	assert.Equal(t, []string{"next-note 1/2 at 2", "next-note 1/3 at 2"}, p.play("D4 G4 Bb4"), "told once")
}

func TestTasks(t *testing.T) {
	a := pitch.Note{Letter: 5}
	const short = `C4 D4 E4 / E4 G4 E4 / D4 D4 C4`
	for _, c := range []struct {
		name string
		task Task
		play string
		want []string
	}{
		{"from A", Task{From: &a, Known: true}, "G4 A4 B4 A4 B4 C#5 C#5 E5 C#5 B4 B4 A4", []string{
			"start-note A", "phrase-right 1 from missed", "phrase-right 1 x2 from kept", "phrase-right 2 from kept", "phrase-right 3 from kept", "task-done"}},
		{"another, when it is found", Task{Another: true}, "C4 D4 E4 E4 G4 E4 D4 D4 C4 F4 G4 A4", []string{
			"phrase-right 1", "phrase-right 2", "phrase-right 3", "tune-right", "task F", "phrase-right 1 from kept"}},
		{"in the low range", Task{Range: Low, Known: true}, "C4 D4 E4 C3 D3 E3 E3 G3 E3", []string{
			"phrase-right 1 range missed", "phrase-right 1 x2 range kept", "phrase-right 2 range kept"}},
		{"in the high range", Task{Range: High, Known: true}, "C5 D5 E5", []string{"phrase-right 1 range kept"}},
		{"soft and loud", Task{SoftLoud: true, Known: true}, "C4@40 D4@44 E4@42 E4@80 G4@85 E4@82 D4@44 D4@41 C4@40", []string{
			"phrase-right 1", "phrase-right 2 soft-loud kept", "phrase-right 3 soft-loud kept", "task-done"}},
		{"all as loud, by any measure", Task{SoftLoud: true, Known: true}, "C4@60 D4@64 E4@62 E4@61 G4@66 E4@63 3s E4@63 G4@70 E4@69", []string{
			"phrase-right 1", "phrase-right 2 soft-loud missed", "phrase-right 2 x2 soft-loud kept"}},
		{"always the same force", Task{SoftLoud: true, Known: true}, "C4 D4 E4 E4 G4 E4", []string{
			"phrase-right 1", "phrase-right 2 soft-loud missed"}},
		{"from hand to hand", Task{Hands: true, Known: true}, "C4 D4 E4 < E4 G4 E4 > D4 D4 C4", []string{
			"phrase-right 1", "phrase-right 2 hands kept", "phrase-right 3 hands kept", "task-done"}},
		{"lower and lower is no change of hands", Task{Hands: true, Known: true}, "C5 D5 E5 < E5 G5 E5 < D5 D5 C5", []string{
			"phrase-right 1", "phrase-right 2 hands kept", "phrase-right 3 hands missed"}},
		{"left as it was, but the next one's next", Task{Range: Low, Known: true}, "C4 D4 E4 D3 D3 C3", []string{
			"phrase-right 1 range missed", "phrase-right 3"}},
		{"the same hand twice, left so", Task{Hands: true, Known: true}, "C4 D4 E4 E4 G4 E4 > D4 D4 C4", []string{
			"phrase-right 1", "phrase-right 2 hands missed", "phrase-right 3 hands kept", "task-done"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, newPlayer(t, short, Options{Task: c.task}).play(c.play))
		})
	}
}

// Every wrong note counts, whatever the student does next.
func TestWrongNotesAreCounted(t *testing.T) {
	for _, c := range []struct {
		name, play string
		want       []int // by phrase
	}{
		{"until it is found", "C4 F4 G4 Bb4 A4", []int{2, 0, 0}},
		{"given up", "C4 F4 G4 Bb4", []int{2, 0, 0}},
		{"begun again", "C4 F4 G4 Bb4 C4 F4 A4", []int{2, 0, 0}},
		{"the last note once more", "C4 F4 G4 Bb4 F4 A4", []int{2, 0, 0}},
		{"back, and wrong again", "C4 F4 A4 A4 Bb4 F4 A4 A4 B4 G4 F4", []int{2, 0, 0}},
		{"in an octave", "C4 F4 G4 Bb4 A5", []int{2, 0, 0}},
		{"a note left out after it", "C4 F4 A4 B4 G4 F4", []int{1, 0, 0}},
		{"in two phrases", "C4 F4 G4 A4 A4 G4 F4 G4 F4 E4 C4 D4 F4", []int{1, 2, 0}},
		{"after the last note there is none", "C4 F4 A4 A4 G4 F4 G4 F4 D4 F4 C4 F4 A4 F4 A4 C5 Bb4 A4 G4 F#4", []int{0, 0, 0}},
	} {
		p := newPlayer(t, redRiver, Options{})
		p.play(c.play)
		var got []int
		for _, phrase := range p.ear.Summary().Tune.Phrases {
			got = append(got, phrase.Wrong)
		}
		assert.Equal(t, c.want, got, c.name)
		assert.Equal(t, got[0], p.ear.Summary().Tune.Phrases[0].Wrong, "asked twice, counted once")
	}
}

func TestSummary(t *testing.T) {
	p := newPlayer(t, redRiver, Options{})
	p.play("C4 F4 G4 Bb4 A4 A4 G4 F4 G4 F4 C4 D4 F4")
	s := p.ear.Summary().Tune
	assert.Equal(t, []finding.PhraseSummary{
		{Phrase: 0, Found: true, Tries: 1, Wrong: 2}, {Phrase: 1, Found: true, Tries: 1, Wrong: 1}, {Phrase: 2},
	}, s.Phrases)
	assert.Equal(t, 2, s.Found)
	assert.False(t, s.Whole)
	assert.Equal(t, 2, s.Hardest)
	phrase, note := p.ear.Tune.Whereabouts(s.Hardest)
	assert.Equal(t, []int{0, 2}, []int{phrase, note})
}

func TestOctavesTogetherAreOneNote(t *testing.T) {
	for apart, want := range map[time.Duration][]string{
		keyboard.Together - 1: {"phrase-right 1"},
		keyboard.Together:     nil, // each a try of its own: none of it is the phrase
	} {
		p := newPlayer(t, redRiver, Options{})
		for i, key := range []uint8{60, 65, 69, 69, 67, 65} {
			at := time.Duration(i) * time.Second
			p.hear(p.ear.Feed(event.On(at, key, 60)))
			p.hear(p.ear.Feed(event.On(at+apart, key-12, 60)))
			p.hear(p.ear.Feed(event.Off(at+300*time.Millisecond, key)))
			p.hear(p.ear.Feed(event.Off(at+300*time.Millisecond, key-12)))
		}
		if want == nil {
			assert.NotContains(t, p.said, "phrase-right 1")
		} else {
			assert.Equal(t, want, p.said)
		}
	}
}

// A student who thinks is left alone for two seconds and a half.
func TestAPauseIsTwoSecondsAndAHalf(t *testing.T) {
	p := newPlayer(t, redRiver, Options{})
	p.play("C4 F4 Bb4")
	last := p.now - 500*time.Millisecond
	due, waits := p.ear.Due()
	assert.Equal(t, last+2500*time.Millisecond, due)
	assert.True(t, waits)
	assert.Empty(t, p.ear.Tick(due-1))
	assert.Len(t, p.ear.Tick(due), 1)
	_, waits = p.ear.Due()
	assert.False(t, waits, "once")
}

func TestThePlaceIsKnown(t *testing.T) {
	p := newPlayer(t, redRiver, Options{})
	p.play("D4 G4 B4 B4 A4 G4 A4 G4")
	assert.Equal(t, Place{Phrase: 1, Found: 2, Shift: 2, Known: true}, p.ear.Place())
	p.play("E4 G4")
	assert.Equal(t, Place{Phrase: 1, Found: 4, Shift: 2, Known: true}, p.ear.Place())
}

// Of two phrases alike the one nearer to where the student was is taken, be it
// before or after.
func TestTheNearerOfTwoPhrasesAlike(t *testing.T) {
	const tune = `E4 D4 C4 D4 / C4 G4 C5 / G4 A4 B4 A4 / F4 F4 E4 / E4 D4 C4 D4 / G4 D4 G3`
	p := newPlayer(t, tune, Options{})
	p.play("E4 D4 C4 D4 C4 G4 C5 G4 A4 B4 A4 E4 D4 C4 D4")
	assert.Equal(t, 4, p.ear.Place().Phrase)
	p = newPlayer(t, tune, Options{})
	p.play("E4 D4 C4 D4 E4 D4 C4 D4")
	assert.Equal(t, 0, p.ear.Place().Phrase)
}

func TestTheHardestNoteIsTheFirstOfThem(t *testing.T) {
	p := newPlayer(t, redRiver, Options{})
	assert.Equal(t, -1, p.ear.Summary().Tune.Hardest, "nothing was hard yet")
	p.play("C4 F4 G4 A4 A4 G4 E4 F4")
	assert.Equal(t, []int{2, 1}, []int{p.ear.Summary().Tune.Hardest, p.ear.Summary().Tune.HardestMiss})
}

func TestATaskIsSummedUp(t *testing.T) {
	a := pitch.Note{Letter: 5}
	p := newPlayer(t, `C4 D4 E4 / E4 G4 E4 / D4 D4 C4`, Options{Task: Task{From: &a, Known: true}})
	assert.Equal(t, finding.TaskSummary{Begun: true}, p.ear.Summary().Tune.Task)
	p.play("G4 A4 B4 3s")
	assert.Equal(t, finding.TaskSummary{Begun: true, Missed: 1}, p.ear.Summary().Tune.Task)
	p.play("A4 B4 C#5 C#5 E5 C#5")
	assert.Equal(t, finding.TaskSummary{Begun: true, Kept: 2}, p.ear.Summary().Tune.Task)
	p.play("B4 B4 A4")
	assert.Equal(t, finding.TaskSummary{Begun: true, Done: true, Kept: 3}, p.ear.Summary().Tune.Task)
}

// A step is a whole tone at most, as singers count them.
func TestContour(t *testing.T) {
	tn := tuneOf(t, "C4 C4 D4 Eb4 Gb4 E4 Eb4 C4 / G4 A4")
	assert.Equal(t, []int{8, 2}, []int{tn.Len(0), tn.Len(1)})
	assert.Equal(t, "[same up up leap-up down down leap-down]", fmt.Sprint(tn.Contour(0)))
	assert.Equal(t, "[up]", fmt.Sprint(tn.Contour(1)))
}

func TestRanges(t *testing.T) {
	for _, c := range []struct {
		r    Range
		mean float64
		want bool
	}{
		{AnyRange, 21, true},
		{Low, 60, true}, {Low, 60.1, false}, // middle C is its top
		{Middle, 55, true}, {Middle, 54.9, false}, {Middle, 77, true}, {Middle, 77.1, false}, // G3 to F5
		{High, 72, true}, {High, 71.9, false}, // C5 is its bottom
	} {
		assert.Equal(t, c.want, c.r.holds(c.mean), "%s %g", c.r, c.mean)
	}
}

// A fifth apart is another hand's place, less is not.
func TestHandsLieAFifthApart(t *testing.T) {
	for _, c := range []struct {
		shifts []int
		want   bool
	}{
		{[]int{0, -7}, true}, {[]int{0, 7}, true}, {[]int{0, 6}, false}, {[]int{0, -6}, false},
		{[]int{0, -12, 0}, true}, {[]int{0, 12, 0}, true}, {[]int{0, 12, 24}, false}, {[]int{0, -12, -24}, false},
		{[]int{0, -7, -14}, false}, {[]int{0, -6, -14}, true}, {[]int{12, 0, -5}, false},
	} {
		r := round{want: len(c.shifts) - 1}
		for _, s := range c.shifts {
			r.played = append(r.played, played{judged: true, shift: s})
		}
		assert.Equal(t, c.want, r.changesHands(&r.played[r.want]), "%v", c.shifts)
		if r.want == 2 {
			r.played[0].judged = false
			assert.Equal(t, abs(c.shifts[2]-c.shifts[1]) >= 7, r.changesHands(&r.played[2]), "%v, the first of them not heard", c.shifts)
		}
	}
}

func TestNotesAreSpelledWhereTheTuneLies(t *testing.T) {
	tn := tuneOf(t, "C4 F#4")
	for shift, want := range map[int]string{0: "C4", 2: "D4", 3: "Eb4", 11: "B4", 12: "C5", 14: "D5", -1: "B3", -12: "C3", -10: "D3"} {
		assert.Equal(t, want, tn.Spell(0, shift).String(), "%d keys up", shift)
	}
	assert.Equal(t, "G#4", tn.Spell(1, 2).String())
}

func TestPhrasesAlike(t *testing.T) {
	tn := tuneOf(t, frereJacques)
	assert.Equal(t, 8, tn.Phrases())
	assert.Equal(t, []int{0, 0, 2, 2, 4, 4, 6, 6}, tn.alike)
	p := newPlayer(t, frereJacques, Options{})
	p.play("C4 D4 E4 C4 E4 F4 G4 G4 A4 G4 F4 E4 C4 C4 G3 C4 3s")
	assert.Contains(t, p.said, "tune-found", "each phrase once is enough")
}

// Ticks between the events change nothing but when the caller hears of it.
func TestTicksChangeNothing(t *testing.T) {
	s := newSearcher(tuneOf(t, saints), searching, 3)
	s.wholeTune()
	hear := func(tick time.Duration) (all []finding.Finding) {
		ear := NewEar(s.tune, Options{Help: HelpNote})
		now := time.Duration(0)
		for _, ev := range s.events {
			ev.At *= 5
			for ; tick > 0 && now < ev.At; now += tick {
				all = append(all, ear.Tick(now)...)
			}
			all = append(all, ear.Feed(ev)...)
		}
		return append(all, ear.Finish(s.now*5+time.Minute)...)
	}
	once := hear(0)
	require.NotEmpty(t, once)
	assert.Equal(t, once, hear(7*time.Millisecond))
	assert.Equal(t, once, hear(time.Second))
}

func FuzzEar(f *testing.F) {
	f.Add([]byte("CDEC CDEC EFG EFG"), uint8(0))
	f.Add([]byte{60, 1, 62, 2, 255, 255, 0, 0, 127, 9}, uint8(77))
	f.Fuzz(func(t *testing.T, data []byte, how uint8) {
		tunes := []string{redRiver, frereJacques, "C4", "C4 / C4", "C-1 G9 / G9 C-1 C4"}
		task := Task{Another: how&8 > 0, SoftLoud: how&16 > 0, Hands: how&32 > 0, Known: how&64 > 0}
		tn := tuneOf(t, tunes[int(how)%len(tunes)])
		ear := NewEar(tn, Options{Help: Help(how % 3), Task: task})
		told := 0
		hear := func(found []finding.Finding) {
			told += len(found)
			for i := range found {
				require.NotEmpty(t, brief(&found[i]))
			}
		}
		hear(ear.Begin(0))
		var now time.Duration
		for i, b := range data {
			now += time.Duration(b) * 13 * time.Millisecond
			hear(ear.Feed(event.Event{At: now, Status: 0x80 | b&0x7F, Data1: b & 0x7F, Data2: uint8(i) & 0x7F}))
			hear(ear.Feed(event.On(now, b&0x7F, 1+b/2)))
			if b%5 == 0 {
				hear(ear.Hint(now))
			}
			place := ear.Place()
			require.Less(t, place.Phrase, tn.Phrases())
			require.LessOrEqual(t, place.Found, tn.Len(place.Phrase))
		}
		hear(ear.Finish(now + time.Hour))
		require.LessOrEqual(t, told, 8*len(data)+8)
		require.LessOrEqual(t, ear.Summary().Tune.Found, tn.Phrases())
	})
}
