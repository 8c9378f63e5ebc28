"""Reads MusicXML with partitura and tells what is in it.

One JSON object a line: in {"text": the file}, out what `tell` returns. Times are ticks, 6720 in
a quarter note. Notes are as written (an octave above the sound), tied ones as one.
"""

import io
import json
import sys
import warnings

# partitura warns of words and metronome marks that it does not keep.
warnings.simplefilter("ignore")

import partitura.score as kinds  # noqa: E402
from partitura import load_musicxml  # noqa: E402

QUARTER = 6720
SIGNS = {-2: "bb", -1: "b", 0: "", 1: "#", 2: "##"}


def tell(text):
    part = load_musicxml(io.BytesIO(text.encode("utf-8"))).parts[0]
    divisions = int(part.quarter_duration_map(0))

    def ticks(time):
        whole, rest = divmod(int(time) * QUARTER, divisions)
        if rest:
            raise ValueError(f"{time}/{divisions} of a quarter note is no whole number of ticks")
        return whole

    def all_of(kind):
        return [(ticks(e.start.t), e) for e in part.iter_all(kind)]

    return {
        "notes": [
            [ticks(n.start.t), ticks(n.duration_tied), n.step + SIGNS[n.alter or 0], n.octave]
            for n in part.notes_tied
        ],
        "measures": [[ticks(m.start.t), ticks(m.end.t)] for m in part.measures],
        "symbols": [
            [at, e.root + SIGNS[e.alter or 0], e.kind] for at, e in all_of(kinds.ChordSymbol)
        ],
        "times": [[at, e.beats, e.beat_type] for at, e in all_of(kinds.TimeSignature)],
        "keys": [[at, e.fifths, e.mode == "minor"] for at, e in all_of(kinds.KeySignature)],
        "tempos": [[at, e.bpm] for at, e in all_of(kinds.Tempo)],
        "repeats": [[at, ticks(e.end.t)] for at, e in all_of(kinds.Repeat)],
        "endings": [[at, ticks(e.end.t), e.number] for at, e in all_of(kinds.Ending)],
    }


for line in sys.stdin:
    print(json.dumps(tell(json.loads(line)["text"])))
