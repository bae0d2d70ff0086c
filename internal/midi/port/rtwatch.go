//go:build cgo

package port

import (
	"fmt"
	"os"
	"sync/atomic"
	"time"
)

// watch tells of open ports what RtMidi does not: whether one is still connected
// with the instrument that it was opened for. A list of names cannot, where an
// instrument is unplugged and back under the same name between two looks.
//
//   - JACK: the connections of our port (rtwatch_jack.go). They go with the other
//     port and do not come back with it.
//   - ALSA: the subscriptions of our port, which the kernel lists
//     (rtwatch_alsa.go). They go in the same way.
//   - CoreMIDI and Windows MIDI: nothing can be asked, and the names are all there
//     is. A cable cannot be pulled and put back unseen there either: a system lets
//     a USB device settle for at least 100 ms before it uses it (Universal Serial
//     Bus Specification 2.0, 7.1.7.3), which is two looks of a Session.
type watch interface {
	// joined reports whether our port is connected with another, which is called as
	// listed. sure is false where the system does not tell.
	joined(own, other string) (joined, sure bool)
	// stopped reports that the MIDI system itself has ended, and what was open with
	// it.
	stopped() bool
	// relinks reports that RtMidi connects an open port anew when it is told to open
	// it again.
	relinks() bool
	close()
}

// opened counts the ports that this process has opened, so that each has a name
// of its own among all clients of the system.
var opened atomic.Int64

func ownName(kind string) string {
	return fmt.Sprintf("%s-%d-%d", kind, os.Getpid(), opened.Add(1))
}

// linking is how long a connection may take to show itself; JACK's shows in its
// next period.
const linking = 500 * time.Millisecond

// awaitLink waits until a port that has just been opened is connected.
func awaitLink(w watch, own, other string) bool {
	for deadline := time.Now().Add(linking); ; time.Sleep(time.Millisecond) {
		if joined, sure := w.joined(own, other); joined || !sure {
			return true
		}
		if time.Now().After(deadline) {
			return false
		}
	}
}
