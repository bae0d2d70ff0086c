package score_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

// played are the keys struck together, on the beats of a bar at 120.
type played [][]uint8

// kinds is what the coach says of a bar of 4/4, one word a stroke.
func kinds(t *testing.T, chords, rows string, p played) string {
	t.Helper()
	c := material.Chart(t, "key: C\ntempo: 120\nmeter: 4/4\n\n"+chords+"\n")
	pat := material.Pattern(t, "name: own\nmeter: 4/4\ngrid: quarters\n"+strings.ReplaceAll(rows, "/", "\n"))
	s, err := score.Build(c, pat, score.Options{})
	require.NoError(t, err)
	e := engine.New(s, engine.Options{Level: rules.Steady})
	var words []string
	take := func(found []finding.Finding) {
		for _, f := range found {
			words = append(words, f.Kind.String())
		}
	}
	const beat = 500 * time.Millisecond
	for i, keys := range p {
		at := time.Duration(i) * beat
		for _, k := range keys {
			take(e.Feed(event.On(at, k, 70)))
		}
		for _, k := range keys {
			take(e.Feed(event.Off(at+beat-10*time.Millisecond, k)))
		}
	}
	take(e.Finish(time.Duration(len(p)) * beat))
	return strings.Join(words, " ")
}

func TestVoicingsAreJudgedByTheirNotesAndTheLowest(t *testing.T) {
	for name, c := range map[string]struct {
		chords, rows string
		played       played
		want         string
	}{
		"open as written":                        {"| C |", "left: cho . . .", played{{48, 55, 64}}, "right"},
		"open, in another inversion":             {"| C |", "left: cho . . .", played{{52, 60, 67}}, "right"},
		"open, with a wrong note":                {"| C |", "left: cho . . .", played{{48, 55, 65}}, "wrong-note"},
		"open first inversion":                   {"| C |", "left-low: C3/left: ch1o . . .", played{{52, 60, 67}}, "right"},
		"open first inversion with its root low": {"| C |", "left-low: C3/left: ch1o . . .", played{{48, 55, 64}}, "wrong-inversion"},
		"dropped":                                {"| Cmaj7 |", "right: ch0d . . .", played{{55, 60, 64, 71}}, "right"},
		"dropped, but close":                     {"| Cmaj7 |", "right: ch0d . . .", played{{60, 64, 67, 71}}, "wrong-inversion"},
		"spread":                                 {"| C |", "left: chs . . ./right: chs . . .", played{{48, 55, 60, 64}}, "right right"},
		"spread wider":                           {"| C |", "left: chs . . ./right: chs . . .", played{{48, 55, 64, 72}}, "right right"},
		"spread without its third":               {"| C |", "left: chs . . ./right: chs . . .", played{{48, 55, 72}}, "right missing"},
		"rootless":                               {"| Dm7 |", "left: ch-1 . . .", played{{53, 57, 60}}, "right"},
		"rootless with the ninth":                {"| Dm7 |", "left: ch-1 . . .", played{{53, 57, 60, 64}}, "right"},
		"rootless with a foreign note":           {"| Dm7 |", "left-low: C3/left: ch-1 . . .", played{{53, 57, 60, 61}}, "right extra"},
		"a flat ninth over a dominant":           {"| G7 |", "left: ch-1+9 . . .", played{{53, 56, 59, 62}}, "right"},
		"a pedal point under another chord":      {"| G |", "left: T1 . . .", played{{48}}, "right"},
		"the chord's own bass instead of it":     {"| Am |", "left: T5 . . .", played{{45}}, "wrong-bass"},
		"a chromatic approach":                   {"| C |", "left: 1 . . apc", played{{48}, nil, nil, {49}}, "right right"},
		"a diatonic step where a half is asked":  {"| C |", "left: 1 . . apc", played{{48}, nil, nil, {50}}, "right wrong-bass"},
		"a half step where the key's is asked":   {"| C |", "left: 1 . . apd", played{{48}, nil, nil, {49}}, "right wrong-bass"},
		"a suspension that resolves":             {"| C |", "right: 1+=4+5 . 1+3+5 .", played{{60, 65, 67}, nil, {60, 64, 67}}, "right right"},
		"a suspension that stays":                {"| C |", "right: 1+=4+5 . 1+3+5 .", played{{60, 65, 67}, nil, {60, 65, 67}}, "right wrong-note"},
	} {
		assert.Equal(t, c.want, kinds(t, c.chords, c.rows, c.played), name)
	}
}
