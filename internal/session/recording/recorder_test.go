package recording

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/session/sitting"
)

// recorded is a recorder that has heard some events, and is given time until it
// is over.
func recorded(t *testing.T, r *Recorder, evs ...event.Event) (over time.Duration) {
	t.Helper()
	r.Begin(time.Second)
	for _, ev := range evs {
		r.Tick(ev.At)
		r.Event(ev)
	}
	now := r.Now
	for ; !r.Done() && now < time.Hour; now += 10 * time.Millisecond {
		r.Tick(now)
	}
	return r.Now
}

func TestRecordingEndsWithSilence(t *testing.T) {
	const s = time.Second
	three := meter.Meter{Num: 3, Den: 4}
	for _, c := range []struct {
		name string
		r    Recorder
		evs  []event.Event
		want time.Duration
	}{
		{"a bar and a half at 60", Recorder{Meter: three, Tempo: 60}, []event.Event{event.On(2*s, 60, 70), event.Off(3*s, 60)}, 3*s + 4500*time.Millisecond},
		{"one stroke", Recorder{}, []event.Event{event.On(2*s, 60, 70), event.Off(3*s, 60)}, 12 * s},
		{"strokes a second apart", Recorder{}, []event.Event{event.On(2*s, 60, 70), event.Off(2500*time.Millisecond, 60), event.On(3*s, 64, 70), event.Off(4*s, 64)}, 6500 * time.Millisecond},
		{"the last is held", Recorder{}, []event.Event{event.On(2*s, 60, 70), event.On(3*s, 64, 70), event.Off(10*s, 60), event.Off(20*s, 64)}, 22500 * time.Millisecond},
		{"a release that never came", Recorder{}, []event.Event{event.On(2*s, 60, 70), event.On(3*s, 64, 70), event.Off(4*s, 64)}, 34 * s},
		{"all notes off", Recorder{}, []event.Event{event.On(2*s, 60, 70), event.On(3*s, 64, 70), {At: 4 * s, Status: event.ControlChange, Data1: event.AllNotesOff}}, 6500 * time.Millisecond},
		{"the pedal is no note", Recorder{}, []event.Event{event.On(2*s, 60, 70), event.On(3*s, 64, 70), event.Off(3*s, 60), event.Off(4*s, 64), event.Pedal(6*s, 0)}, 6500 * time.Millisecond},
		{"nothing was played", Recorder{}, []event.Event{event.Pedal(2*s, 127)}, time.Hour - 10*time.Millisecond},
	} {
		assert.InDelta(t, c.want.Seconds(), recorded(t, &c.r, c.evs...).Seconds(), 0.011, c.name)
	}
}

func TestRecordingWithoutEndIsCutShort(t *testing.T) {
	r := &Recorder{}
	r.Begin(0)
	for i := range 2 * mostEvents {
		if r.Done() {
			break
		}
		r.Event(event.Pedal(time.Duration(i)*time.Millisecond, uint8(i%128)))
	}
	assert.True(t, r.Done())
	assert.Len(t, r.Events, mostEvents)
}

// Two threads may hand over their messages in another order than they were played.
func TestRecordedTimeNeverGoesBack(t *testing.T) {
	r := &Recorder{}
	recorded(t, r, event.On(2*time.Second, 60, 70), event.On(1900*time.Millisecond, 64, 70))
	require.Len(t, r.Events, 2)
	assert.LessOrEqual(t, r.Events[0].At, r.Events[1].At)
}

func TestRecordingMayBeBegunAnew(t *testing.T) {
	r := &Recorder{Heading: sitting.Heading{Title: "C F"}}
	r.Begin(0)
	st := r.State()
	assert.Equal(t, []any{sitting.Waiting, sitting.RecordBegins}, []any{st.Where.Phase, st.Told.Notice.Kind})
	r.Event(event.On(time.Second, 60, 70))
	st = r.State()
	assert.Equal(t, sitting.Playing, st.Where.Phase, "nothing is waited for any more")
	assert.True(t, st.Menu.Has(sitting.DoAgain))
	assert.Equal(t, sitting.RecordGoesOn, st.Told.Notice.Kind)
	r.Do(2*time.Second, sitting.Command{Do: sitting.DoAgain})
	assert.Empty(t, r.Events)
	assert.Equal(t, sitting.Waiting, r.State().Where.Phase)
	r.Do(3*time.Second, sitting.Command{Do: sitting.DoFaster})
	r.Do(3*time.Second, sitting.Command{Do: sitting.DoEnd})
	assert.True(t, r.Done())
	told := r.Take()
	require.Len(t, told, 2)
	assert.Equal(t, sitting.Notice{Kind: sitting.NotNow, Command: sitting.DoFaster}, *told[1].Notice)
}
