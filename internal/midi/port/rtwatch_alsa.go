//go:build linux && !jack

package port

import (
	"os"
	"regexp"
	"strings"
)

// alsaClients is where the kernel lists the sequencer's clients with their ports
// and what these are connected with.
const alsaClients = "/proc/asound/seq/clients"

// alsaWatch reads it anew each time. It keeps nothing, and a kernel without the
// file only tells less.
type alsaWatch struct{}

func (alsaWatch) joined(own, other string) (joined, sure bool) {
	text, err := os.ReadFile(alsaClients)
	if err != nil {
		return false, false
	}
	return alsaJoined(string(text), own, other)
}

// stopped is never so: the sequencer is a part of the kernel.
func (alsaWatch) stopped() bool { return false }
func (alsaWatch) relinks() bool { return false }
func (alsaWatch) close()        {}

// alsaAddress is the client and port at the end of a port's name.
var alsaAddress = regexp.MustCompile(` (\d+:\d+)$`)

// alsaJoined looks in the kernel's list for our port and its connections. The
// list, written by snd_seq_info_clients_read in Linux's
// sound/core/seq/seq_clientmgr.c, has for each port
//
//	Port   0 : "in-4711-1" (-We-)
//	  Connected From: 20:0, 24:0[real:0]
//
// and "Connecting To:" for an output. sure is false for a port that is not there
// or a name that is none of ALSA's.
func alsaJoined(clients, own, other string) (joined, sure bool) {
	address := alsaAddress.FindStringSubmatch(other)
	_, ours, found := strings.Cut(clients, ` : "`+own+`" `)
	if address == nil || !found {
		return false, false
	}
	for _, line := range strings.Split(ours, "\n")[1:] {
		head, list, _ := strings.Cut(strings.TrimSpace(line), ":")
		if head != "Connecting To" && head != "Connected From" {
			break
		}
		for _, to := range strings.Split(list, ",") {
			to, _, _ = strings.Cut(strings.TrimSpace(to), "[")
			if to == address[1] {
				return true, true
			}
		}
	}
	return false, true
}
