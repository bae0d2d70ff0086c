package together

import "time"

// hold is whether the player holds the last stroke for longer than it is written. That
// tells something only of a player who lets go in time otherwise.
type hold struct {
	end   float64 // of the last stroke, as written
	down  bool    // a key of the player's is
	let   bool    // all were let go since that stroke
	often int     // strokes in a row that were let go in time, no more than inTime
}

// strike takes the player's next stroke.
func (h *hold) strike(end float64) {
	if !h.let {
		h.often = 0
	}
	h.end, h.let, h.down = end, false, true
}

// holds reports that what follows the stroke is to wait.
func (h *hold) holds() bool { return h.down && h.often == inTime }

// Hold takes whether any key of the player's is down, after each event.
func (p *Partner) Hold(down bool, now time.Duration) {
	h := &p.hold
	if p.begun && h.down && !down {
		over := now - p.due(h.end)
		switch {
		case float64(over) <= overlap*float64(p.tempo.lasts(p.tempo.unit)):
			h.often = min(h.often+1, inTime)
		case h.holds():
			p.since += over // the music goes on from here
		default:
			h.often = 0
		}
		h.let = true
	}
	h.down = down
}
