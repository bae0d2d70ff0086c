package sitting

import (
	"math"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/listen/keyboard"
	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/text/wording"
)

// State is all that a face shows. Parts that are nil have not changed; of a whole
// State none is nil. Nobody changes a State or what it points at.
type State struct {
	Seq int `json:"seq"` // of the Log that keeps it: rises with every change

	Piece  *Piece  `json:"piece,omitempty"`
	Where  *Where  `json:"where,omitempty"`
	Sound  *Sound  `json:"sound,omitempty"`
	Wanted *Wanted `json:"wanted,omitempty"`
	Told   *Told   `json:"told,omitempty"`
	Search *Search `json:"search,omitempty"`
	Menu   *Menu   `json:"menu,omitempty"`
	Result *Result `json:"result,omitempty"` // so far, where it is to be read: in Reading and Finished

	Records []Record `json:"records,omitempty"` // what was told meanwhile, in Log.Since
	Missed  bool     `json:"missed,omitempty"`  // more was told than is still kept
}

// Phase says what is going on.
type Phase uint8

// The phases of a sitting.
const (
	Waiting    Phase = iota // for the first key
	CountingIn              // beats before the first bar
	Playing
	PlaceLost // playing, but the place in the chart is not known
	Paused
	Away     // the keyboard is gone
	Reading  // between passes
	Finished // all is over, or what was asked for first
)

var phaseNames = []string{"waiting", "count-in", "playing", "lost", "paused", "away", "reading", "finished"}

func (p Phase) String() string { return phaseNames[p] }

// MarshalText is the phase's name.
func (p Phase) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads a name.
func (p *Phase) UnmarshalText(text []byte) error { return wording.Named(p, phaseNames, text, "phase") }

// Where is where the music is.
type Where struct {
	Phase Phase       `json:"phase"`
	Bar   int         `json:"bar"`             // index into Score.Bars; -1 where that is not known
	Beat  float64     `json:"beat"`            // in the bar from 1, to a quarter of a beat; 0 before the music and after it
	Left  int         `json:"left,omitempty"`  // beats of the count-in still to come, this one included
	Pass  int         `json:"pass,omitempty"`  // which time round, from 1; 0 where it does not go round
	Tempo meter.Tempo `json:"tempo,omitempty"` // beats a minute, the player's own where that leads; 0 without a beat
	Plays string      `json:"plays,omitempty"` // names of the patterns that are played in the bar
	Port  string      `json:"port,omitempty"`  // Away: what is waited for
}

// SetPosition puts it at a place in music that began with some bar of a score. An upbeat's
// beats are the bar's last.
func (w *Where) SetPosition(s *score.Score, first int, p *follow.Position) {
	w.Phase, w.Bar, w.Beat = Playing, first+p.Bar, math.Floor(4*p.Beat)/4
	bar := &s.Bars[w.Bar]
	w.Plays = bar.Playing()
	if bar.Len < s.Meter.Bar() && bar.Number == 0 {
		w.Beat += s.Meter.BeatAt(s.Meter.Bar()-bar.Len) - 1
	}
}

// Sound is what is held, and heard.
type Sound struct {
	Down  keyboard.Set `json:"down"`  // keys that are held, or that undersong plays
	Chord chord.Chord  `json:"chord"` // that sounds; none where the notes make none
	Notes keyboard.Set `json:"notes"` // that sound
	Key   pitch.Key    `json:"key"`   // to spell them in
}

// Wanted is what comes next.
type Wanted struct {
	Chord chord.Chord `json:"chord"`
	Wants [2]int      `json:"wants"` // indexes into Score.Wants, of each hand; -1 for none
	Next  chord.Chord `json:"next"`  // the chord after that
	Beats int         `json:"beats"` // until then

	// Up is how many semitones higher than that all is played, where the player is in
	// another key than the chart and is judged in it.
	Up int `json:"up,omitzero"`
}

// Ahead looks for the next change of chord after a place in a score.
func (w *Wanted) Ahead(s *score.Score, at meter.Ticks) {
	i := s.HarmonyAt(at)
	if i+1 >= len(s.Harmonies) {
		return
	}
	beat := s.Meter.Beat()
	w.Next = s.Harmonies[i+1].Chord
	w.Beats = int((s.Harmonies[i].End - at + beat - 1) / beat)
}

// Told is what was told last. It is all that was: a face that tells one thing at a time
// has a Gate.
type Told struct {
	Cause  Cause    `json:"cause,omitzero"`  // of what went wrong in the latest bars; it is read before all else
	Found  [][]Item `json:"found,omitempty"` // corrections of the latest bars, those of one moment together; in Tune and Basses the latest finding of any kind
	Fresh  int      `json:"fresh,omitempty"` // how many of those moments, the latest, are to be read still
	Praise Notice   `json:"praise"`          // where no correction is to be read
	Notice Notice   `json:"notice"`
	Read   []Item   `json:"read,omitempty"` // corrections of the pass that is over
	Right  int      `json:"right"`          // strokes so far
	Wrong  int      `json:"wrong"`
}

// Latest tells of one finding, and of nothing before it.
func (t *Told) Latest(i Item) { t.Found, t.Fresh = [][]Item{{i}}, 1 }

// Search is how far a tune is found.
type Search struct {
	Phrase  int           `json:"phrase"` // that is looked for, from 0
	Found   int           `json:"found"`  // notes of it that are found
	Notes   int           `json:"notes"`  // that it has
	Phrases []FoundPhrase `json:"phrases,omitempty"`
	Asked   bool          `json:"asked,omitempty"` // the task is on
	From    finding.First `json:"from,omitzero"`   // its first note
}

// Bar is a printed bar of the chart.
type Bar struct {
	Number  int       `json:"number"` // -1 and down in an intro; 0 for an upbeat
	Chords  []ChordAt `json:"chords,omitempty"`
	Lyrics  []string  `json:"lyrics,omitempty"`   // its words, one string a verse
	Section string    `json:"section,omitempty"`  // such as "Chorus", where one begins with this bar
	NewLine bool      `json:"new_line,omitempty"` // the chart has a new line here
}

// ChordAt is a chord and the beat it comes on, from 1.
type ChordAt struct {
	Chord chord.Chord `json:"chord"`
	Beat  float64     `json:"beat"`
}

// FoundPhrase is how a phrase stands.
type FoundPhrase struct {
	Found bool `json:"found"`
	Right bool `json:"right"`
}
