// Package smf reads and writes Standard MIDI Files, as bytes. It opens no file
// and no port.
package smf

import (
	"fmt"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/text/visible"
)

// Limits of what Read takes on. A whole evening of piano, pedal included, is
// far below both.
const (
	MaxFileBytes = 64 << 20
	MaxEvents    = 5_000_000
	MaxLength    = 24 * time.Hour
)

// DefaultTempo holds until a file names another one: 120 quarters a minute
// (Standard MIDI Files 1.1, "Set Tempo").
const DefaultTempo = 500_000

// Performance is what one Standard MIDI File holds. Events, Ticks and Tracks
// run in parallel: all tracks merged, in order of tick, then track, then place
// in the file. Everything in the file that is not listed here (system
// exclusive, markers, makers' own events, chunks of other kinds) has
// been passed over.
type Performance struct {
	Events []event.Event
	Ticks  []int64 // when, in ticks from the start
	Tracks []int   // which track it came from, counted from 0

	TrackNames []string // one for each track, "" where it has none
	// Tempos, Meters and Keys hold what the file says, from whichever track.
	// Until the first of them the defaults hold: DefaultTempo, 4/4, C major.
	Tempos []TempoChange
	Meters []MeterChange
	Keys   []KeyChange

	Lyrics []Lyric // words to be sung, a syllable each, in order of tick

	Format   int // 0 or 1
	Division Division
	// TicksPerQuarter is 1 to 32767, or 0 where Division counts film frames
	// and the file therefore knows no beats.
	TicksPerQuarter int
	End             time.Duration // the last event or end of track
}

// TempoChange sets the length of a quarter from Tick on, in microseconds (1 to
// 16777215).
type TempoChange struct {
	At               time.Duration
	Tick             int64
	MicrosPerQuarter int
}

// MeterChange sets the time signature from Tick on: Num 1 to 255 over Den, a
// power of two from 1 to 128.
type MeterChange struct {
	At       time.Duration
	Tick     int64
	Num, Den int
}

// KeyChange sets the key signature from Tick on: Sharps is 1 to 7 for sharps,
// -1 to -7 for flats, 0 for neither.
type KeyChange struct {
	At     time.Duration
	Tick   int64
	Sharps int
	Minor  bool
}

// Lyric is a syllable that is sung at Tick. As is usual in such files, a space or a
// line feed in Text, before or after the syllable, ends a word.
type Lyric struct {
	Tick  int64
	Track int // counted from 0
	Text  string
}

// Ticker tells the tick nearest to a time from 0 to MaxLength.
func (p *Performance) Ticker() func(at time.Duration) int64 {
	t := newTimeline(p.Division, p.Tempos)
	return func(at time.Duration) int64 { return t.tick(min(max(at, 0), MaxLength)) }
}

// Division says what a tick is: a part of a quarter, or of a film frame.
// Exactly one of TicksPerQuarter and FramesPerSecond is not 0.
type Division struct {
	TicksPerQuarter int // 1 to 32767
	// FramesPerSecond is 24, 25, 29 or 30; 29 is the 29.97 (30000/1001) of
	// drop-frame time code.
	FramesPerSecond int
	TicksPerFrame   int // 1 to 255, only with FramesPerSecond
}

// FileError tells what is wrong with a MIDI file, where, and what to do.
type FileError struct {
	Name   string // of the file
	Offset int64  // in bytes from its start; -1 where no one place is at fault
	Reason string
	Advice string
}

func (e *FileError) Error() string {
	s := visible.Name(e.Name) + ": "
	if e.Name == "" {
		s = ""
	}
	if e.Offset >= 0 {
		s += fmt.Sprintf("byte %d: ", e.Offset)
	}
	s += e.Reason
	if e.Advice != "" {
		s += "; " + e.Advice
	}
	return s
}
