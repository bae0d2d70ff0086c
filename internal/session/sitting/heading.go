package sitting

import (
	"time"

	"undersong/internal/judge/byear"
	"undersong/internal/judge/firstbass"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/text/wording"
)

// Kind is what is done in a sitting.
type Kind uint8

// The kinds of sitting.
const (
	Practice      Kind = iota // a pattern over a chart, judged
	Demonstration             // undersong plays
	Tune                      // a tune looked for by ear
	Basses                    // basses of the player's choice under a tune
	Hearing                   // what is played is named
	Recording                 // it is kept, to be captured
	Tapping                   // the delay of a keyboard is measured
	Ranging                   // two keys held say how far a voice reaches
)

var kindNames = []string{"practice", "demonstration", "tune", "basses", "hearing", "recording", "tapping", "ranging"}

func (k Kind) String() string { return kindNames[k] }

// MarshalText is the kind's name.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads a name.
func (k *Kind) UnmarshalText(text []byte) error { return wording.Named(k, kindNames, text, "sitting") }

// Heading says what is played.
type Heading struct {
	Kind     Kind        `json:"kind"`
	Title    string      `json:"title,omitempty"`    // of the chart; may be empty
	File     string      `json:"file,omitempty"`     // the chart's path as given; empty where it is none
	Pattern  string      `json:"pattern,omitempty"`  // its name
	Own      string      `json:"own,omitempty"`      // the pattern's path as given, where it is the player's own
	AsChart  bool        `json:"as_chart,omitempty"` // the chart says what is played where: its sections, intro, ending ...
	Key      pitch.Key   `json:"key"`
	Moved    bool        `json:"moved,omitempty"` // into another key than the chart's
	Meter    meter.Meter `json:"meter"`
	Tempo    meter.Tempo `json:"tempo"`
	Began    meter.Tempo `json:"began,omitempty"` // of a Result, whose Tempo is the last that was played: the first, where it was another
	Level    string      `json:"level,omitempty"` // empty where nobody is judged
	Span     score.Span  `json:"span"`            // the zero value is the whole chart
	Intro    int         `json:"intro,omitempty"` // how many bars of an intro are played
	First    int         `json:"first"`           // number of the first bar of the tune that is played
	Last     int         `json:"last"`            // and of the last
	Hands    score.Only  `json:"hands"`           // that are judged
	With     string      `json:"with,omitempty"`  // "left", "right" or "melody" where undersong plays that
	Loop     bool        `json:"loop,omitempty"`
	Follow   bool        `json:"follow,omitempty"` // the player leads: there is no click, and Tempo is a hint
	Words    bool        `json:"words,omitempty"`  // the words are shown large, with the chord names over them
	Sing     bool        `json:"sing,omitempty"`   // Follow: somebody sings to it, and what counts is that it goes on
	After    bool        `json:"after,omitempty"`  // corrections come when a pass is over
	Ramp     Ramp        `json:"ramp,omitzero"`
	Source   Source      `json:"source,omitempty"`   // of the tempo of a recording
	Recorded bool        `json:"recorded,omitempty"` // a recording is listened to

	Task    byear.Task        `json:"task,omitzero"`     // of a tune
	Help    byear.Help        `json:"help,omitempty"`    // for it
	Voicing firstbass.Voicing `json:"voicing,omitempty"` // of basses
	Choice  int               `json:"choice,omitempty"`  // how many basses there are to choose from
}

// Ramp is a tempo that rises from one clean pass to the next. The zero value is none.
type Ramp struct {
	From meter.Tempo `json:"from"` // below To
	To   meter.Tempo `json:"to"`
	Step meter.Tempo `json:"step"` // above 0
}

// MostDelay is the longest delay of a keyboard that is made up for. More is no
// instrument's, and would be half a beat in quick music.
const MostDelay = 80 * time.Millisecond

// Source is where the tempo of a recording comes from.
type Source uint8

// The sources.
const (
	Asked       Source = iota // it was asked for, or is the chart's in live playing
	FromChart                 // the file counts film frames
	FromFile                  // the file's one tempo
	MeanOfFile                // the mean of its several
	UsualOfFile               // the file tells none
)

// HeadingOf fills in what a score says of itself.
func HeadingOf(s *score.Score, level string) Heading {
	h := Heading{Title: s.Title, Tempo: s.Tempo, Level: level}
	return h.Of(s)
}

// Of is the same heading of another score of the piece: other bars, or other hands.
func (h Heading) Of(s *score.Score) Heading {
	h.Key, h.Meter, h.Hands = s.Key, s.Meter, s.Only
	if s.Pattern != nil {
		h.Pattern = s.Pattern.Name
	}
	h.Intro, h.First, h.Last = 0, 1, 0
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
func (h *Heading) Name() string {
	if h.Title != "" {
		return h.Title
	}
	if h.File != "" {
		return h.File
	}
	return "untitled"
}

// Hand is "left" or "right" where one hand is judged, and empty for both.
func (h *Heading) Hand() string {
	if h.Hands == score.BothHands {
		return ""
	}
	return h.Hands.String()
}
