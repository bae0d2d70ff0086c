"""An instrument for tests: two ports of an independent RtMidi client.

Usage: peer.py jack|alsa. Commands on standard input, one a line:
  plug           open the ports piano:out and piano:in
  unplug         close them
  play HEX       send one message
  stream N GAP   send N notes, GAP seconds apart, and tell when each was sent
  rest           do nothing
  quit
Each command is answered by "ok". A message received is told as "got HEX";
a streamed note as "sent NANOSECONDS" on the monotonic clock. Note number I is
key I % 128 with velocity 1 + I // 128.
"""
import sys
import threading
import time

import rtmidi

API = {"jack": rtmidi.API_UNIX_JACK, "alsa": rtmidi.API_LINUX_ALSA}[sys.argv[1]]
lock = threading.Lock()
out = into = None


def say(*words):
    with lock:
        print(*words, flush=True)


def plug():
    global out, into
    out = rtmidi.MidiOut(rtapi=API, name="piano")
    out.open_virtual_port("out")
    into = rtmidi.MidiIn(rtapi=API, name="piano-in")
    into.ignore_types(sysex=False, timing=False, active_sense=False)
    into.set_callback(lambda event, _: say("got", bytes(event[0]).hex()))
    into.open_virtual_port("in")


def unplug():
    global out, into
    if out is None:
        return
    out.close_port()
    into.close_port()
    time.sleep(0.05)  # RtMidi frees what JACK's thread may still be using
    out.delete()
    into.delete()
    out = into = None


def stream(count, gap):
    times = []
    due = time.monotonic()
    for i in range(count):
        while time.monotonic() < due:
            time.sleep(max(0, (due - time.monotonic()) * 0.8))
        times.append(time.monotonic_ns())
        out.send_message([0x90, i % 128, 1 + i // 128 % 127])
        due += gap
    for t in times:
        say("sent", t)


for line in sys.stdin:
    command, *words = line.split()
    if command == "quit":
        break
    if command == "plug":
        plug()
    elif command == "unplug":
        unplug()
    elif command == "play":
        out.send_message(list(bytes.fromhex(words[0])))
    elif command == "stream":
        stream(int(words[0]), float(words[1]))
    say("ok")
