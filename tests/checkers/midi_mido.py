"""Reads MIDI files with mido and tells what is in them.

One JSON object a line: in {"bytes": hex digits}, out what `tell` returns. Times are ticks.
"""

import io
import json
import sys

import mido

MAJOR = "Cb Gb Db Ab Eb Bb F C G D A E B F# C#".split()
MINOR = "Ab Eb Bb F C G D A E B F# C# G# D# A#".split()


def key(name):
    """Sharps (flats negative) and mode from a name such as `Bb` or `Gm`."""
    if name.endswith("m"):
        return [MINOR.index(name[:-1]) - 7, True]
    return [MAJOR.index(name) - 7, False]


def notes_of(track):
    """Start, length, pitch, velocity of each note, by start, then by pitch."""
    notes, sounding, now = [], {}, 0
    for message in track:
        now += message.time
        if message.type == "note_on" and message.velocity > 0:
            if message.note in sounding:
                raise ValueError(f"pitch {message.note} sounds twice at tick {now}")
            sounding[message.note] = (now, message.velocity)
        elif message.type in ("note_on", "note_off"):
            start, velocity = sounding.pop(message.note)
            notes.append([start, now - start, message.note, velocity])
    if sounding:
        raise ValueError(f"pitches {sorted(sounding)} never end")
    return sorted(notes, key=lambda note: (note[0], note[2]))


def tell(data):
    file = mido.MidiFile(file=io.BytesIO(data), charset="utf-8")
    found = {
        "type": file.type,
        "ppq": file.ticks_per_beat,
        "names": [track.name for track in file.tracks],
        "texts": [],
        "tempos": [],
        "metres": [],
        "keys": [],
        "markers": [],
        "programs": [],
        "channels": [],
        "notes": [notes_of(track) for track in file.tracks],
        "ends": [],
        "seconds": file.length,
    }
    channels = set()
    for index, track in enumerate(file.tracks):
        now = 0
        for message in track:
            now += message.time
            if message.type == "text":
                found["texts"].append(message.text)
            elif message.type == "set_tempo":
                found["tempos"].append([now, message.tempo])
            elif message.type == "time_signature":
                found["metres"].append([now, message.numerator, message.denominator])
            elif message.type == "key_signature":
                found["keys"].append([now, *key(message.key)])
            elif message.type == "marker":
                found["markers"].append([now, message.text])
            elif message.type == "program_change":
                found["programs"].append([index, now, message.program])
            if not message.is_meta:
                channels.add(message.channel)
        if track[-1].type != "end_of_track":
            raise ValueError(f"track {index} has no end")
        found["ends"].append(now)
    found["channels"] = sorted(channels)
    return found


for line in sys.stdin:
    print(json.dumps(tell(bytes.fromhex(json.loads(line)["bytes"]))))
