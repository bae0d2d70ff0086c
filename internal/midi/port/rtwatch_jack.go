//go:build cgo && jack

package port

/*
#cgo LDFLAGS: -ljack
#include <stdlib.h>
#include <string.h>
#include <jack/jack.h>

static void say_nothing(const char *text) {}

static void server_gone(void *arg) { __atomic_store_n((int *)arg, 1, __ATOMIC_SEQ_CST); }
static int is_set(int *flag) { return __atomic_load_n(flag, __ATOMIC_SEQ_CST); }

static jack_client_t *watch_open(const char *name, int *gone)
{
	jack_set_error_function(say_nothing);
	jack_set_info_function(say_nothing);
	jack_client_t *client = jack_client_open(name, JackNoStartServer, NULL);
	if (client) jack_on_shutdown(client, server_gone, gone);
	return client;
}

static int watch_joined(jack_client_t *client, const char *pattern, const char *other)
{
	int found = 0;
	const char **ours = jack_get_ports(client, pattern, JACK_DEFAULT_MIDI_TYPE, 0);
	jack_port_t *port = ours ? jack_port_by_name(client, ours[0]) : NULL;
	const char **to = port ? jack_port_get_all_connections(client, port) : NULL;
	for (int i = 0; to && to[i]; i++)
		found |= strcmp(to[i], other) == 0;
	if (to) jack_free(to);
	if (ours) jack_free(ours);
	return found;
}
*/
import "C"

import "unsafe"

// jackWatch is a client of JACK without ports, beside RtMidi's, which tell nothing.
// JACK's library is not to write to standard error as long as there is one.
type jackWatch struct {
	client *C.jack_client_t
	gone   *C.int // set by JACK when its server has gone
}

func newWatch() (watch, error) {
	name := C.CString(clientName)
	defer C.free(unsafe.Pointer(name))
	w := &jackWatch{gone: (*C.int)(C.calloc(1, C.sizeof_int))}
	if w.client = C.watch_open(name, w.gone); w.client == nil {
		C.free(unsafe.Pointer(w.gone))
		return nil, ErrNoMIDI
	}
	return w, nil
}

func (w *jackWatch) joined(own, other string) (joined, sure bool) {
	pattern, to := C.CString(":"+own+"$"), C.CString(other)
	defer C.free(unsafe.Pointer(pattern))
	defer C.free(unsafe.Pointer(to))
	return C.watch_joined(w.client, pattern, to) != 0, true
}

func (w *jackWatch) stopped() bool { return C.is_set(w.gone) != 0 }

func (w *jackWatch) relinks() bool { return true }

// close leaves the flag to the end of the program, as JACK may still set it.
func (w *jackWatch) close() { C.jack_client_close(w.client) }
