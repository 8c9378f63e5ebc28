"""Plays MusicXML by two readers that carry out repeats, endings and jumps, beside a MIDI file.

One JSON object a line: in {"midi": hex digits, "text": MusicXML}, out {"midi", "music21",
"verovio"}, each a list of [onset, pitch] in the order of time. Onsets are ticks, 6720 in a
quarter note; pitches are MIDI numbers as they sound. The first list is what mido reads in the
MIDI file; the second are the notes of music21's `expandRepeats`; the third is what mido reads in
the MIDI file that verovio makes.
"""

import base64
import io
import json
import sys

import mido
import verovio
from music21 import chord, converter, note

QUARTER = 6720

verovio.enableLog(verovio.LOG_ERROR)


def heard(data):
    """Onset and pitch of every note of a MIDI file."""
    file = mido.MidiFile(file=io.BytesIO(data), charset="utf-8")
    notes = []
    for track in file.tracks:
        now = 0
        for message in track:
            now += message.time
            if message.type == "note_on" and message.velocity > 0:
                notes.append([round(now * QUARTER / file.ticks_per_beat), message.note])
    return sorted(notes)


def by_music21(text):
    part = converter.parseData(text, format="musicxml").parts[0]
    played = part.expandRepeats().toSoundingPitch().stripTies().flatten()
    notes = []
    for element in played.notes:
        if isinstance(element, note.Note):
            notes.append([round(element.offset * QUARTER), element.pitch.midi])
        elif type(element) is chord.Chord:
            raise ValueError("a chord in a bass line")
    return sorted(notes)


def by_verovio(text):
    toolkit = verovio.toolkit()
    if not toolkit.loadData(text):
        raise ValueError("verovio does not load the file")
    return heard(base64.b64decode(toolkit.renderToMIDI()))


for line in sys.stdin:
    asked = json.loads(line)
    text = asked["text"]
    told = {
        "midi": heard(bytes.fromhex(asked["midi"])),
        "music21": by_music21(text),
        "verovio": by_verovio(text),
    }
    print(json.dumps(told))
