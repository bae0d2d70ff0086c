package words

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/byear"
	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
	"undersong/internal/test/sounding"
)

// tuneOf reads pitches such as "C4 F#4", with / where a phrase ends.
func tuneOf(t testing.TB, text string) *byear.Tune {
	t.Helper()
	return byear.New(sounding.Phrases(t, text), pitch.Key{})
}

// seeker feeds an ear notes half a second apart, and keeps what it says.
type seeker struct {
	t     *testing.T
	ear   *byear.Ear
	voice TuneWording
	now   time.Duration
	said  []string
}

func newSeeker(t *testing.T, tune string, o byear.Options) *seeker {
	tn := tuneOf(t, tune)
	p := &seeker{t: t, ear: byear.NewEar(tn, o), voice: TuneWording{tn, o.Task}}
	p.hear(p.ear.Begin(0))
	return p
}

func (p *seeker) hear(found []finding.Finding) {
	for i := range found {
		p.said = append(p.said, p.voice.Say(&found[i]))
	}
}

// play plays as sounding.Seek reads it, and returns what is said of it.
func (p *seeker) play(text string) []string {
	p.t.Helper()
	p.said = nil
	p.now = sounding.Seek(p.t, p.ear, p.now, text, p.hear)
	return p.said
}

func TestWhatASeekerIsTold(t *testing.T) {
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
		{"hints", "? ? C4 F4 ? ? A4 A4 G4 F4 ? ?", []string{"phrase 1 goes: leap up twice, same, down twice", "the first note: any key you like", "the next note: up a third, A", "the next note: up a third, A", "phrase 1 is right", "phrase 2 goes: down, leap down, leap up", "the next note: up a step, G"}},
		{"a hint in E flat", "? Bb3 Eb4 G4 G4 F4 ?", []string{"phrase 1 goes: leap up twice, same, down twice", "the next note: down a step, Eb"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, newSeeker(t, sounding.RedRiver, byear.Options{}).play(c.play))
		})
	}
}

// Unless a hint or a task asks for it, no note is named.
func TestTheAnswerIsNotGivenAway(t *testing.T) {
	p := newSeeker(t, sounding.RedRiver, byear.Options{})
	for _, said := range p.play("C4 F4 G4 E4 D4 3s C4 Bb4 5s A5 A4 F4 3s B4 C5 C5 B4 C4 C4 C#4 D4 F4 A4 A4 F4") {
		assert.NotRegexp(t, `\b[A-G](#|b)?\b`, said)
	}
}

func TestHelpUnasked(t *testing.T) {
	assert.Equal(t, []string{"phrase 1 is right", "phrase 2 goes: down, leap down, leap up"},
		newSeeker(t, sounding.RedRiver, byear.Options{Help: byear.HelpContour}).play("C4 F4 A4 A4 G4 F4"))
	p := newSeeker(t, sounding.RedRiver, byear.Options{Help: byear.HelpNote})
	assert.Equal(t, []string{"phrase 1 goes: leap up twice, same, down twice", "the first note: any key you like"}, p.said)
	assert.Equal(t, []string{"the next note: up a fourth, G", "the next note: up a third, B"}, p.play("D4 G4 Bb4"), "told once")
}

func TestTasks(t *testing.T) {
	a := pitch.Note{Letter: 5}
	const short = `C4 D4 E4 / E4 G4 E4 / D4 D4 C4`
	for _, c := range []struct {
		name string
		task byear.Task
		play string
		want []string
	}{
		{"from A", byear.Task{From: &a, Known: true}, "G4 A4 B4 A4 B4 C#5 C#5 E5 C#5 B4 B4 A4", []string{
			"begin on A", "phrase 1 has its notes; now begin on A", "phrase 1 is as asked", "phrase 2 is as asked", "phrase 3 is as asked",
			"That was the whole tune, as asked."}},
		{"another, when it is found", byear.Task{Another: true}, "C4 D4 E4 E4 G4 E4 D4 D4 C4 F4 G4 A4", []string{
			"phrase 1 is right", "phrase 2 is right", "phrase 3 is right", "The whole tune, right from beginning to end.",
			"Now the same tune from F", "phrase 1 is as asked"}},
		{"in the low range", byear.Task{Range: byear.Low, Known: true}, "C4 D4 E4 C3 D3 E3 E3 G3 E3", []string{
			"phrase 1 has its notes; now in the low range, below middle C", "phrase 1 is as asked", "phrase 2 is as asked"}},
		{"in the high range", byear.Task{Range: byear.High, Known: true}, "C5 D5 E5", []string{"phrase 1 is as asked"}},
		{"soft and loud", byear.Task{SoftLoud: true, Known: true}, "C4@40 D4@44 E4@42 E4@80 G4@85 E4@82 D4@44 D4@41 C4@40", []string{
			"phrase 1 is right", "phrase 2 is as asked", "phrase 3 is as asked", "That was the whole tune, as asked."}},
		{"all as loud, by any measure", byear.Task{SoftLoud: true, Known: true}, "C4@60 D4@64 E4@62 E4@61 G4@66 E4@63 3s E4@63 G4@70 E4@69", []string{
			"phrase 1 is right", "phrase 2 has its notes; now clearly louder than the phrase before", "phrase 2 is as asked"}},
		{"always the same force", byear.Task{SoftLoud: true, Known: true}, "C4 D4 E4 E4 G4 E4", []string{
			"phrase 1 is right", "phrase 2 has its notes; now clearly louder than the phrase before"}},
		{"from hand to hand", byear.Task{Hands: true, Known: true}, "C4 D4 E4 < E4 G4 E4 > D4 D4 C4", []string{
			"phrase 1 is right", "phrase 2 is as asked", "phrase 3 is as asked", "That was the whole tune, as asked."}},
		{"the same hand twice, left so", byear.Task{Hands: true, Known: true}, "C4 D4 E4 E4 G4 E4 > D4 D4 C4", []string{
			"phrase 1 is right", "phrase 2 has its notes; now in the other hand, an octave or so from the phrase before", "phrase 3 is as asked",
			"That was the whole tune, as asked."}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, newSeeker(t, short, byear.Options{Task: c.task}).play(c.play))
		})
	}
}

func TestTheHardestMoveIsNamed(t *testing.T) {
	p := newSeeker(t, sounding.RedRiver, byear.Options{})
	p.play("C4 F4 G4 Bb4 A4 A4 G4 F4 G4 F4 C4 D4 F4")
	hardest := p.ear.Summary().Tune.Hardest
	assert.Equal(t, "up a third", p.voice.MoveWords(hardest))
	assert.Equal(t, "in phrase 1 from note 2 to note 3", p.voice.MovePlace(hardest))
	assert.Equal(t, "from phrase 1 to phrase 2", p.voice.MovePlace(6))
}

func TestALongHintStandsOnShortLines(t *testing.T) {
	contour := func(tune string) string {
		v := &TuneWording{Tune: tuneOf(t, tune)}
		return v.Say(&finding.Finding{Kind: finding.Contour})
	}
	assert.Equal(t, "phrase 1 goes: one note", contour("C4"))
	assert.Equal(t, "phrase 1 goes: up, leap up, down, leap down", contour("C4 D4 G4 F4 C4"))
	assert.Equal(t, "phrase 1 goes: same twice, up 3 times", contour("C4 C4 C4 D4 E4 F4"))
	assert.Equal(t, "phrase 1 goes:\n  leap up, same twice, down, leap up,\n  down", contour("C4 E4 E4 E4 D4 G4 F4"), "five moves are too many for one line")
}

func TestWhatATaskAsks(t *testing.T) {
	a := pitch.Note{Letter: 5}
	for want, task := range map[string]byear.Task{
		"":                                 {},
		"in the low range, below middle C": {Range: byear.Low},
		"in the middle range, above middle C, with phrases soft and loud in turn, the first soft": {Range: byear.Middle, SoftLoud: true},
		"in the high range, from the C above middle C":                                            {Range: byear.High},
		"with phrases from hand to hand, the left hand's an octave or so lower":                   {Hands: true},
	} {
		v := &TuneWording{Task: task}
		assert.Equal(t, want, v.TaskWords(finding.First{}))
	}
	v := &TuneWording{Tune: tuneOf(t, "C4 D4"), Task: byear.Task{SoftLoud: true}}
	assert.Equal(t, "from A, with phrases soft and loud in turn, the first soft", v.TaskWords(finding.First{Asked: true, Note: a}))
	assert.Equal(t, "the first note: A", v.Say(&finding.Finding{Kind: finding.NextNote, Tune: finding.TuneDetail{From: finding.First{Asked: true, Note: a}}}))
	assert.Equal(t, "the first note: any key you like", v.Say(&finding.Finding{Kind: finding.NextNote, Tune: finding.TuneDetail{Known: true}}))
}

func TestWhatIsMissedIsToldOneAtATime(t *testing.T) {
	v := &TuneWording{Task: byear.Task{Range: byear.Middle}}
	said := func(phrase int, asks finding.Verdicts) string {
		d := finding.TuneDetail{Phrase: phrase, Asks: asks, From: finding.First{Asked: true, Note: pitch.Note{Letter: 5}}}
		return v.Say(&finding.Finding{Kind: finding.PhraseRight, Tune: d})
	}
	const missed, kept = finding.Missed, finding.Kept
	assert.Equal(t, "phrase 1 has its notes; now begin on A", said(0, finding.Verdicts{missed, missed, missed, missed}))
	assert.Equal(t, "phrase 2 has its notes; but the tune has moved: it began on A", said(1, finding.Verdicts{missed, missed, missed, missed}))
	assert.Equal(t, "phrase 2 has its notes; now in the middle range, above middle C", said(1, finding.Verdicts{kept, missed, missed, missed}))
	assert.Equal(t, "phrase 2 has its notes; now clearly louder than the phrase before", said(1, finding.Verdicts{kept, kept, missed, missed}))
	assert.Equal(t, "phrase 3 has its notes; now clearly softer than the phrase before", said(2, finding.Verdicts{kept, kept, missed, missed}))
	assert.Equal(t, "phrase 3 has its notes; now in the other hand, an octave or so from the phrase before", said(2, finding.Verdicts{kept, kept, kept, missed}))
	assert.Equal(t, "phrase 3 is as asked", said(2, finding.Verdicts{kept}))
}

func TestMovesAreNamed(t *testing.T) {
	for move, want := range map[string]string{
		"C4 C4": "the same again", "C4 D4": "up a step", "D4 C4": "down a step", "C4 C#4": "up a half step", "C#4 C4": "down a half step",
		"C4 Bb4": "up a seventh", "C4 C5": "up an octave", "C5 C4": "down an octave", "C4 D5": "up a ninth", "C4 F5": "up an eleventh",
		"C4 G5": "up a twelfth", "C4 A5": "up a long way", "A5 C4": "down a long way", "B3 C4": "up a step",
	} {
		assert.Equal(t, want, (&TuneWording{Tune: tuneOf(t, move)}).MoveWords(1), move)
	}
}

func TestDirections(t *testing.T) {
	for want, w := range map[string]finding.Way{
		"a little higher": {Up: true}, "higher": {Up: true, Size: finding.Some}, "a lot lower": {Size: finding.Lot},
		"a little further up": {Up: true, More: true}, "a lot further down": {Size: finding.Lot, More: true},
	} {
		assert.Equal(t, want, directionWords(w))
	}
}
