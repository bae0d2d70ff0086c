package practice

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/byear"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/ui/term"
	"undersong/internal/ui/words"
)

// quiet is a writer that keeps the words.
type quiet struct {
	sitting.Silent
	tune *words.TuneVoice
	said []string
}

func (q *quiet) StartTune(h sitting.TuneHeading) error {
	q.tune = words.NewTuneVoice(h)
	return nil
}

func (q *quiet) TuneFinding(i sitting.Item) error {
	q.said = append(q.said, q.tune.Say(i.Finding))
	return nil
}

func (q *quiet) Notice(_ time.Duration, text string) error {
	q.said = append(q.said, text)
	return nil
}

// The first phrases of Frère Jacques, looked for from G.
func TestByEarShowsWhatIsFound(t *testing.T) {
	var notes []score.Note
	for i, key := range []pitch.Num{60, 62, 64, 60, 64, 65, 67} {
		notes = append(notes, score.Note{Pitch: key.Spell(pitch.Key{}.Spell(key.Class())), Phrase: i / 4})
	}
	q := &quiet{}
	b := &ByEar{Heading: sitting.TuneHeading{Title: "Frère Jacques", Tune: byear.New(notes, pitch.Key{})}}
	b.Tell(q, "")
	require.NoError(t, b.Begin(time.Second))
	now := time.Second
	play := func(keys ...uint8) term.State {
		for _, k := range keys {
			now += 400 * time.Millisecond
			require.NoError(t, b.Event(event.On(now, k, 70)))
			require.NoError(t, b.Event(event.Off(now+200*time.Millisecond, k)))
		}
		return b.View()
	}
	st := play()
	assert.Equal(t, "begin on any key you like", st.Praise)
	st = play(67, 69)
	assert.Equal(t, term.Tune{Phrases: make([]term.Phrase, 2), Found: 2, Notes: 4}, *st.Tune)
	assert.Empty(t, st.Praise)

	st = play(65, 62)
	assert.Equal(t, "a lot higher", st.Correction)
	assert.Equal(t, 2, st.Tune.Found)
	st = play(71)
	assert.Empty(t, st.Correction, "it has helped")
	st = play(67)
	assert.Equal(t, "phrase 1 is found; now straight through", st.Praise)

	require.NoError(t, b.Type(now, "h"))
	assert.Equal(t, "phrase 2 goes: up twice", b.View().Correction)
	require.NoError(t, b.Type(now, "x"))
	require.NoError(t, b.Type(now, "H"))
	assert.Equal(t, "the next note: up a third, B", b.View().Correction)

	require.NoError(t, b.Lost(now, "Digital Piano"))
	assert.Equal(t, "keyboard unplugged: waiting for Digital Piano", b.View().Notice)
	require.NoError(t, b.Found(now, "Digital Piano"))
	assert.Empty(t, b.View().Notice)
	st = play(71, 72, 74)
	assert.Equal(t, "That is the whole tune. Now from beginning to end.", st.Praise)
	assert.Equal(t, pause, b.Until(now, time.Hour))
	require.NoError(t, b.Tick(now+pause))
	assert.Equal(t, time.Hour, b.Until(now, time.Hour), "nothing is due any more")

	require.NoError(t, b.Stop(now+time.Minute))
	assert.True(t, b.Done())
	assert.Equal(t, "The whole tune is found", b.View().Summary[0])
	assert.Len(t, q.said, 8)
}

func TestByEarShowsTheTask(t *testing.T) {
	notes := []score.Note{{Pitch: pitch.Pitch{Octave: 4}}, {Pitch: pitch.Pitch{Note: pitch.Note{Letter: 1}, Octave: 4}}}
	task := byear.Task{Another: true, SoftLoud: true, Known: true}
	b := &ByEar{Heading: sitting.TuneHeading{Tune: byear.New(notes, pitch.Key{}), Task: task}}
	b.Tell(sitting.Silent{}, "")
	require.NoError(t, b.Begin(0))
	assert.Equal(t, "from F, with phrases soft and loud in turn, the first soft", b.View().Pattern)
	assert.Equal(t, "Now the same tune from F, with phrases soft and loud in turn, the first soft", b.View().Correction)
	require.NoError(t, b.Event(event.On(0, 60, 70)))
	assert.Equal(t, "begin on F", b.View().Correction)
	require.NoError(t, b.Event(event.On(time.Second, 65, 70)))
	require.NoError(t, b.Event(event.On(2*time.Second, 67, 70)))
	assert.Equal(t, "That was the whole tune, as asked.", b.View().Praise)
	assert.Empty(t, b.View().Pattern)
}

// pause is how long a student thinks before something is said.
const pause = 2500 * time.Millisecond
