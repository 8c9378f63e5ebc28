"""Gives files that music21 ships as its corpus, as they are.

In: one JSON object {"suffixes": [text], "holding": text}: every file with such a suffix that has
this text in it, or in a member of it where it is an archive. Out, for each file, in order of its
name: {"name": folder and file, "bytes": hex digits}.
"""

import json
import sys
import zipfile
from pathlib import Path

import music21

CORPUS = Path(music21.__file__).parent / "corpus"


def contents(path):
    if not zipfile.is_zipfile(path):
        return [path.read_bytes()]
    with zipfile.ZipFile(path) as archive:
        return [archive.read(name) for name in archive.namelist()]


for line in sys.stdin:
    asked = json.loads(line)
    for path in sorted(CORPUS.rglob("*")):
        if path.suffix not in asked["suffixes"]:
            continue
        if any(asked["holding"].encode() in content for content in contents(path)):
            name = path.relative_to(CORPUS).as_posix()
            print(json.dumps({"name": name, "bytes": path.read_bytes().hex()}))
