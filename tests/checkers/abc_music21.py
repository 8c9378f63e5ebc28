"""Reads ABC tunes with music21 and tells what is in them.

One JSON object a line: in {"text": tune, "ticks": ticks of a quarter note}, out what `tell`
returns. Times are ticks, pitches MIDI numbers as music21 has them, repeats are not carried out.
Of several notes at once the lowest is told; grace notes are not. Chord symbols are told as time
and pitch class of the root.
"""

import json
import sys
import warnings
from fractions import Fraction

from music21 import converter, harmony, key, meter, note, tempo

warnings.simplefilter("ignore")

def tell(text, quarter):
    score = converter.parse(text, format="abc", forceSource=True)

    def ticks(quarters):
        exact = Fraction(quarters).limit_denominator(1 << 12) * quarter
        return int(exact) if exact.denominator == 1 else float(exact)

    notes, roots = [], []
    flat = (score.parts[0] if score.parts else score).stripTies().flatten()
    for element in flat:
        if isinstance(element, harmony.ChordSymbol):
            roots.append([ticks(element.offset), element.root().pitchClass])
        elif isinstance(element, note.NotRest) and not element.duration.isGrace:
            if element.isChord:
                pitch = min(element.pitches).midi
            elif isinstance(element, note.Note):
                pitch = element.pitch.midi
            else:
                continue
            notes.append([ticks(element.offset), ticks(element.quarterLength), pitch])
    return {
        "title": score.metadata.title if score.metadata else None,
        "notes": notes,
        "roots": roots,
        "metres": [
            [ticks(m.offset), m.numerator, m.denominator]
            for m in flat.getElementsByClass(meter.TimeSignature)
        ],
        "keys": [
            [ticks(k.offset), k.sharps, isinstance(k, key.Key) and k.mode == "minor"]
            for k in flat.getElementsByClass(key.KeySignature)
        ],
        "tempos": [
            [ticks(t.offset), round(t.getQuarterBPM())] for t in flat.getElementsByClass(tempo.MetronomeMark)
        ],
    }


for line in sys.stdin:
    asked = json.loads(line)
    print(json.dumps(tell(asked["text"], asked["ticks"])))
