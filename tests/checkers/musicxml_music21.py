"""Reads MusicXML with music21 and tells what is in it.

One JSON object a line: in {"text": the file}, out what `tell` returns. Times are ticks, 6720 in
a quarter note. Notes are those that sound, tied ones as one.
"""

import json
import sys

from music21 import converter, harmony, key, meter, note, repeat, tempo

QUARTER = 6720

# music21 has names of its own for a few kinds.
KINDS = {own: name for name, own in harmony.CHORD_ALIASES.items()}


def ticks(quarters):
    """Quarter notes as ticks; music21 keeps them exactly, or as a float very near."""
    exact = quarters * QUARTER
    whole = round(exact)
    if abs(exact - whole) > 0.01:
        raise ValueError(f"{quarters} quarter notes are no whole number of ticks")
    return whole


def named(pitch):
    """A pitch class with sharps and flats as in chord symbols: Bb, F#."""
    return pitch.name.replace("-", "b")


def symbol(found):
    if isinstance(found, harmony.NoChord):
        return ["none", None, None, []]
    degrees = [
        [d.degree, int(d.interval.semitones) if d.interval else 0, d.modType]
        for d in found.getChordStepModifications()
    ]
    bass, root = found.bass(), found.root()
    slash = named(bass) if bass.name != root.name else None
    return [KINDS.get(found.chordKind, found.chordKind), named(root), slash, sorted(degrees)]


def tell(text):
    score = converter.parseData(text, format="musicxml")
    part = score.parts[0]

    def all_of(kind, stream=part):
        elements = stream.recurse().getElementsByClass(kind)
        return [(ticks(e.getOffsetInHierarchy(stream)), e) for e in elements]

    sounding = part.toSoundingPitch().stripTies()
    measures = list(part.getElementsByClass("Measure"))
    return {
        "title": score.metadata.title,
        "part": part.partName,
        "notes": [
            [at, ticks(e.duration.quarterLength), named(e.pitch), e.pitch.octave,
             e.notehead == "x"]
            for at, e in all_of(note.Note, sounding)
        ],
        "measures": [[m.number, ticks(m.duration.quarterLength)] for m in measures],
        "symbols": [[at, symbol(e)] for at, e in all_of(harmony.ChordSymbol)],
        "times": [[at, e.numerator, e.denominator] for at, e in all_of(meter.TimeSignature)],
        "keys": [
            [at, e.sharps, isinstance(e, key.Key) and e.mode == "minor"]
            for at, e in all_of(key.KeySignature)
        ],
        "tempos": [[at, e.number] for at, e in all_of(tempo.MetronomeMark) if e.number],
        # The notes of each measure in the order in which they are played.
        "played": [
            " ".join(n.nameWithOctave for n in m.notes if isinstance(n, note.Note))
            for m in repeat.Expander(part).process().getElementsByClass("Measure")
        ],
    }


for line in sys.stdin:
    print(json.dumps(tell(json.loads(line)["text"])))
