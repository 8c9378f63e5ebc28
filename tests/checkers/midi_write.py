"""Writes MIDI files with mido, as another program or a player would.

One JSON object a line: in
{"ppq", "type", "bpm", "metres": [[beat, upper, lower]], "key", "share", "late": [beats],
 "swing", "tracks": [{"name", "channel", "program", "notes": [[start, length, pitch]]}]},
times in quarter notes; out {"bytes": hex digits}. Each note sounds for `share` of its length; its
start is moved by the next number of `late`, over and over; a note on the second half of a beat
comes at `swing` of it.
"""

import io
import json
import math
import sys

import mido


def swung(beat, swing):
    whole = math.floor(beat)
    return whole + swing if abs(beat - whole - 0.5) < 1e-9 else beat


def timed(events):
    """Messages with delta times; what ends comes before what begins."""
    track, now = mido.MidiTrack(), 0
    for at, _, message in sorted(events, key=lambda event: event[:2]):
        track.append(message.copy(time=at - now))
        now = at
    track.append(mido.MetaMessage("end_of_track", time=0))
    return track


def make(asked):
    ppq, late, swing = asked["ppq"], asked["late"] or [0], asked["swing"]
    file = mido.MidiFile(type=asked["type"], ticks_per_beat=ppq)

    def ticks(beats):
        return max(0, round(beats * ppq))

    signs = [(0, 0, mido.MetaMessage("set_tempo", tempo=mido.bpm2tempo(asked["bpm"])))]
    signs.append((0, 0, mido.MetaMessage("key_signature", key=asked["key"])))
    for beat, upper, lower in asked["metres"]:
        message = mido.MetaMessage("time_signature", numerator=upper, denominator=lower)
        signs.append((ticks(beat), 0, message))
    parts = []
    for track in asked["tracks"]:
        channel = track["channel"]
        events = [
            (0, 0, mido.MetaMessage("track_name", name=track["name"])),
            (0, 1, mido.Message("program_change", channel=channel, program=track["program"])),
        ]
        for nth, (start, length, pitch) in enumerate(track["notes"]):
            on = swung(start, swing) + late[nth % len(late)]
            off = max(on + 0.02, swung(start + length, swing) - (1 - asked["share"]) * length)
            note = {"channel": channel, "note": pitch}
            events.append((ticks(on), 3, mido.Message("note_on", velocity=80, **note)))
            events.append((ticks(off), 2, mido.Message("note_off", **note)))
        parts.append(events)
    if asked["type"] == 0:
        file.tracks.append(timed(signs + [event for events in parts for event in events]))
    else:
        file.tracks.append(timed(signs))
        file.tracks.extend(timed(events) for events in parts)
    buffer = io.BytesIO()
    file.save(file=buffer)
    return {"bytes": buffer.getvalue().hex()}


for line in sys.stdin:
    print(json.dumps(make(json.loads(line))))
