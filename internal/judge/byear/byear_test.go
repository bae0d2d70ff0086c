package byear

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
)

// player feeds an ear notes half a second apart, and keeps what it says.
type player struct {
	t     *testing.T
	ear   *Ear
	voice Voice
	now   time.Duration
	said  []string
	kinds []Kind
}

func newPlayer(t *testing.T, tune string, o Options) *player {
	tn := tuneOf(t, tune)
	p := &player{t: t, ear: NewEar(tn, o), voice: Voice{tn, o.Task}}
	p.hear(p.ear.Begin(0))
	return p
}

func (p *player) hear(found []Finding) {
	for i := range found {
		p.said = append(p.said, p.voice.Say(&found[i]))
		p.kinds = append(p.kinds, found[i].Kind)
	}
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
		{"straight through", "C4 F4 A4 A4 G4 F4 G4 F4 D4 F4", []string{"phrase 1 is right", "phrase 2 is right"}},
		{"in A flat", "Eb4 Ab4 C5 C5 Bb4 Ab4 Bb4 Ab4 F4 Ab4", []string{"phrase 1 is right", "phrase 2 is right"}},
		{"two hands in octaves", "C4 F4 A4 A4 G4 F4 > G4 F4 D4 F4", []string{"phrase 1 is right", "phrase 2 is right"}},
		{"one wrong try is no matter", "C4 F4 G4 A4 A4 G4 F4", []string{"phrase 1 is found; now straight through"}},
		{"two wrong tries, both too low", "C4 F4 F#4 G#4", []string{"a little further up"}},
		{"two wrong tries, then too far up", "C4 F4 B4 C#5", []string{"lower"}},
		{"the other way", "C4 F4 E4 C#4", []string{"a lot higher"}},
		{"a wrong try and a pause", "C4 F4 Bb4 3s", []string{"a little lower"}},
		{"nothing new is not said again", "C4 F4 Bb4 B4 Bb4 B4 Bb4 3s", []string{"a little lower"}},
		{"too long at one note", "C4 F4 Bb4 B4 Bb4 B4 Bb4 B4 Bb4 B4 B4", []string{"a little lower", "from the beginning of phrase 1 once more"}},
		{"a right note in another octave", "C4 F4 A5 A4 G4 F4", []string{"the right note, in another octave", "phrase 1 is found; now straight through"}},
		{"a note tried twice", "C4 F4 F4 A4 A4 G4 F4", []string{"phrase 1 is found; now straight through"}},
		{"a note left out", "C4 F4 A4 G4 F4", []string{"a note was left out; phrase 1 from its beginning once more"}},
		{"begun again", "C4 F4 A4 C4 F4 A4 A4 G4 F4", []string{"phrase 1 is right"}},
		{"three times", "C4 F4 A4 A4 G4 F4 C4 F4 A4 A4 G4 F4 C4 F4 A4 A4 G4 F4", []string{
			"phrase 1 is right", "phrase 1 is right, 2 times in a row", "phrase 1 is right, 3 times in a row"}},
		{"another phrase first, then the whole tune", "G4 F4 D4 F4 C4 F4 A4 F4 A4 C5 Bb4 A4 G4 C4 F4 A4 A4 G4 F4 3s", []string{
			"phrase 2 is right", "phrase 3 is right", "phrase 1 is right", "That is the whole tune. Now from beginning to end."}},
		{"from beginning to end", "C4 F4 A4 A4 G4 F4 G4 F4 D4 F4 C4 F4 A4 F4 A4 C5 Bb4 A4 G4", []string{
			"phrase 1 is right", "phrase 2 is right", "phrase 3 is right", "The whole tune, right from beginning to end."}},
		{"hints", "? ? C4 F4 ? ? A4 A4 G4 F4 ? ?", []string{"phrase 1 goes: leap up, leap up, same, down, down", "the first note: any key you like",
			"the next note: up a third, A", "the next note: up a third, A", "phrase 1 is right", "phrase 2 goes: down, leap down, leap up", "the next note: up a step, G"}},
		{"a hint in E flat", "? Bb3 Eb4 G4 G4 F4 ?", []string{"phrase 1 goes: leap up, leap up, same, down, down", "the next note: down a step, Eb"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, newPlayer(t, redRiver, Options{}).play(c.play))
		})
	}
}

// Unless a hint or a task asks for it, no note is named.
func TestTheAnswerIsNotGivenAway(t *testing.T) {
	p := newPlayer(t, redRiver, Options{})
	for _, said := range p.play("C4 F4 G4 E4 D4 3s C4 Bb4 5s A5 A4 F4 3s B4 C5 C5 B4 C4 C4 C#4 D4 F4 A4 A4 F4") {
		assert.NotRegexp(t, `\b[A-G](#|b)?\b`, said)
	}
}

func TestHelpUnasked(t *testing.T) {
	assert.Equal(t, []string{"phrase 1 is right", "phrase 2 goes: down, leap down, leap up"},
		newPlayer(t, redRiver, Options{Help: HelpContour}).play("C4 F4 A4 A4 G4 F4"))
	p := newPlayer(t, redRiver, Options{Help: HelpNote})
	assert.Equal(t, []string{"phrase 1 goes: leap up, leap up, same, down, down", "the first note: any key you like"}, p.said)
	assert.Equal(t, []string{"the next note: up a fourth, G", "the next note: up a third, B"}, p.play("D4 G4 Bb4"), "told once")
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
			"begin on A", "phrase 1 has its notes; now begin on A", "phrase 1 is as asked", "phrase 2 is as asked", "phrase 3 is as asked",
			"That was the whole tune, as asked."}},
		{"another, when it is found", Task{Another: true}, "C4 D4 E4 E4 G4 E4 D4 D4 C4 F4 G4 A4", []string{
			"phrase 1 is right", "phrase 2 is right", "phrase 3 is right", "The whole tune, right from beginning to end.",
			"Now the same tune from F", "phrase 1 is as asked"}},
		{"in the low range", Task{Range: Low, Known: true}, "C4 D4 E4 C3 D3 E3 E3 G3 E3", []string{
			"phrase 1 has its notes; now in the low range, below middle C", "phrase 1 is as asked", "phrase 2 is as asked"}},
		{"in the high range", Task{Range: High, Known: true}, "C5 D5 E5", []string{"phrase 1 is as asked"}},
		{"soft and loud", Task{SoftLoud: true, Known: true}, "C4@40 D4@44 E4@42 E4@80 G4@85 E4@82 D4@44 D4@41 C4@40", []string{
			"phrase 1 is right", "phrase 2 is as asked", "phrase 3 is as asked", "That was the whole tune, as asked."}},
		{"all as loud, by any measure", Task{SoftLoud: true, Known: true}, "C4@60 D4@64 E4@62 E4@61 G4@66 E4@63 3s E4@63 G4@70 E4@69", []string{
			"phrase 1 is right", "phrase 2 has its notes; now clearly louder than the phrase before", "phrase 2 is as asked"}},
		{"always the same force", Task{SoftLoud: true, Known: true}, "C4 D4 E4 E4 G4 E4", []string{
			"phrase 1 is right", "phrase 2 has its notes; now clearly louder than the phrase before"}},
		{"from hand to hand", Task{Hands: true, Known: true}, "C4 D4 E4 < E4 G4 E4 > D4 D4 C4", []string{
			"phrase 1 is right", "phrase 2 is as asked", "phrase 3 is as asked", "That was the whole tune, as asked."}},
		{"the same hand twice, left so", Task{Hands: true, Known: true}, "C4 D4 E4 E4 G4 E4 > D4 D4 C4", []string{
			"phrase 1 is right", "phrase 2 has its notes; now in the other hand, an octave or so from the phrase before", "phrase 3 is as asked",
			"That was the whole tune, as asked."}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, newPlayer(t, short, Options{Task: c.task}).play(c.play))
		})
	}
}

func TestSummary(t *testing.T) {
	p := newPlayer(t, redRiver, Options{})
	p.play("C4 F4 G4 Bb4 A4 A4 G4 F4 G4 F4 C4 D4 F4")
	s := p.ear.Summary()
	assert.Equal(t, []PhraseSummary{{0, true, false, 1, 2}, {1, true, false, 1, 1}, {2, false, false, 0, 0}}, s.Phrases)
	assert.Equal(t, 2, s.Found)
	assert.False(t, s.Whole)
	assert.Equal(t, 2, s.Hardest)
	assert.Equal(t, "up a third", p.ear.Tune.MoveWords(s.Hardest))
	assert.Equal(t, "in phrase 1 from note 2 to note 3", p.ear.Tune.MovePlace(s.Hardest))
}

func TestOctavesTogetherAreOneNote(t *testing.T) {
	p := newPlayer(t, redRiver, Options{})
	for i, key := range []uint8{60, 65, 69, 69, 67, 65} {
		at := time.Duration(i) * time.Second
		p.hear(p.ear.Feed(event.On(at, key, 60)))
		p.hear(p.ear.Feed(event.On(at+20*time.Millisecond, key-12, 60)))
		p.hear(p.ear.Feed(event.Off(at+300*time.Millisecond, key)))
		p.hear(p.ear.Feed(event.Off(at+300*time.Millisecond, key-12)))
	}
	assert.Equal(t, []string{"phrase 1 is right"}, p.said)
}

func TestPhrasesAlike(t *testing.T) {
	tn := tuneOf(t, frereJacques)
	assert.Equal(t, 8, tn.Phrases())
	assert.Equal(t, []int{0, 0, 2, 2, 4, 4, 6, 6}, tn.alike)
	p := newPlayer(t, frereJacques, Options{})
	p.play("C4 D4 E4 C4 E4 F4 G4 G4 A4 G4 F4 E4 C4 C4 G3 C4 3s")
	assert.Contains(t, p.said, "That is the whole tune. Now from beginning to end.", "each phrase once is enough")
}

// Ticks between the events change nothing but when the caller hears of it.
func TestTicksChangeNothing(t *testing.T) {
	s := newSearcher(tuneOf(t, saints), searching, 3)
	s.wholeTune()
	hear := func(tick time.Duration) (all []Finding) {
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
		ear, voice := NewEar(tn, Options{Help: Help(how % 3), Task: task}), Voice{tn, task}
		told := 0
		hear := func(found []Finding) {
			told += len(found)
			for i := range found {
				require.NotEmpty(t, voice.Say(&found[i]))
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
		require.LessOrEqual(t, ear.Summary().Found, tn.Phrases())
	})
}
