/* Forced into RtMidi's sources beside jackonly.h, for tests: JACK's thread is
   held up in each period, as on a busy machine, so that what must not happen
   meanwhile does happen. */
#include <jack/jack.h>
#include <time.h>

static inline void *slow_get_buffer(jack_port_t *port, jack_nframes_t frames)
{
    void *buffer = jack_port_get_buffer(port, frames);
    struct timespec a_while = {0, 1000000};
    nanosleep(&a_while, NULL);
    return buffer;
}
#define jack_port_get_buffer slow_get_buffer
