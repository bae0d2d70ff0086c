package byear

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/test/sounding"
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

// play plays as sounding.Seek reads it, and returns what is said of it.
func (p *player) play(text string) []string {
	p.t.Helper()
	p.said = nil
	p.now = sounding.Seek(p.t, p.ear, p.now, text, p.hear)
	return p.said
}

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
		{"a word after each two tries, and no more than three", "C4 F4 B4 C#5 F#4 G#4 B4 C#5 Bb4 G#4 Bb4", []string{
			"direction 1/3 some", "direction 1/3 little up more", "direction 1/3 some", "once-more 1/3"}},
		{"in another octave, and again", "C4 F4 A5 F4 A5", []string{"other-octave 1/3"}},
		{"each phrase once, in no order", "C4 F4 A4 A4 G4 F4 C4 F4 A4 F4 A4 C5 Bb4 A4 G4 G4 F4 D4 F4", []string{
			"phrase-right 1", "phrase-right 3", "phrase-right 2", "tune-found"}},
		{"a hint in E flat", "? Bb3 Eb4 G4 G4 F4 ?", []string{"contour 1", "next-note 1/6 at -2"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, newPlayer(t, sounding.RedRiver, Options{}).play(c.play))
		})
	}
}

func TestHelpUnasked(t *testing.T) {
	assert.Equal(t, []string{"phrase-right 1", "contour 2"},
		newPlayer(t, sounding.RedRiver, Options{Help: HelpContour}).play("C4 F4 A4 A4 G4 F4"))
	p := newPlayer(t, sounding.RedRiver, Options{Help: HelpNote})
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
		p := newPlayer(t, sounding.RedRiver, Options{})
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
	p := newPlayer(t, sounding.RedRiver, Options{})
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
		p := newPlayer(t, sounding.RedRiver, Options{})
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
