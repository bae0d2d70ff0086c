package words

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
)

func TestCausesInWords(t *testing.T) {
	s := NewSpeaker(pieceOf(t, "block-whole", nil)) // in C
	for want, c := range map[string]finding.Cause{
		"from bar 1: you are in G, the chart is in C: all is a fourth down - play on, or begin again with --key G":                        {Kind: finding.OtherKey, Bar: 1, Semitones: -5},
		"from bar 2: you are in G, the chart is in C: all is a fifth up - play on, or begin again with --key G":                           {Kind: finding.OtherKey, Bar: 2, Semitones: -5, Octaves: 1},
		"from bar 1: you are in D, the chart is in C: all is a whole step and an octave up - play on, or begin again with --key D":        {Kind: finding.OtherKey, Bar: 1, Semitones: 2, Octaves: 1},
		"from bar 3: the left hand is an octave high":                                                                                     {Kind: finding.OctaveOff, Bar: 3, Hand: finding.LeftHand, Octaves: 1},
		"from bar 3: the right hand is 2 octaves low":                                                                                     {Kind: finding.OctaveOff, Bar: 3, Hand: finding.RightHand, Octaves: -2},
		"from bar 3: both hands are 2 octaves high":                                                                                       {Kind: finding.OctaveOff, Bar: 3, Hand: finding.BothHands, Octaves: 2},
		"from bar 1: half as fast as the click, and steady: --tempo 48 would go with you":                                                 {Kind: finding.HalfTempo, Bar: 1, Ratio: 0.498},
		"from bar 1: at 75 % of the click's tempo, and steady: --tempo 72 would go with you":                                              {Kind: finding.HalfTempo, Bar: 1, Ratio: 0.754},
		"from bar 2: twice as fast as the click, and steady: --tempo 192 would go with you":                                               {Kind: finding.DoubleTempo, Bar: 2, Ratio: 2},
		"from the upbeat: everything comes one beat early: the first note is on beat 1 of bar 1":                                          {Kind: finding.EarlyStart, Beats: -1},
		"from bar 1: everything comes half a beat late: the first note is on beat 1 of bar 1":                                             {Kind: finding.LateStart, Bar: 1, Beats: 0.5},
		"from bar 1: everything comes 1.5 beats late: the first note is on beat 1 of bar 1":                                               {Kind: finding.LateStart, Bar: 1, Beats: 1.5},
		"from bar 1: every stroke is 150 ms late, evenly: that may be the sound system, not you - measure it with undersong ports --tap":  {Kind: finding.Delay, Bar: 1, Offset: 150 * time.Millisecond},
		"from bar 1: every stroke is 120 ms early, evenly: that may be the sound system, not you - measure it with undersong ports --tap": {Kind: finding.Delay, Bar: 1, Offset: -120 * time.Millisecond},
		"from bar 1: everything comes a bar late: the first note is on beat 1 of bar 1":                                                   {Kind: finding.LateStart, Bar: 1, Beats: 4},
		"from bar 1: everything comes 2 bars early: the first note is on beat 1 of bar 1":                                                 {Kind: finding.EarlyStart, Bar: 1, Beats: -8},
		"from bar 5: everything comes one beat late":                                                                                      {Kind: finding.LateStart, Bar: 5, Beats: 1},
		"from bar 2: the damper pedal has been down for 40 seconds - lift it with each new chord":                                         {Kind: finding.StuckPedal, Bar: 2, Hand: finding.Foot, Offset: 40 * time.Second},
		"from bar 1: this is waltz, and block-whole is asked for":                                                                         {Kind: finding.OtherPattern, Bar: 1, Name: "waltz"},
		"from bar 1: this is another tune: its chords fit in no key":                                                                      {Kind: finding.OtherChart, Bar: 1},
		"from bar 5: the hands have each other's part":                                                                                    {Kind: finding.SwappedHands, Bar: 5},
		"stopped in bar 6 and went back to bar 5":                                                                                         {Kind: finding.Restarted, Bar: 6, ToBar: 5, Pause: time.Second},
		"stopped in bar 6 and began it again":                                                                                             {Kind: finding.Restarted, Bar: 6, ToBar: 6},
		"stopped in bar 1 and went back to the upbeat":                                                                                    {Kind: finding.Restarted, Bar: 1},
		"bar 7 left out":                                                   {Kind: finding.Skipped, Bar: 7, ToBar: 7},
		"bar 7 to bar 9 left out":                                          {Kind: finding.Skipped, Bar: 7, ToBar: 9},
		"from bar 3: nothing comes from the left hand":                     {Kind: finding.Silent, Bar: 3, Hand: finding.LeftHand},
		"from bar 3: nothing at all comes - is the keyboard on this port?": {Kind: finding.Silent, Bar: 3, Hand: finding.BothHands},
	} {
		assert.Equal(t, want, s.Cause(&c))
	}
	for _, k := range finding.CauseKinds() {
		assert.NotEmpty(t, s.strokes.cause(&finding.Cause{Kind: k, Semitones: 1, Octaves: 1, Ratio: 0.5, Beats: 1}), k.String())
	}
}

// Nobody can do anything about a recording's sound or its end.
func TestCausesInARecording(t *testing.T) {
	p := pieceOf(t, "block-whole", nil)
	p.Heading.Recorded = true
	s := NewSpeaker(p)
	assert.Equal(t, "from bar 3: nothing more comes", s.Cause(&finding.Cause{Kind: finding.Silent, Bar: 3, Hand: finding.BothHands}))
	assert.Equal(t, "from bar 3: nothing comes from the left hand", s.Cause(&finding.Cause{Kind: finding.Silent, Bar: 3, Hand: finding.LeftHand}))
	assert.Equal(t, "from bar 1: every stroke is 150 ms late, evenly: that may be the recording, not you", s.Cause(&finding.Cause{Kind: finding.Delay, Bar: 1, Offset: 150 * time.Millisecond}))
}

// Where the player leads there is no click.
func TestAnotherTempoOfWhoLeads(t *testing.T) {
	p := pieceOf(t, "block-whole", nil)
	p.Heading.Follow = true
	s := NewSpeaker(p)
	for ratio, want := range map[float64]string{
		0.5:  "from bar 1: half as fast as is asked for, and steady",
		2:    "from bar 1: twice as fast as is asked for, and steady",
		0.75: "from bar 1: at 75 % of the tempo that is asked for, and steady",
	} {
		assert.Equal(t, want, s.Cause(&finding.Cause{Kind: finding.HalfTempo, Bar: 1, Ratio: ratio}))
	}
}

// Notes are named as the score has them in the key that is played.
func TestMistakesUnderAnotherKey(t *testing.T) {
	p := pieceOf(t, "block-whole", nil)
	s := NewSpeaker(p)
	w := &p.Score.Wants[0]
	f := &finding.Finding{Kind: finding.WrongBass, Want: 0, Second: -1, Beat: 1, Up: 2,
		Heard: finding.KeysOf(w.Tones[0].Key + 4), Goal: finding.KeysOf(w.Tones[0].Key + 2)}
	assert.Equal(t, "bass D", s.Strokes(f).Wanted(f))
	assert.Contains(t, s.Line(f), "go down to D")
	f.Up = 0
	assert.Equal(t, "bass C", s.Strokes(f).Wanted(f))
}
