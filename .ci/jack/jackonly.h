/* Forced into RtMidi's sources: JACK alone, not ALSA. */
#undef __LINUX_ALSA__
