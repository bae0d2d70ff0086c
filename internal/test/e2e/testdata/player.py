"""A pianist for tests: an RtMidi client independent of the program.

Reads a JSON object from standard input:
  api      "jack" or "alsa"
  command  the program and its arguments
  beat     seconds a beat
  count    beats of the count-in
  notes    [beat, hex]: a message, and when after the music's first beat
  unplug   null, or [beat to close the ports at, seconds to keep them closed]
  again    the notes to play by the next count-in, when the ports are open again
  echo     true for an instrument that sends back what it is sent, but the click
  free     null, or how many seconds after the program's first line, or the first
           after the ports are open again, the notes begin: there is no click
  end      null, or how many seconds after the last note the program is ended by
           Ctrl-C
  listen   null, or how many strikes to hear before the program is ended by Ctrl-C;
           nothing is played then
It opens the ports "grand", starts the program, hears its click, takes the beat
from the count-in's first click, plays the notes, and at the end of the program
prints a JSON object:
  behind   the longest, in seconds, that a message left after its time
  pulled   when the ports were closed, or null
  clicks   [seconds, hex] heard, clicks and all else; echoed how many sent back; sent [seconds, hex] played
  lines    [seconds, text] that the program printed, errors its error output
  status   its exit status
Seconds are of one monotonic clock.
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
clicks, sent, lines, errors, behind, echoed = [], [], [], [], [0.0], [0]
piano = None
heard = threading.Event()
fresh = []  # clicks since the ports were opened
now = time.monotonic


def on_click(event, _):
    message = bytes(event[0])
    clicks.append([now(), message.hex()])
    if message[0] & 0xF0 == 0x90 and message[2] > 0:
        fresh.append(clicks[-1][0])
        heard.set()
    if task.get("echo") and message[0] & 0x0F != 9:
        piano.out.send_message(list(message))
        echoed[0] += 1


class Piano:
    def __init__(self):
        fresh.clear()
        heard.clear()
        self.out = rtmidi.MidiOut(rtapi=API, name="grand")
        self.out.open_virtual_port("out")
        self.into = rtmidi.MidiIn(rtapi=API, name="grand-in")
        self.into.ignore_types(sysex=False, timing=False, active_sense=False)
        self.into.set_callback(on_click)
        self.into.open_virtual_port("in")

    def send(self, text):
        sent.append([now(), text])
        self.out.send_message(list(bytes.fromhex(text)))

    def close(self):
        self.out.close_port()
        self.into.close_port()
        time.sleep(0.05)  # RtMidi frees what JACK's thread may still be using
        self.out.delete()
        self.into.delete()


def read(stream, into):
    for line in stream:
        into.append([now(), line.rstrip("\n")])


def until(t):
    while now() < t:
        time.sleep(max(0.0, min(0.005, t - now())))


def listen(strikes):
    """Waits for so many strikes, and ends the program."""
    deadline = now() + 20
    while len(fresh) < strikes and now() < deadline:
        time.sleep(0.005)
    program.send_signal(signal.SIGINT)


def begins(told):
    """Waits for the click, or for a line beyond those that were told."""
    if task.get("free") is None:
        return fresh[0] + task["count"] * task["beat"] if heard.wait(20) else None
    deadline = now() + 20
    while len(lines) <= told and now() < deadline:
        time.sleep(0.005)
    return now() + task["free"] if len(lines) > told else None


def play(piano, notes, stop, told=0):
    """Plays; returns when done, or when the beat stop is reached."""
    start = begins(told)
    if start is None:
        return
    for beat, text in notes:
        if stop is not None and beat >= stop:
            until(start + stop * task["beat"])
            return
        due = start + beat * task["beat"]
        until(due)
        piano.send(text)
        behind.append(sent[-1][0] - due)


pulled = None
piano = Piano()
time.sleep(0.3)
program = subprocess.Popen(task["command"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, bufsize=1)
readers = [threading.Thread(target=read, args=a) for a in ((program.stdout, lines), (program.stderr, errors))]
for r in readers:
    r.start()
if task.get("listen"):
    listen(task["listen"])
elif task["unplug"]:
    beat, seconds = task["unplug"]
    play(piano, task["notes"], beat)
    pulled = now()
    piano.close()
    time.sleep(seconds)
    told = len(lines)
    piano = Piano()
    play(piano, task["again"], None, told)
else:
    play(piano, task["notes"], None)
if task.get("end") is not None:
    time.sleep(task["end"])
    program.send_signal(signal.SIGINT)
try:
    program.wait(30)
except subprocess.TimeoutExpired:
    program.kill()
for r in readers:
    r.join()
time.sleep(0.2)  # what the program sent last is still on its way
piano.close()
json.dump({"behind": max(behind), "pulled": pulled, "clicks": clicks, "echoed": echoed[0], "sent": sent, "lines": lines, "errors": [e[1] for e in errors], "status": program.returncode}, sys.stdout)
