/* Forced into RtMidi's sources, for a build that uses JACK alone. */

/* Not ALSA. */
#undef __LINUX_ALSA__

/* RtMidi takes an output's port away, frees its queue of messages, and only
   then lets JACK end the thread that empties the queue. Where that thread is
   held up for a period, it reads freed memory, and the program ends with a
   segmentation fault. So the client is deactivated first: that waits for the
   thread and ends it, and nothing runs any more that could use what is freed.
   A mutex would have to be taken by RtMidi's own thread; and outputs that are
   never closed would stay in the patchbay, one more for each time the keyboard
   was unplugged. */
#include <jack/jack.h>

static inline int deactivate_and_unregister(jack_client_t *client, jack_port_t *port)
{
    jack_deactivate(client);
    return jack_port_unregister(client, port);
}
#define jack_port_unregister deactivate_and_unregister
