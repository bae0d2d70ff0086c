package live

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

// music reads music such as "C3 0-0.4; E4 G4 C5 1-1.4; pedal 0-2": keys or the
// pedal, and from when to when they are held, in seconds.
func music(t *testing.T, text string) []event.Event {
	t.Helper()
	return sounding.Held(t, text, time.Second)
}

// ears collects what a Listener tells.
type ears struct {
	*Listener
	now  []string
	over []Sound
}

func newEars(o Options) *ears { return &ears{Listener: NewListener(o)} }

// take notes what was told: names, "-" for silence, and sounds that are over.
func (e *ears) take() {
	for _, c := range e.Take() {
		switch {
		case c.Over:
			e.over = append(e.over, c.Sound)
		case c.Silent():
			e.now = append(e.now, "-")
		default:
			e.now = append(e.now, name(&c.Sound))
		}
	}
}

// name is a chord's symbol, or each note once.
func name(s *Sound) string {
	if !s.Chord.IsNone() {
		return s.Chord.String()
	}
	var names []string
	for _, k := range s.Keys {
		if n := s.Spelling().Spell(k.Class()).String(); !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	return strings.Join(names, " ")
}

func (e *ears) play(events []event.Event) {
	for _, ev := range events {
		e.Feed(ev)
		e.take()
	}
}

func (e *ears) finish(at time.Duration) {
	e.Finish(at)
	e.take()
}

// listen is what a Listener says to music.
func listen(t *testing.T, e *ears, text string) string {
	t.Helper()
	e.play(music(t, text))
	e.Tick(e.Listener.now + time.Second)
	e.take()
	return strings.Join(e.now, ", ")
}

func TestListenerNamesWhatIsHeldOnceItHasSettled(t *testing.T) {
	e := newEars(Options{})
	ms := time.Millisecond
	for i, key := range []uint8{57, 60, 65} { // fingers that land one after the other
		e.Feed(event.On(time.Duration(100+15*i)*ms, key, 70))
	}
	e.Tick(150 * ms)
	e.take()
	assert.Empty(t, e.now)
	e.Tick(180 * ms)
	e.take()
	assert.Equal(t, []string{"F/A"}, e.now)
	e.Feed(event.Pedal(400*ms, 127))
	for i, key := range []uint8{57, 60, 65} {
		e.Feed(event.Off(time.Duration(500+9*i)*ms, key))
	}
	e.Tick(900 * ms)
	e.take()
	assert.Equal(t, []string{"F/A"}, e.now, "the pedal holds it")
	e.Feed(event.Pedal(time.Second, 0))
	e.Tick(2 * time.Second)
	e.take()
	assert.Equal(t, []string{"F/A", "-"}, e.now)
	require.Len(t, e.over, 1)
	assert.Equal(t, 100*ms, e.over[0].Start)
	assert.Equal(t, time.Second, e.over[0].End)
	assert.Equal(t, "F major, first inversion", e.over[0].Chord.Words())
}

// Common practice, no source.
func TestListenerNamesMusic(t *testing.T) {
	for _, c := range []struct{ name, key, split, music, want string }{
		{"a waltz", "C", "", "C3 0-0.4; E4 G4 C5 0.6-0.9; E4 G4 C5 1.2-1.5; G2 1.8-2.2; F4 G4 B4 2.4-2.7; F4 G4 B4 3-3.3", "C, -, C, -, C, -, G, -, G7, -, G7, -"},
		{"a waltz with two notes after the beat", "C", "", "C3 0-0.4; E4 G4 0.6-0.9; G4 C5 1.2-1.5", "C, -, C, -, C, -"},
		{"the fifth in a waltz's bass", "C", "", "G2 0-0.4; E4 G4 C5 0.6-0.9", "G, -, C/G, -"},
		{"legato, bass let go of under the chord", "C", "", "C3 0-1; E4 G4 C5 0-2", "C, -"},
		{"the root of a seventh only in the bass", "C", "", "A2 0-0.4; C4 E4 G4 0.6-1", "A, -, Am7, -"},
		{"a dominant without root over its bass", "F", "", "C2 0-0.4; E4 G4 Bb4 D5 0.6-1", "C, -, C9, -"},
		{"a bass of long ago", "C", "", "A2 0-0.4; C4 E4 G4 2-2.5", "A, -, C, -"},
		{"a bass of a second ago", "C", "", "A2 0-0.4; C4 E4 G4 1.4-1.9", "A, -, Am7, -"},
		{"a bass of longer ago", "C", "", "A2 0-0.4; C4 E4 G4 1.41-1.9", "A, -, C, -"},
		{"a lower bass takes the place of one that sounds on", "C", "", "A2 0-0.6; D2 0.3-0.8; F4 A4 C5 1-1.4", "A, D5, D, -, Dm7, -"},
		{"a higher one does not", "C", "", "D2 0-0.8; A2 0.3-0.6; F4 A4 C5 1-1.4", "D, D5, D, -, Dm7, -"},
		{"the seventh in the bass", "F", "", "Bb2 0-0.4; C4 E4 G4 0.6-1", "Bb, -, C7/Bb, -"},
		{"the ninth is no bass", "C", "", "D2 0-0.4; C4 E4 G4 0.6-1", "D, -, C, -"},
		{"the lowest key of MIDI", "C", "", "C-1 E4 G4 0-1", "C, -"},
		{"another chord has another bass", "C", "", "C3 E4 G4 C5 0-0.4; E4 A4 C5 0.6-1", "C, -, Am/E, -"},
		{"a foreign bass is no bass", "C", "", "F2 0-0.4; C4 E4 G4 0.6-1", "F, -, C, -"},
		{"the pedal holds the bass", "C", "", "A2 0-0.3; C4 E4 G4 0.6-1; pedal 0.1-2", "A, Am7, -"},
		{"the pedal lets the bass go", "C", "", "A2 0-0.3; C4 E4 G4 1.9-2.4; pedal 0.1-0.5", "A, -, C, -"},
		{"the pedal is changed just after the chord", "C", "", "C3 E4 G4 C5 0-0.95; pedal 0.2-1.1; F2 F4 A4 C5 1-2; pedal 1.2-2", "C, F, -"},
		{"a pedal that is not changed", "C", "", "C3 E4 G4 0-0.9; pedal 0.2-2; F3 A3 C4 1-2", "C, Fmaj9/C, -"},
		{"tune over a chord", "C", "", "C3 C4 E4 G4 0-2; E5 0-0.5; D5 0.5-1; B4 1-2", "C, -"},
		{"tune over a chord that was let go of", "C", "", "C3 C4 E4 G4 0-0.4; E5 0-0.9; D5 0.8-1.2; E5 3-4", "C, -, E, -"},
		{"a tune a second after its chord was let go of", "C", "", "C3 C4 E4 G4 0-0.4; E5 0-1.5; D5 1.4-1.8", "C, D, -"},
		{"and later", "C", "", "C3 C4 E4 G4 0-0.4; E5 0-1.5; D5 1.41-1.8", "C, D E, D, -"},
		{"a tune that makes a chord of its own", "C", "", "C3 E3 G3 0-0.4; A4 0.3-2; C5 0.6-2; F5 0.7-2", "C, F/A, -"},
		{"a note struck under a tune that is held", "C", "", "C3 G3 C4 E4 0-2; E5 0.3-2; A4 0.6-2", "C, C6, -"},
		{"three notes are a chord without the tune", "C", "", "C3 D4 F4 G5 0-1", "Dm7/C, -"},
		{"bass and tune", "C", "", "C3 E5 0-1", "C, -"},
		{"a broken chord", "C", "", "C4 0-2; E4 0.3-2; G4 0.6-2", "C, C, -"},
		{"a left hand alone", "C", "", "C3 E3 G3 0-1; B2 D3 F3 G3 1-2", "C, G7/B, -"},
		{"one note", "C", "", "F#4 0-1", "F#, -"},
		{"a tune in the tenor is taken for the chord's", "C", "", "C3 0-2; E3 G3 0.5-2; B3 1-2", "C, C, Cmaj7, -"},
		{"unless the right hand begins there", "C", "A3", "C3 0-2; E3 G3 0.5-2; B3 1-2", "C, C, -"},
		{"a diminished seventh from the leading note", "Cm", "", "D3 F4 Ab4 B4 0-1", "Bdim7/D, -"},
		{"another leading note", "Am", "", "D3 F4 G#4 B4 0-1", "G#dim7/D, -"},
		{"the third of the chord before goes on", "C", "", "C3 E4 G4 0-1; C3 G4 1.1-2", "C, -, C, -"},
		{"spelled in the key", "B", "", "A#3 C#4 E4 0-1", "A#dim, -"},
	} {
		k, err := pitch.ParseKey(c.key)
		require.NoError(t, err)
		o := Options{Key: &k}
		if c.split != "" {
			p, err := pitch.ParsePitch(c.split)
			require.NoError(t, err)
			o.Split = p.Num()
		}
		assert.Equal(t, c.want, listen(t, newEars(o), c.music), c.name)
	}
}

// The first chords stand in no key yet and are spelled as in C.
func TestListenerFindsTheKey(t *testing.T) {
	for _, c := range []struct{ music, want, key string }{
		{"C3 E4 G4 0-1; F3 A4 C5 1.1-2; G3 F4 B4 2.1-3; C3 E4 G4 3.1-4", "C, -, F, -, G7, -, C, -", "C"},
		{"F#3 A#3 C#4 0-1; Ab3 C4 Eb4 1.1-2; Db3 F4 Ab4 2.1-3; Gb3 Bb3 Db4 3.1-4", "F#, -, Ab, -, Db, -, Gb, -", "Db"},
		{"C#3 E4 G#4 0-1; A3 C#4 E4 1.1-2; E3 G#4 B4 2.1-3; B2 D#4 F#4 3.1-4; E3 G#4 B4 4.1-5; C#3 E4 G#4 5.1-6", "Dbm, -, A, -, E, -, B, -, E, -, C#m, -", "E"},
		// From E to F: the first B flat is an A sharp still.
		{"E3 G#4 B4 0-1; B2 D#4 A4 1.1-2; Bb2 D4 F4 2.1-3; F3 A4 C5 3.1-5; C3 E4 G4 5.1-6; F3 A4 C5 6.1-8; Bb2 D4 F4 8.1-9; C3 E4 Bb4 9.1-10; F3 A4 C5 10.1-11", "E, -, B7, -, A#, -, F, -, C, -, F, -, Bb, -, C7, -, F, -", "F"},
	} {
		e := newEars(Options{})
		assert.Equal(t, c.want, listen(t, e, c.music))
		assert.Nil(t, e.over[0].Key, "nothing is known at the first chord")
		require.NotNil(t, e.over[len(e.over)-1].Key)
		assert.Equal(t, c.key, e.over[len(e.over)-1].Key.String())
	}
}

// What a simulated student plays from a chart is named as the chart has it.
func TestListenerNamesASimulatedStudent(t *testing.T) {
	for _, c := range []struct{ file, pattern string }{
		{"clementine", "waltz"}, {"clementine", "waltz-root-fifth"}, {"home-on-the-range", "waltz"}, {"wayfaring-stranger", "waltz"},
		{"auld-lang-syne", "two-beat"}, {"red-river-valley", "two-beat"}, {"when-the-saints", "two-beat"}, {"drunken-sailor", "two-beat"},
	} {
		tune := material.DemoChart(t, c.file)
		s, err := score.Build(tune, material.Shipped(t, c.pattern), score.Options{})
		require.NoError(t, err)
		habits, err := performer.Human("steady")
		require.NoError(t, err)
		made, err := mistakes.Play(s, habits, mistakes.Plan{}, 1)
		require.NoError(t, err)
		e := newEars(Options{})
		e.play(made.Events)
		e.finish(made.Events[len(made.Events)-1].At)
		named := 0
		for _, is := range e.over {
			if is.Chord.IsNone() {
				continue
			}
			named++
			at := meter.Ticks(s.Tempo.Ticks(is.Start+keyboard.Together, s.Meter))
			want := s.Harmonies[s.HarmonyAt(at)].Chord
			assert.Equal(t, want.Root.Class(), is.Chord.Root.Class(), "%s, %s, %v: %s for %s", c.file, c.pattern, is.Start, name(&is), want)
			assert.Equal(t, want.Type, is.Chord.Type, "%s, %s, %v: %s for %s", c.file, c.pattern, is.Start, name(&is), want)
		}
		assert.Greater(t, named, len(s.Bars)/2, c.file)
		assert.Equal(t, s.Key, *e.over[len(e.over)-1].Key, "%s, %s", c.file, c.pattern)
	}
}

func TestListenerExplains(t *testing.T) {
	e := newEars(Options{Key: &pitch.Key{}, Explain: true})
	assert.Equal(t, "A, -, Am7, -", listen(t, e, "A2 0-0.4; C4 E4 G4 0.6-1"))
	assert.Empty(t, e.over[0].Readings, "a note is a note")
	readings := e.over[1].Readings
	require.NotEmpty(t, readings)
	assert.Equal(t, "Am7", readings[0].Chord(pitch.Key{}).String())
	assert.Less(t, readings[0].Cost, readings[1].Cost)
}

// For a second what was let go of is in the mind.
func TestWhatWasLetGoOfIsHeardOn(t *testing.T) {
	for _, c := range []struct {
		after time.Duration
		want  string
	}{{time.Second, "C"}, {time.Second + 1, ""}} {
		e := newEars(Options{})
		e.play(music(t, "C3 E4 G4 0-1"))
		e.Tick(time.Second + c.after)
		is := e.Heard()
		assert.Equal(t, c.want, name(&is), "%v after", c.after)
	}
}

func TestListenerKeepsAChordInOnePiece(t *testing.T) {
	e := newEars(Options{})
	assert.Equal(t, "C, -", listen(t, e, "C3 E3 G3 0-2; D5 0.5-1; E5 1-1.5"))
	require.Len(t, e.over, 1)
	assert.Equal(t, []pitch.Num{48, 52, 55, 74, 76}, e.over[0].Keys, "the tune is told among the notes")
	assert.Equal(t, 2*time.Second, e.over[0].End)
}

// writtenAt goes from chord to chord.
func writtenAt(i int) Written {
	c := chord.New(pitch.Key{}.Spell(pitch.Class(i%12)), chord.Types()[i%5])
	return Written{Chord: c, Basses: chord.Set(0).With(c.Root.Class())}
}

// Whatever is played, the Listener tells of stretches that follow one another
// and end, and says the same a second time.
func FuzzListener(f *testing.F) {
	f.Add([]byte{0x90, 48, 64, 10, 0x90, 64, 60, 200, 0xB0, 64, 127, 30, 0x80, 48, 0, 90, 0x90, 67, 1, 255})
	f.Fuzz(func(t *testing.T, raw []byte) {
		hear := func() []Sound {
			e := newEars(Options{Explain: true})
			at := time.Duration(0)
			for i := 0; i+3 < len(raw); i += 4 {
				at += time.Duration(raw[i+3]) * 4 * time.Millisecond
				if len(raw) > 40 {
					e.Expect(writtenAt(i))
				}
				e.play([]event.Event{{At: at, Status: raw[i] | 0x80, Data1: raw[i+1] & 0x7F, Data2: raw[i+2] & 0x7F}})
				e.Heard()
			}
			e.finish(at + time.Second)
			return e.over
		}
		over := hear()
		before := time.Duration(0)
		for _, s := range over {
			require.LessOrEqual(t, before, s.Start)
			require.LessOrEqual(t, s.Start, s.End)
			require.NotEmpty(t, s.Keys)
			before = s.End
		}
		require.Equal(t, over, hear())
	})
}
