package sounding

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// Listener hears events and the passing of time, and answers with findings.
type Listener interface {
	Feed(event.Event) []finding.Finding
	Tick(now time.Duration) []finding.Finding
	Finish(now time.Duration) []finding.Finding
}

// Hear feeds a performance, with four seconds of silence after it, and returns all
// findings.
func Hear(l Listener, events []event.Event) []finding.Finding {
	var all []finding.Finding
	end := 4 * time.Second
	for _, e := range events {
		all = append(all, l.Feed(e)...)
		end = e.At + 4*time.Second
	}
	all = append(all, l.Tick(end)...)
	return append(all, l.Finish(end)...)
}

// Lou is a part of Skip to My Lou, in 4/4 at 120 beats a minute.
const Lou = `key: C
meter: 4/4
unit: 1/4
tempo: 120
| C | C | G7 | C |]
m: EECC | EEG2 | DDB,B, | C2C2 |]
`

// Under is the tune of a score with something under it, held in beats of half a
// second as Held reads it: "C3 G3 0-3.8", "G2 8-11.8".
func Under(t testing.TB, s *score.Score, held ...string) []event.Event {
	t.Helper()
	var all []event.Event
	for _, n := range s.Melody {
		all = append(all, event.On(s.Time(n.At), uint8(n.Key()), 70), event.Off(s.Time(n.At+n.Dur)-10*time.Millisecond, uint8(n.Key())))
	}
	if text := strings.Join(held, ";"); text != "" {
		all = append(all, Held(t, text, 500*time.Millisecond)...)
	}
	slices.SortStableFunc(all, func(a, b event.Event) int { return int(a.At - b.At) })
	return all
}

// RedRiver is Red River Valley's first line, in two phrases, and a third that ends
// it, as Phrases reads it.
const RedRiver = `C4 F4 A4 A4 G4 F4 / G4 F4 D4 F4 / C4 F4 A4 F4 A4 C5 Bb4 A4 G4`

// Phrases reads pitches such as "C4 F#4", with / where a phrase ends.
func Phrases(t testing.TB, text string) []score.Note {
	t.Helper()
	var notes []score.Note
	for phrase, part := range strings.Split(text, "/") {
		for _, word := range strings.Fields(part) {
			p, err := pitch.ParsePitch(word)
			require.NoError(t, err)
			notes = append(notes, score.Note{Pitch: p, Phrase: phrase})
		}
	}
	return notes
}

// Ear listens to somebody who looks for a tune, and may be asked for a hint.
type Ear interface {
	Feed(event.Event) []finding.Finding
	Tick(now time.Duration) []finding.Finding
	Hint(now time.Duration) []finding.Finding
}

// Seek plays notes such as "C4 D4@90" from a time on, half a second apart; "3s" is a
// pause, "?" asks for a hint, "<" and ">" move what follows an octave. It hands over
// what is found, and returns the time after the last.
func Seek(t testing.TB, ear Ear, now time.Duration, text string, found func([]finding.Finding)) time.Duration {
	t.Helper()
	octave := 0
	for _, word := range strings.Fields(text) {
		if d, err := time.ParseDuration(word); err == nil {
			now += d
			found(ear.Tick(now))
			continue
		}
		switch word {
		case "?":
			found(ear.Hint(now))
			continue
		case "<":
			octave -= 12
			continue
		case ">":
			octave += 12
			continue
		}
		name, at, given := strings.Cut(word, "@")
		velocity := 60
		if given {
			_, err := fmt.Sscan(at, &velocity)
			require.NoError(t, err)
		}
		n, err := pitch.ParsePitch(name)
		require.NoError(t, err)
		key := uint8(int(n.Num()) + octave)
		found(ear.Feed(event.On(now, key, uint8(velocity))))
		found(ear.Feed(event.Off(now+300*time.Millisecond, key)))
		now += 500 * time.Millisecond
	}
	return now
}
