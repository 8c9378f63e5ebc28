"""Builds chords from MusicXML harmony with music21 and tells what sounds.

One JSON object a line. In: {"symbol", "root", "kind", "degrees": [{"value", "alter", "type"}],
"bass"}, with flats written as `b` and `bass` a name or null. Out: {"symbol", "classes"}: the
sorted pitch classes of root, degrees and bass, C = 0. The chord is built from kind and degrees,
never from the symbol's text.
"""

import json
import sys

from music21 import harmony


def name(text):
    """A note name as music21 writes it, with `-` for flat."""
    return text[0] + text[1:].replace("b", "-")


def tell(asked):
    degrees = asked["degrees"]
    chord = harmony.ChordSymbol(root=name(asked["root"]), kind=asked["kind"])
    for degree in degrees:
        step = harmony.ChordStepModification(degree["type"], degree["value"], degree["alter"])
        chord.addChordStepModification(step, updatePitches=False)
    if degrees:
        chord._updatePitches()
    classes = {pitch.pitchClass for pitch in chord.pitches}
    if asked["bass"]:
        bass = harmony.ChordSymbol(root=name(asked["bass"]), kind="power")
        classes.add(bass.root().pitchClass)
    return {"symbol": asked["symbol"], "classes": sorted(classes)}


for line in sys.stdin:
    print(json.dumps(tell(json.loads(line))))
