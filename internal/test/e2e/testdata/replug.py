"""An instrument for tests that is unplugged and plugged in again and again.

Reads a JSON object from standard input:
  api      "jack" or "alsa"
  command  the program and its arguments
  gaps     seconds to stay unplugged, one a time
  keys     the keys to hold when the cable is pulled, and those to strike after it
It opens the ports "grand", starts the program, waits for its first line, and for
each gap holds the first keys, closes its ports, or its whole clients every other
time where the gap is long enough for that, opens them again, waits for the program to say that the keyboard is back,
and strikes and lets go the other keys. At the end it stops the program by Ctrl-C
and prints a JSON object:
  times    for each gap: gap as it was; gone and back, whether it was told; late,
           seconds from the ports being there to that line; lines told from the
           pull to after the last key
  errors   the program's error output; status its exit status
"""
import json
import signal
import subprocess
import sys
import threading
import time

import rtmidi

task = json.load(sys.stdin)
API = {"jack": rtmidi.API_UNIX_JACK, "alsa": rtmidi.API_LINUX_ALSA}[task["api"]]
now = time.monotonic
lines, errors = [], []
PATIENCE = 1.5  # for a line that must come within a second


class Grand:
    """Both ports, each of a client of its own. RtMidi opens a port anew at once
    only where it connects it to another: those are the pedal's, and of no use."""

    def __init__(self):
        self.pedal = rtmidi.MidiOut(rtapi=API, name="pedal"), rtmidi.MidiIn(rtapi=API, name="pedal")
        for port in self.pedal:
            port.open_virtual_port("pedal")
        self.plug(True)

    def plug(self, whole):
        if whole:
            self.out = rtmidi.MidiOut(rtapi=API, name="grand")
            self.into = rtmidi.MidiIn(rtapi=API, name="grand-in")
            self.into.set_callback(lambda *_: None)
        for port, name in (self.out, "out"), (self.into, "in"):
            pedals = [i for i, n in enumerate(port.get_ports()) if "pedal" in n]
            port.open_port(pedals[0], name)

    def unplug(self, whole):
        self.out.close_port()
        self.into.close_port()
        if whole:
            time.sleep(0.05)  # RtMidi frees what JACK's thread may still be using
            self.out.delete()
            self.into.delete()

    def send(self, status, keys):
        """Twice, since a JACK server that is held up may drop a message."""
        for _ in range(2):
            for k in keys:
                self.out.send_message([status, k, 70])
            time.sleep(0.015)


def read(stream, into):
    for line in stream:
        lines.append([now(), line.rstrip("\n")])
        if into is not None:
            into.append(line.rstrip("\n"))


def told(word, since):
    """Waits for a line that holds a word; gives its time."""
    deadline = now() + PATIENCE
    while now() < deadline:
        for at, text in lines[since:]:
            if word in text:
                return at
        time.sleep(0.002)
    return None


def replug(grand, gap, whole):
    before, after = task["keys"]
    grand.send(0x90, before)
    time.sleep(0.15)
    since = len(lines)
    pulled = now()
    grand.unplug(whole)
    time.sleep(max(0, pulled + gap - now()))
    grand.plug(whole)
    there = now()
    back = told("keyboard is back", since)
    time.sleep(0.05)
    grand.send(0x90, after)
    time.sleep(0.15)
    grand.send(0x80, after)
    time.sleep(0.15)
    said = [text for _, text in lines[since:]]
    gone = any("keyboard unplugged" in text for text in said)
    return {"gap": there - pulled, "gone": gone, "back": back is not None, "late": (back or 0) - there, "lines": said}


grand = Grand()
time.sleep(0.3)
program = subprocess.Popen(task["command"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, bufsize=1)
readers = [threading.Thread(target=read, args=a, daemon=True) for a in ((program.stdout, None), (program.stderr, errors))]
for r in readers:
    r.start()
try:
    told("listening", 0)
    time.sleep(0.3)  # it opens the port just after it has said so
    times = [replug(grand, gap, gap > 0.4 and i % 2 == 1) for i, gap in enumerate(task["gaps"])]
    program.send_signal(signal.SIGINT)
    program.wait(10)
finally:
    program.kill()
for r in readers:
    r.join()
json.dump({"times": times, "errors": errors, "status": program.returncode}, sys.stdout)
