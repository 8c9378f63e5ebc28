"""Tells what music21 knows of keys.

One JSON object a line. In: {"tonic", "minor"}, the tonic with flats written as `b`. Out: what
`tell` returns, names in the same writing.
"""

import json
import sys

from chord_classes import name
from music21 import key


def plain(pitch):
    """A pitch's name with `b` for flat."""
    return pitch.name.replace("-", "b")


def tell(asked):
    found = key.Key(name(asked["tonic"]), "minor" if asked["minor"] else "major")
    return {
        "fifths": found.sharps,
        "signature": [plain(pitch) for pitch in found.alteredPitches],
        "names": [plain(pitch) for pitch in found.pitches[:7]],
    }


for line in sys.stdin:
    print(json.dumps(tell(json.loads(line))))
