// Package sitting is a sitting at the piano as values: what is practised, what was
// found, how it went and what to practise next. It holds notes, chords and numbers;
// faces find the words.
package sitting

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/listen/chordid"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// Heading says what is played.
type Heading struct {
	Title   string // of the chart; may be empty
	File    string // the chart's path as given; empty where it is none
	Pattern string // its name
	Own     string // the pattern's path as given, where it is the player's own
	AsChart bool   // the chart says what is played where: its sections, intro, ending ...
	Key     pitch.Key
	Moved   bool // into another key than the chart's
	Meter   meter.Meter
	Tempo   meter.Tempo
	Level   string     // empty where nobody is listened to
	Span    score.Span // the zero value is the whole chart
	Intro   int        // how many bars of an intro are played
	First   int        // number of the first bar of the tune that is played
	Last    int        // and of the last
	Hand    string     // "left" or "right" where one hand plays alone
	With    string     // "left", "right" or "melody" where undersong plays that
	Loop    bool
	Follow  bool   // the player leads: there is no click, and Tempo is a hint
	Mean    bool   // Tempo is the mean of several
	Remark  string // what to know about the tempo, with a space in front; may be empty
}

// HeadingOf fills in what a score says of itself.
func HeadingOf(s *score.Score, level rules.Level) Heading {
	h := Heading{Title: s.Title, Pattern: s.Pattern.Name, Key: s.Key, Meter: s.Meter, Tempo: s.Tempo, Level: level.Name}
	h.First = 1
	for i, b := range s.Bars {
		switch {
		case b.Number < 0:
			h.Intro++
		case i == h.Intro:
			h.First = b.Number
		}
		if b.Number >= 0 {
			h.First, h.Last = min(h.First, b.Number), max(h.Last, b.Number)
		}
	}
	return h
}

// Name is the tune's title, or its file where it has none.
func (h Heading) Name() string {
	if h.Title != "" {
		return h.Title
	}
	if h.File != "" {
		return h.File
	}
	return "untitled"
}

// Item is a finding with what a face must know beside it.
type Item struct {
	Finding *finding.Finding
	Score   *score.Score        // that the finding is about; nil where the heading has what it is about
	Ear     *chordid.Recognizer // the same
	At      time.Duration       // since the start of the file or session; Finding.At is the engine's
	Pass    int                 // through the score, from 1; 0 where nobody counts
	About   Place               // the bar that it is about; the zero value where nobody plays live
	During  Place               // the bar that was played when it was known
}

// CountIn is the beginning of a count-in.
type CountIn struct {
	At, Music time.Duration // when it begins, and the music after it; since the session began
	Bar       int           // number of the bar that it leads to
	Tempo     meter.Tempo
}

// Result is what came of it.
type Result struct {
	Heading
	Length  time.Duration
	Summary finding.Summary
	Picture Picture
}
