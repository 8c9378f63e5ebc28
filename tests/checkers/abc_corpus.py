"""Gives the ABC files that music21 ships as its corpus.

One JSON object a line: in {"folder": name}, out for each file of that folder
{"name": file name, "text": text}. Files that are not UTF-8 are Latin-1.
"""

import json
import sys
from pathlib import Path

import music21

CORPUS = Path(music21.__file__).parent / "corpus"


def text(data):
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return data.decode("latin-1")


for line in sys.stdin:
    folder = CORPUS / json.loads(line)["folder"]
    for path in sorted(folder.glob("*.abc")):
        print(json.dumps({"name": path.name, "text": text(path.read_bytes())}))
