package together

import "time"

// The numbers of this room: working values, found by trying on simulated players (see
// the accuracy test), but where a reason is named.
const (
	longestHeld = 10 * time.Second       // seconds: for which a note is held where nothing is heard: a fermata's
	tooLate     = 100 * time.Millisecond // milliseconds: after its time a note would only confuse, as when the machine was asleep

	likely = 0.85 // share: how likely the player's place must be for a note to sound: after a jump it often lies elsewhere

	overlap = 0.15 // beats: from where a note ends, within which it is let go in time, and may as well last until the next
	inTime  = 4    // count: strokes in a row let go in time, after which one that is held longer is held on purpose

	tempoUnknown = 0.08                  // share squared: variance of the tempo before anything is known: half or double it
	tempoWalk    = 0.005                 // share squared: how it grows each beat: a rubato changes the tempo by some 7 percent a beat
	trendUnknown = 0.0004                // share squared: variance of how much a beat is longer than the last, before anything is known: 2 percent
	trendWalk    = 0.0001                // share squared: how it grows each beat
	trendKept    = 0.7                   // share: of it that lasts for another beat
	unevenness   = 20 * time.Millisecond // milliseconds: sd of a stroke
	surprise     = 16.0                  // variances: squared deviation beyond which a stroke says nothing of the tempo
	fastest      = 50 * time.Millisecond // milliseconds: a beat lasts no less: 1,200 a minute
)
