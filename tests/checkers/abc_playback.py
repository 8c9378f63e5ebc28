"""Plays an ABC tune with abc2midi, which carries out repeats and endings.

One JSON object a line: in {"text": tune}, out a list of [onset, pitch] in the order of time.
Onsets are ticks, 6720 in a quarter note, to the nearest 24th of one, since abc2midi begins a
tick of its own late; pitches are MIDI numbers as they sound. abc2midi must be on the PATH: it is
in the package abcmidi.
"""

import json
import os
import shutil
import subprocess
import sys
import tempfile

import mido

QUARTER = 6720
GRID = 24

PROGRAM = shutil.which("abc2midi")
if PROGRAM is None:
    sys.exit("abc2midi is not on the PATH: install the package abcmidi")


def play(text, folder):
    source, target = os.path.join(folder, "tune.abc"), os.path.join(folder, "tune.mid")
    with open(source, "w", encoding="utf-8") as file:
        file.write(text)
    # Without the chords that it would strum to the symbols.
    command = [PROGRAM, source, "-o", target, "-NGUI"]
    ran = subprocess.run(command, capture_output=True, text=True)
    if ran.returncode != 0 or not os.path.exists(target):
        raise ValueError(f"abc2midi: {ran.stdout}{ran.stderr}")
    file = mido.MidiFile(target)
    os.remove(target)
    notes = []
    for track in file.tracks:
        now = 0
        for message in track:
            now += message.time
            if message.type == "note_on" and message.velocity > 0:
                steps = round(now * GRID / file.ticks_per_beat)
                notes.append([steps * QUARTER // GRID, message.note])
    return sorted(notes)


with tempfile.TemporaryDirectory() as folder:
    for line in sys.stdin:
        print(json.dumps(play(json.loads(line)["text"], folder)))
