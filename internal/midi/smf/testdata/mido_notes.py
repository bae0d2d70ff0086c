"""Print every channel message of a MIDI file as mido reads it, one a line:
tick, track, bytes. Then print the length in seconds."""
import sys

import mido

midi = mido.MidiFile(sys.argv[1])
rows = []
for number, track in enumerate(midi.tracks):
    tick = 0
    for message in track:
        tick += message.time
        if not message.is_meta and message.type != "sysex":
            rows.append((tick, number, message.hex().replace(" ", "")))
rows.sort(key=lambda row: row[0])
for row in rows:
    print(*row)
print("length", round(midi.length, 6))
