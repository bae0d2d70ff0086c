package sitting

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/live"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/text/wording"
)

// Record is one thing that a sitting tells, once. Of what follows At, one is there.
type Record struct {
	Seq int           `json:"seq"` // of the Log that keeps it; they rise
	At  time.Duration `json:"at"`  // since the sitting began

	Piece    *Piece       `json:"piece,omitempty"` // what is played from here on: the first record of all
	CountIn  *CountIn     `json:"count_in,omitempty"`
	Cause    *Cause       `json:"cause,omitempty"`    // of many findings: those that it explains are not told
	Findings []Item       `json:"findings,omitempty"` // that came at one moment, or in the pass that is over; about the last Piece
	Notice   *Notice      `json:"notice,omitempty"`
	Sound    *live.Change `json:"sound,omitempty"`  // Hearing; its times count from when the sitting began
	Result   *Result      `json:"result,omitempty"` // what came of it: the last record of all
}

// Piece is what is played, as it stands on paper.
type Piece struct {
	Heading Heading      `json:"heading"`
	Score   *score.Score `json:"score,omitempty"` // what findings are about; nil where nothing is written
	Bars    []Bar        `json:"bars,omitempty"`  // as the chart sets them out; Score.Bars[i].Printed counts through them
	Low     pitch.Num    `json:"low"`             // the outermost keys that it needs; both 0: not known
	High    pitch.Num    `json:"high"`
}

// Item is a finding with what a face must know beside it.
type Item struct {
	Finding finding.Finding `json:"finding"`
	At      time.Duration   `json:"at"`             // since the sitting began; Finding.At is the judge's
	Pass    int             `json:"pass,omitempty"` // through the score, from 1; 0 where nobody counts
	About   Place           `json:"about"`          // the bar it is about
	During  Place           `json:"during"`         // the bar that was played when it was told
}

// Cause is one reason for many findings, with what a face must know beside it.
type Cause struct {
	Cause finding.Cause `json:"cause"`
	At    time.Duration `json:"at"`             // since the sitting began; Cause.At is the judge's
	Pass  int           `json:"pass,omitempty"` // through the score, from 1; 0 where nobody counts
}

// CountIn is the beginning of a count-in.
type CountIn struct {
	Music time.Duration `json:"music"` // when the music begins, since the sitting began
	Bar   int           `json:"bar"`   // number of the bar that it leads to
	Tempo meter.Tempo   `json:"tempo"`
	First int           `json:"first"` // index into Score.Wants of the first stroke that is waited for; -1 for none
}

// Result is what came of a sitting.
type Result struct {
	Heading
	Length  time.Duration   `json:"length"`
	Summary finding.Summary `json:"summary"`
	Picture Picture         `json:"picture,omitempty"`
	Taps    TapResult       `json:"taps,omitzero"` // Tapping
}

// NoticeKind is what a Notice tells.
type NoticeKind uint8

// The kinds of notice, and which fields go with each.
const (
	NoNotice      NoticeKind = iota
	ListeningTo              // Port, with the click on Out where it sounds, with Delay; what undersong plays itself sounds on Channel, the tune Up octaves higher
	PlayingOn                // Out; the tune Up octaves higher
	OnlyShown                // nothing sounds; Up too
	SimulatedOnly            // nothing is plugged in
	Unplugged                // Port is gone, and waited for
	PluggedIn                // Port is back
	WellDone                 // a stroke was right
	BarRight                 // Bar was right
	BarMended                // and was not before
	PassOver                 // Pass is over, with Right and Wrong strokes
	NowFaster                // it was clean: now at Tempo
	OnceMore                 // it was not: once more at Tempo
	AtTheTop                 // it was clean at Tempo, which was asked for
	RoundBegins              // Pass begins
	BarBegins                // Bar, an index into Score.Bars, begins
	NowAtTempo               // the tempo is now Tempo
	NowPaused
	FirstNote    // First is the first stroke that is waited for, where the music begins with an upbeat
	NotNow       // Command cannot be done now
	TuneBegins   // any key will do
	BassesBegin  // the tune is played, and a bass put under it
	BassesFit    // Choices, of the primary chords, fit in Bar
	RecordBegins // over chords: what is to be done
	RecordGoesOn
	NowListening // again, after a pause: nothing else tells it
)

var noticeNames = []string{
	"", "listening-to", "playing-on", "only-shown", "simulated", "unplugged", "plugged-in", "well-done", "bar-right", "bar-mended",
	"pass-over", "now-faster", "once-more", "at-the-top", "round-begins", "bar-begins", "now-at-tempo", "now-paused", "first-note", "not-now",
	"tune-begins", "basses-begin", "basses-fit", "record-begins", "record-goes-on", "now-listening",
}

func (k NoticeKind) String() string { return noticeNames[k] }

// MarshalText is the kind's name.
func (k NoticeKind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads a name.
func (k *NoticeKind) UnmarshalText(text []byte) error {
	return wording.Named(k, noticeNames, text, "notice")
}

// Notice tells of what is no finding. It is a value: what its kind does not need is
// zero.
type Notice struct {
	Kind    NoticeKind    `json:"kind"`
	Port    string        `json:"port,omitempty"`
	Out     string        `json:"out,omitempty"`
	NoClick bool          `json:"no_click,omitempty"` // nothing is clicked on Out
	Delay   time.Duration `json:"delay,omitempty"`
	Channel int           `json:"channel,omitempty"` // from 1
	Up      int           `json:"up,omitempty"`
	Bar     int           `json:"bar,omitempty"`
	Pass    int           `json:"pass,omitempty"`
	Right   int           `json:"right,omitempty"`
	Wrong   int           `json:"wrong,omitempty"`
	Tempo   meter.Tempo   `json:"tempo,omitempty"`
	First   int           `json:"first,omitempty"`
	Command Do            `json:"command,omitempty"`
	Choices finding.Few   `json:"choices,omitzero"`
}
