// Package timing says when what a score wants is wanted: by a click, which never
// waits, or in the time of a player who leads.
package timing

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/listen/follow"
	"undersong/internal/listen/handsep"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// Timing opens the strokes that an onset may be meant for, in a separator of its
// own, and says what their time is.
type Timing interface {
	// Separator is where the onset and the hands stand.
	Separator() *handsep.Separator

	// Strike takes a key struck, and begins an onset with it where none is active. It
	// reports false where the note is not to be judged.
	Strike(key pitch.Num, velocity uint8, at time.Duration) bool
	// Settle takes that the onset is over. It reports false where the onset is not to
	// be judged, and has emptied it then.
	Settle(at time.Duration) bool
	// Finish ends the performance at a time.
	Finish(at time.Duration)

	// Position is the place in the score at a time.
	Position(at time.Duration) follow.Position
	// Lasts is how long a stretch of the score takes.
	Lasts(from, to meter.Ticks) time.Duration

	// Closes is when a hand's next stroke is over; Never where it is not by time alone.
	Closes(h *handsep.Hand) time.Duration
	// BarEnds is when a bar, counted through all passes, is over; Never as above.
	BarEnds(bar int) time.Duration
	// NextChange is the change of harmony after that to one harmony in a pass; ok is
	// false where the player will make it.
	NextChange(harmony, pass int) (c rules.Change, ok bool)

	// Off is how far a time is from that of stroke j, early negative; 0 where the time
	// is the player's own.
	Off(h *handsep.Hand, j int, at time.Duration) time.Duration
	// Tolerance is how far off stroke j is in time; ok is false where the time is the
	// player's own.
	Tolerance(h *handsep.Hand, j int) (d time.Duration, ok bool)

	// Unsure reports that the open onset may yet turn out to stand elsewhere.
	Unsure() bool
	// Admit reports that a finding may be told now. One that may not is kept until
	// the place is known, or dropped.
	Admit(f *finding.Finding) bool
}

// Judge is told what time brings.
type Judge interface {
	// Advance deals with everything that was due before a time.
	Advance(now time.Duration)
	// Close ends the time of a hand's next stroke.
	Close(h *handsep.Hand, now time.Duration)
	// Begin drops what lies open, where the player begins anew.
	Begin()
	// EndBar weighs a bar, counted through all passes.
	EndBar(bar int, now time.Duration)
	// Expect watches a change of harmony.
	Expect(c rules.Change)
	// Tell tells a finding, or has it admitted first.
	Tell(f finding.Finding)
	// Say tells a finding that was kept.
	Say(f *finding.Finding)
}
