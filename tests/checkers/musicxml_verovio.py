"""Engraves MusicXML with verovio and tells what stands on the page.

One JSON object a line: in {"text": the file}, out what `tell` returns. Times are ticks, 6720 in
a quarter note. Notes are as written, tied ones apart: with the accidental that is meant, and
with the one that a player reads from the printed signs, measure by measure.
"""

import json
import os
import sys
import tempfile

import verovio
from lxml import etree

QUARTER = 6720
MEI = "{http://www.music-encoding.org/ns/mei}"
ID = "{http://www.w3.org/XML/1998/namespace}id"
ALTERS = {"s": 1, "f": -1, "n": 0, "x": 2, "ss": 2, "ff": -2}
LETTERS = {"sharps": "fcgdaeb", "flats": "beadgcf"}

verovio.enableLog(verovio.LOG_WARNING)


def warned(work):
    """What the work gives, and the warnings, which verovio writes on standard error."""
    sys.stderr.flush()
    keep = os.dup(2)
    with tempfile.TemporaryFile() as file:
        os.dup2(file.fileno(), 2)
        try:
            result = work()
        finally:
            os.dup2(keep, 2)
            os.close(keep)
        file.seek(0)
        return result, file.read().decode("utf-8", "replace").strip()


def ticks(quarters):
    """Quarter notes as ticks; verovio rounds them to a few digits."""
    exact = quarters * QUARTER
    whole = round(exact)
    if abs(exact - whole) > 0.1:
        raise ValueError(f"{quarters} quarter notes are no whole number of ticks")
    return whole


def engrave(text):
    toolkit = verovio.toolkit()
    toolkit.setOptions({"expandNever": True, "adjustPageHeight": True})
    if not toolkit.loadData(text):
        raise ValueError("verovio does not load the file")
    pages = [toolkit.renderToSVG(page + 1) for page in range(toolkit.getPageCount())]
    times = toolkit.renderToTimemap({"includeMeasures": True, "includeRests": True})
    return pages, times, etree.fromstring(toolkit.getMEI().encode("utf-8"))


def signature(sig):
    """The alterations of a key signature, as in 3f or 2s."""
    if not sig or sig == "0":
        return {}
    flats = sig.endswith("f")
    letters = LETTERS["flats" if flats else "sharps"][: int(sig[:-1])]
    return {letter: -1 if flats else 1 for letter in letters}


def accidentals(note):
    """The printed accidental of a note, if there is one, and the one that sounds."""
    printed, meant = note.get("accid"), note.get("accid.ges")
    for child in note.iter(f"{MEI}accid"):
        printed = child.get("accid", printed)
        meant = child.get("accid.ges", meant)
    printed = None if printed is None else ALTERS[printed]
    return printed, printed if printed is not None else ALTERS[meant or "n"]


def tell(text):
    (pages, times, mei), warnings = warned(lambda: engrave(text))
    starts, ends, measures = {}, {}, {}
    for entry in times:
        now = ticks(entry["qstamp"])
        if "measureOn" in entry:
            measures[entry["measureOn"]] = now
        for kind, table in (("on", starts), ("off", ends)):
            for name in entry.get(kind, []):
                table[name] = now
    tied = {tie.get("endid", "#")[1:] for tie in mei.iter(f"{MEI}tie")}
    found = {
        "svg": sum(page.count("<svg") > 0 for page in pages) == len(pages),
        "warnings": warnings,
        "notes": [],
        "symbols": [],
        "times": [],
        "measures": [],
        "lyrics": ["".join(syl.itertext()) for syl in mei.iter(f"{MEI}syl")],
    }
    key, unit, before = {}, 4, {}
    for element in mei.iter(f"{MEI}scoreDef", f"{MEI}staffDef", f"{MEI}measure"):
        if element.tag != f"{MEI}measure":
            sig = element.get("keysig")
            for child in element.findall(f"{MEI}keySig"):
                sig = child.get("sig", sig)
            key = key if sig is None else signature(sig)
            for child in element.findall(f"{MEI}meterSig"):
                unit = int(child.get("unit"))
                found["times"].append([int(child.get("count")), unit])
            continue
        start = measures[element.get(ID)]
        found["measures"].append([element.get("n"), start])
        printed, after = {}, {}
        for note in element.iter(f"{MEI}note"):
            name, letter, octave = note.get(ID), note.get("pname"), int(note.get("oct"))
            place = (letter, octave)
            sign, meant = accidentals(note)
            if sign is not None:
                printed[place] = sign
            if sign is None and name in tied and place in before:
                read = before[place]
            else:
                read = printed.get(place, key.get(letter, 0))
            after = {place: read}
            found["notes"].append(
                [starts.get(name), ends.get(name), letter.upper(), octave, meant, read,
                 name in tied, note.get("head.shape") == "x"]
            )
            before = after
        for harm in element.iter(f"{MEI}harm"):
            at = start + ticks((float(harm.get("tstamp")) - 1) * 4 / unit)
            found["symbols"].append([at, "".join(harm.itertext())])
    return found


for line in sys.stdin:
    print(json.dumps(tell(json.loads(line)["text"])))
