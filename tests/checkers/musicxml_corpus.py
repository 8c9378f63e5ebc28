"""Gives MusicXML files that come with music21, and what music21 reads in their last part.

In: one JSON object {"every": n}: every n-th file whose last part has one note at a time. Out, for
each file: {"name", "bytes": hex digits, "part": the id, "notes"}, a note being its measure from
0, where it begins there and how long it is in ticks (6720 in a quarter note), name and octave as
it sounds. Grace notes are left out.
"""

import json
import re
import sys
import zipfile
from pathlib import Path

from music21 import common, converter, note, stream

QUARTER = 6720


def text_of(path):
    if path.suffix != ".mxl":
        return path.read_text(encoding="utf-8", errors="replace")
    with zipfile.ZipFile(path) as archive:
        names = [n for n in archive.namelist() if not n.startswith("META-INF") and "ml" in n]
        return archive.read(names[0]).decode("utf-8", "replace")


def tell(path):
    ids = re.findall(r"<score-part\s[^>]*id=[\"']([^\"']+)", text_of(path))
    if not ids:
        return None
    part = converter.parse(path, forceSource=True).parts[-1].toSoundingPitch()
    notes = []
    for place, measure in enumerate(part.getElementsByClass(stream.Measure)):
        if measure.voices:
            return None
        for element in measure.notes:
            if not isinstance(element, note.Note):
                return None
            if element.duration.isGrace:
                continue
            at, length = element.offset * QUARTER, element.quarterLength * QUARTER
            if abs(at - round(at)) > 0.01 or abs(length - round(length)) > 0.01:
                return None
            name = element.pitch.name.replace("-", "b")
            notes.append([place, round(at), round(length), name, element.pitch.octave])
    return {"name": path.name, "bytes": path.read_bytes().hex(), "part": ids[-1], "notes": notes}


for line in sys.stdin:
    every = json.loads(line)["every"]
    corpus = common.getCorpusFilePath()
    files = sorted(p for p in Path(corpus).rglob("*") if p.suffix in (".mxl", ".musicxml"))
    for path in files[::every]:
        found = tell(path)
        if found:
            print(json.dumps(found))
