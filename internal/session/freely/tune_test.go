package freely

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/byear"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/ui/words"
)

// faced is a sitting with two faces: what is told in words, and what is shown.
type faced struct {
	sitting.Sitting
	speaker *words.Speaker
	viewer  words.Viewer
	said    []string
}

// tell puts what was told into words.
func (f *faced) tell() {
	for _, r := range f.Take() {
		switch {
		case r.Piece != nil:
			f.speaker = words.NewSpeaker(r.Piece)
		case r.Notice != nil:
			f.said = append(f.said, f.speaker.Notice(r.Notice))
		}
		for i := range r.Findings {
			f.said = append(f.said, f.speaker.Line(&r.Findings[i].Finding))
		}
	}
}

func (f *faced) view() words.View {
	f.tell()
	st := f.State()
	return f.viewer.View(&st)
}

func (f *faced) do(now time.Duration, d sitting.Do) { f.Do(now, sitting.Command{Do: d}) }

// sung is a score of nothing but a tune.
func sung(notes []score.Note) *score.Score {
	return &score.Score{Melody: notes, Meter: meter.Meter{Num: 4, Den: 4}, Bars: []score.Bar{{Number: 1}}}
}

// The first phrases of Frère Jacques, looked for from G.
func TestATuneShowsWhatIsFound(t *testing.T) {
	var notes []score.Note
	for i, key := range []pitch.Num{60, 62, 64, 60, 64, 65, 67} {
		notes = append(notes, score.Note{Pitch: key.Spell(pitch.Key{}.Spell(key.Class())), Phrase: i / 4})
	}
	b := &faced{Sitting: NewTune(sitting.Heading{Title: "Frère Jacques"}, sung(notes))}
	b.Begin(time.Second)
	now := time.Second
	play := func(keys ...uint8) words.View {
		for _, k := range keys {
			now += 400 * time.Millisecond
			b.Event(event.On(now, k, 70))
			b.Event(event.Off(now+200*time.Millisecond, k))
		}
		return b.view()
	}
	st := play()
	assert.Equal(t, "begin on any key you like", st.Prompt)
	st = play(67, 69)
	assert.Equal(t, words.Tune{Phrases: make([]sitting.FoundPhrase, 2), Found: 2, Notes: 4}, *st.Tune)
	assert.Empty(t, st.Praise+st.Prompt)

	st = play(65, 62)
	assert.Equal(t, "a lot higher", st.Correction)
	assert.Equal(t, 2, st.Tune.Found)
	st = play(71)
	assert.Empty(t, st.Correction, "it has helped")
	st = play(67)
	assert.Equal(t, "phrase 1 is found; now straight through", st.Praise)

	b.do(now, sitting.DoHint)
	assert.Equal(t, "phrase 2 goes: up twice", b.view().Correction)
	b.do(now, sitting.DoFaster)
	b.do(now, sitting.DoHint)
	assert.Equal(t, "the next note: up a third, B", b.view().Correction)

	b.Lost(now, "Digital Piano")
	assert.Equal(t, "keyboard unplugged: waiting for Digital Piano", b.view().Notice)
	b.Found(now, "Digital Piano")
	assert.Empty(t, b.view().Notice)
	st = play(71, 72, 74)
	assert.Equal(t, "That is the whole tune. Now from beginning to end.", st.Praise)
	assert.Equal(t, pause, b.Until(now, time.Hour))
	b.Tick(now + pause)
	assert.Equal(t, time.Hour, b.Until(now, time.Hour), "nothing is due any more")

	b.do(now+time.Minute, sitting.DoEnd)
	assert.True(t, b.Done())
	assert.Equal(t, "The whole tune is found", b.view().Summary[0])
	assert.Len(t, b.said, 9, "%q", b.said)
}

func TestATuneShowsTheTask(t *testing.T) {
	notes := []score.Note{{Pitch: pitch.Pitch{Octave: 4}}, {Pitch: pitch.Pitch{Note: pitch.Note{Letter: 1}, Octave: 4}}}
	task := byear.Task{Another: true, SoftLoud: true, Known: true}
	b := &faced{Sitting: NewTune(sitting.Heading{Task: task}, sung(notes))}
	b.Begin(0)
	assert.Equal(t, "from F, with phrases soft and loud in turn, the first soft", b.view().Pattern)
	assert.Equal(t, "Now the same tune from F, with phrases soft and loud in turn, the first soft", b.view().Correction)
	b.Event(event.On(0, 60, 70))
	assert.Equal(t, "begin on F", b.view().Correction)
	b.Event(event.On(time.Second, 65, 70))
	b.Event(event.On(2*time.Second, 67, 70))
	assert.Equal(t, "That was the whole tune, as asked.", b.view().Praise)
	assert.Empty(t, b.view().Pattern)
}

// pause is how long a student thinks before something is said.
const pause = 2500 * time.Millisecond
