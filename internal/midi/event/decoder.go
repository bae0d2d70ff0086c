package event

import "time"

// SensingLimit is the silence after which a cable that has carried active
// sensing is taken for dead: a sender repeats it within 300 ms, and a receiver
// is advised to judge beyond 330 ms (MIDI 1.0 Detailed Specification 4.2.1,
// "Active Sensing").
const SensingLimit = 330 * time.Millisecond

const activeSensing = 0xFE

// Decoder turns the bytes of one cable into channel messages. The zero value
// is ready. It follows the MIDI 1.0 Detailed Specification 4.2.1: running
// status holds until any status that is not a channel's or a real-time byte;
// real-time bytes may stand inside a message; system exclusive and system
// common are passed over, and so are undefined bytes and data that belongs to
// no status. It allocates nothing and is not safe for concurrent use.
type Decoder struct {
	status byte // running status, 0 for none
	first  byte // first data byte, when have is set
	have   bool

	sensing  bool          // active sensing came
	lastSeen time.Duration // last byte of any kind
}

// Feed takes one byte that arrived at a time. It returns the message that the
// byte completes, stamped with that time, or false.
func (d *Decoder) Feed(at time.Duration, b byte) (Event, bool) {
	d.lastSeen = at
	switch {
	case b >= 0xF8: // real-time: leaves the message around it alone
		if b == activeSensing {
			d.sensing = true
		}
	case b >= 0xF0: // system exclusive, its end, system common
		d.status, d.have = 0, false
	case b >= 0x80:
		d.status, d.have = b, false
	case d.status != 0:
		return d.data(at, b)
	}
	return Event{}, false
}

func (d *Decoder) data(at time.Duration, b byte) (Event, bool) {
	if DataBytes(d.status) == 1 {
		return Event{At: at, Status: d.status, Data1: b}, true
	}
	if !d.have {
		d.first, d.have = b, true
		return Event{}, false
	}
	d.have = false
	return Event{At: at, Status: d.status, Data1: d.first, Data2: b}, true
}

// Dead reports that at now the cable has been silent for longer than its
// sender, who uses active sensing, ever is.
func (d *Decoder) Dead(now time.Duration) bool {
	return d.sensing && now-d.lastSeen > SensingLimit
}
