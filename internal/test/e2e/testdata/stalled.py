"""A player for tests whose program writes to a reader that takes nothing.

Reads a JSON object from standard input:
  api      "jack", "alsa", or "" to play nothing
  tasks    each with command, the program and its arguments; sink, "pipe" or "pty";
           signal, such as "SIGINT", or "" for Ctrl-C typed at the terminal; sounds,
           whether the program strikes keys
For each task it starts the program with its output to a pipe, or with all it has
to a terminal, that is full already, plays while it runs, waits until it sounds, or
for a while, and has it stopped. Prints a JSON list:
  running   whether the program was still there when the signal came
  gone      seconds from the signal to the program's end, or null after 5 s
  struck    how many keys the program has struck on the instrument
  sounding  those that it has left on
  errors    its error output, where that is not the terminal
"""
import fcntl
import json
import os
import pty
import signal
import struct
import subprocess
import sys
import termios
import threading
import time

import rtmidi

spec = json.load(sys.stdin)
now = time.monotonic
heard, sounding = [], set()


def on_message(event, _):
    status, key, velocity = (list(event[0]) + [0, 0])[:3]
    if status & 0xF0 == 0x90 and velocity > 0:
        heard.append(key)
        sounding.add((status & 15, key))
    elif status & 0xE0 == 0x80:
        sounding.discard((status & 15, key))


def play():
    """A chord now and then."""
    while True:
        for status in 0x90, 0x80:
            for key in 60, 64, 67:
                out.send_message([status, key, 60])
            time.sleep(0.1)


if spec["api"]:
    API = {"jack": rtmidi.API_UNIX_JACK, "alsa": rtmidi.API_LINUX_ALSA}[spec["api"]]
    out = rtmidi.MidiOut(rtapi=API, name="grand")
    out.open_virtual_port("out")
    into = rtmidi.MidiIn(rtapi=API, name="grand-in")
    into.set_callback(on_message)
    into.open_virtual_port("in")
    threading.Thread(target=play, daemon=True).start()


def fill(fd):
    os.set_blocking(fd, False)
    for size in 4096, 1:
        try:
            while True:
                os.write(fd, b"." * size)
        except BlockingIOError:
            pass
    os.set_blocking(fd, True)


def start(task):
    """The program, and the ends of its sink, which must stay open."""
    if task["sink"] == "pipe":
        r, w = os.pipe()
        fill(w)
        return subprocess.Popen(task["command"], stdin=subprocess.DEVNULL, stdout=w, stderr=subprocess.PIPE), (r, w)
    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))
    fill(slave)
    env = dict(os.environ, TERM="xterm-256color")
    own = lambda: fcntl.ioctl(0, termios.TIOCSCTTY, 0)
    return subprocess.Popen(task["command"], stdin=slave, stdout=slave, stderr=slave, env=env, start_new_session=True, preexec_fn=own), (master, slave)


def in_the_middle(sounds):
    """Waits until the program has struck something, or has had the time to begin."""
    deadline = now() + (5 if sounds else 0.7)
    while (len(heard) < 2 or not sounding) and now() < deadline:
        time.sleep(0.002)
    if not sounds:
        time.sleep(0.2)


def run(task):
    heard.clear()
    sounding.clear()
    program, sink = start(task)
    in_the_middle(task["sounds"])
    running = program.poll() is None
    asked = now()
    if task["signal"]:
        program.send_signal(getattr(signal, task["signal"]))
    else:
        os.write(sink[0], b"\x03")
    try:
        program.wait(5)
        gone = now() - asked
    except subprocess.TimeoutExpired:
        gone = None
    time.sleep(0.1)  # what was sent last is on its way
    left = sorted(sounding)
    program.kill()
    errors = program.stderr.read().decode() if program.stderr else ""
    for fd in sink:
        os.close(fd)
    return {"running": running, "gone": gone, "struck": len(heard), "sounding": left, "errors": errors}


print(json.dumps([run(task) for task in spec["tasks"]]), flush=True)
os._exit(0)
