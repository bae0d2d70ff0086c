package mistakes

import (
	"testing"

	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// nature holds for each kind what a machine's performance with one such mistake
// must show: the strokes of keys gone and added against the plain one.
var nature = map[Kind]func(t *testing.T, s *score.Score, f Fault, gone, added []event.Event, where string){
	WrongChord: func(t *testing.T, s *score.Score, f Fault, gone, added []event.Event, where string) {
		w := &s.Wants[f.Want]
		require.NotEmpty(t, added, where)
		require.GreaterOrEqual(t, size(classes(added)&^w.Chord.Set()), 1, where)
		for _, e := range added {
			require.GreaterOrEqual(t, e.At, f.At, where)
		}
	},
	WrongInversion: func(t *testing.T, s *score.Score, f Fault, gone, added []event.Event, where string) {
		require.Equal(t, classes(gone), classes(added), where)
		require.Len(t, added, 1, where)
	},
	WrongBass: func(t *testing.T, s *score.Score, f Fault, gone, added []event.Event, where string) {
		require.Len(t, gone, 1, where)
		require.Len(t, added, 1, where)
		require.False(t, s.Wants[f.Want].Allowed.Has(pitch.Num(added[0].Data1).Class()), where)
		require.Equal(t, gone[0].At, added[0].At, where)
	},
	WrongNote: func(t *testing.T, s *score.Score, f Fault, gone, added []event.Event, where string) {
		require.Len(t, gone, 1, where)
		require.Len(t, added, 1, where)
		require.LessOrEqual(t, max(int(gone[0].Data1)-int(added[0].Data1), int(added[0].Data1)-int(gone[0].Data1)), 2, where)
		require.Zero(t, classes(added)&s.Wants[f.Want].Chord.Set(), where)
	},
	Missing: func(t *testing.T, s *score.Score, f Fault, gone, added []event.Event, where string) {
		require.Len(t, gone, len(s.Wants[f.Want].Tones), where)
		require.Empty(t, added, where)
	},
	MissingNote: func(t *testing.T, s *score.Score, f Fault, gone, added []event.Event, where string) {
		require.Len(t, gone, 1, where)
		require.Equal(t, f.Keys[0], pitch.Num(gone[0].Data1), where)
		require.Empty(t, added, where)
	},
	Extra: func(t *testing.T, s *score.Score, f Fault, gone, added []event.Event, where string) {
		require.Empty(t, gone, where)
		require.Len(t, added, len(f.Keys), where)
		for i := range s.Wants {
			at := s.Tempo.Duration(s.Wants[i].At, s.Meter)
			require.GreaterOrEqual(t, max(f.At-at, at-f.At), leastExtraGap, where)
		}
	},
	ExtraNote: func(t *testing.T, s *score.Score, f Fault, gone, added []event.Event, where string) {
		require.Empty(t, gone, where)
		require.Len(t, added, 1, where)
		require.Zero(t, classes(added)&s.Wants[f.Want].Chord.Set(), where)
	},
	Early: displaced, Late: displaced,
	Short: sameStrokes, Blurred: sameStrokes, Balance: sameStrokes,
}

func displaced(t *testing.T, s *score.Score, f Fault, gone, added []event.Event, where string) {
	require.Equal(t, len(gone), len(added), where)
	by := max(f.Shift, -f.Shift)
	require.Equal(t, f.Kind == Early, f.Shift < 0, where)
	require.GreaterOrEqual(t, by, leastShift, where)
	require.LessOrEqual(t, by, mostShift, where)
	place := s.Tempo.Duration(s.Wants[f.Want].At, s.Meter)
	for _, e := range added {
		require.Equal(t, place+f.Shift, e.At, where)
	}
	for i := range s.Wants {
		at := s.Tempo.Duration(s.Wants[i].At, s.Meter)
		if f.Shift > 0 && at > place || f.Shift < 0 && at < place {
			require.Less(t, float64(by), 0.45*float64(max(at-place, place-at)), where)
		}
	}
}

func sameStrokes(t *testing.T, _ *score.Score, _ Fault, gone, added []event.Event, where string) {
	require.Empty(t, gone, where)
	require.Empty(t, added, where)
}
