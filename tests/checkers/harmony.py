"""Builds chords from MusicXML harmony with music21 and tells what sounds.

One JSON object a line. In: {"symbol"} and a harmony as `chord_classes` describes it. Out:
{"symbol", "classes"}: the sorted pitch classes of root, degrees and bass, C = 0.
"""

import json
import sys

from chord_classes import classes

for line in sys.stdin:
    asked = json.loads(line)
    print(json.dumps({"symbol": asked["symbol"], "classes": sorted(classes(asked))}))
