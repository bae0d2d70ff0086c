"""Usage: sittings.py PROGRAM N SEED

Runs N short live sittings of the program, from the project's folder, over the
JACK server that is there, and plays all the while. See .ci/soak.
"""
import os
import random
import signal
import subprocess
import sys
import tempfile
import threading
import time

import rtmidi

PROGRAM, N, SEED = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
CHART = "testdata/charts/clementine.chart"
# The first makes the most of its ports: it listens, clicks and plays a part.
COMMANDS = [
    ["practice", CHART, "--pattern", "waltz", "--with", "left", "--count-in", "0", "--plain", "--in", "grand:out", "--out", "grand-in"],
    ["hear", "--json", "--in", "grand:out"],
    ["play", CHART, "--pattern", "waltz", "--plain", "--out", "grand-in"],
    ["tune", CHART, "--json", "--in", "grand:out"],
]
SIGNALS = [signal.SIGINT, signal.SIGTERM, signal.SIGHUP]
PATIENCE = 2.0

sounding = set()


def hear(event, _):
    status, key, velocity = (list(event[0]) + [0, 0])[:3]
    if status & 0xF0 == 0x90 and velocity > 0:
        sounding.add((status & 15, key))
    elif status & 0xE0 == 0x80:
        sounding.discard((status & 15, key))


out = rtmidi.MidiOut(rtapi=rtmidi.API_UNIX_JACK, name="grand")
out.open_virtual_port("out")
into = rtmidi.MidiIn(rtapi=rtmidi.API_UNIX_JACK, name="grand-in")
into.set_callback(hear)
into.open_virtual_port("in")


def play():
    while True:
        for status in 0x90, 0x80:
            out.send_message([status, random.randrange(48, 84), 60])
            time.sleep(0.004)


threading.Thread(target=play, daemon=True).start()
chance = random.Random(SEED)
longest, left = 0.0, 0
home = tempfile.TemporaryDirectory()
os.environ["XDG_CONFIG_HOME"] = home.name


def fail(i, command, what, errors=b""):
    print(f"sitting {i}, {command[0]}: {what}\n{errors[:4000].decode(errors='replace')}", flush=True)
    os._exit(1)


for i in range(N):
    command = COMMANDS[chance.choice([0, 0, 0, 1, 2, 3])]
    program = subprocess.Popen([PROGRAM] + command, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    (program.stderr if command[0] == "hear" else program.stdout).readline()
    time.sleep(chance.uniform(0, 0.2))
    asked = time.monotonic()
    program.send_signal(chance.choice(SIGNALS))
    try:
        _, errors = program.communicate(timeout=PATIENCE)
    except subprocess.TimeoutExpired:
        program.kill()
        fail(i, command, f"still there {PATIENCE} s after its signal", program.communicate()[1])
    longest = max(longest, time.monotonic() - asked)
    if program.returncode == 2 and b"the MIDI system does not answer" in errors:
        left += 1  # JACK was held up longer than a program that is to end may wait
    elif program.returncode not in (0, 130):  # 130: stopped before it listened
        fail(i, command, f"ended with {program.returncode}", errors)
    if sounding:
        time.sleep(0.1)  # the last messages are on their way
        if sounding:
            fail(i, command, f"left sounding: {sorted(sounding)}")
print(f"{N} sittings, none crashed; the longest was gone {longest * 1000:.0f} ms after its signal; {left} left a JACK that did not answer", flush=True)
os._exit(0)  # RtMidi's own closing is not what is tried here
