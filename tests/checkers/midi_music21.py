"""Reads MIDI files with music21 and tells what is in them.

One JSON object a line: in {"bytes": hex digits}, out what `tell` returns. Times are ticks.
Music comes from the score that music21 makes of the file; markers, texts and the ends
of tracks, which a score does not keep, from its list of events.
"""

import json
import sys

from music21 import instrument, key, meter, midi, tempo
from music21.midi import MetaEvents
from music21.midi.translate import midiFileToStream


def ticks(quarters, ppq):
    """Quarter notes as ticks; music21 keeps them exactly, or as a float very near."""
    exact = quarters * ppq
    whole = round(exact)
    if abs(exact - whole) > 0.001:
        raise ValueError(f"{quarters} quarter notes are no whole number of ticks")
    return whole


def events_of(track):
    """The events of a track with their times."""
    now = 0
    for event in track.events:
        if event.isDeltaTime():
            now += event.time
        else:
            yield now, event


def tell(data):
    file = midi.MidiFile()
    file.readstr(data)
    ppq = file.ticksPerQuarterNote
    score = midiFileToStream(file, quantizePost=False)

    def all_of(kind):
        elements = score.recurse().getElementsByClass(kind)
        return [(ticks(e.getOffsetInHierarchy(score), ppq), e) for e in elements]

    notes = []
    for element in score.stripTies().flatten().notes:
        start = ticks(element.offset, ppq)
        length = ticks(element.duration.quarterLength, ppq)
        for note in element.notes if element.isChord else [element]:
            notes.append([start, length, note.pitch.midi, note.volume.velocity])

    found = {
        "type": file.format,
        "ppq": ppq,
        "tempos": [[at, e.number] for at, e in all_of(tempo.MetronomeMark)],
        "metres": [[at, e.numerator, e.denominator] for at, e in all_of(meter.TimeSignature)],
        "keys": [
            [at, e.sharps, isinstance(e, key.Key) and e.mode == "minor"]
            for at, e in all_of(key.KeySignature)
        ],
        "instruments": [
            [at, e.midiProgram, type(e).__name__] for at, e in all_of(instrument.Instrument)
        ],
        "notes": sorted(notes, key=lambda note: (note[0], note[2])),
        "markers": [],
        "texts": [],
        "ends": [],
    }
    for track in file.tracks:
        for now, event in events_of(track):
            if event.type == MetaEvents.MARKER:
                found["markers"].append([now, event.data.decode("utf-8")])
            elif event.type == MetaEvents.TEXT_EVENT:
                found["texts"].append(event.data.decode("utf-8"))
            elif event.type == MetaEvents.END_OF_TRACK:
                found["ends"].append(now)
    return found


for line in sys.stdin:
    print(json.dumps(tell(bytes.fromhex(json.loads(line)["bytes"]))))
