"""Judges the labels of bass lines by what music21 hears.

One JSON object a line, which is one bass line. In: {"chords": harmonies as `chord_classes`
describes them, "notes": [{"name", "midi", "chord", "degree", "functions": [{"name", "from_below"}]}]}:
"degree" is the number and the alteration in half steps over the chord's root; the name has its octave and `b` for flat, "chord" is an index into the chords, "from_below" is
true, false or null. Out: {"checked": {function: how often}, "faults": [[note, what is wrong]]}.
"""

import json
import sys
from collections import Counter
from functools import lru_cache

from chord_classes import bass_class, build, classes, name
from music21 import interval, pitch

# What stands in place of a chord's third, fifth and seventh when there is none.
STEPS = ((3, 4, 2), (5,), (7, 6))


class Heard:
    """A chord: its pitch classes, its root, and the classes that are its chord tones."""

    def __init__(self, asked):
        chord = build(asked)
        self.root = chord.root().pitchClass
        self.classes = classes(asked)
        self.bass = bass_class(asked)
        by_step = {}
        for tone in chord.pitches:
            by_step.setdefault((tone.diatonicNoteNum - chord.root().diatonicNoteNum) % 7 + 1, set()).add(tone.pitchClass)
        self.third = next((by_step[step] for step in STEPS[0] if step in by_step), set())
        self.fifth = by_step.get(5, set())
        self.seventh = by_step.get(7) or by_step.get(6) or set()
        self.tones = {chord.root().pitchClass, self.bass} | self.third | self.fifth | self.seventh


@lru_cache(maxsize=None)
def heard(asked):
    return Heard(json.loads(asked))


@lru_cache(maxsize=None)
def between(start, end):
    """The interval by its sound: `m2`, `P-5`, whatever the spelling."""
    sound = interval.Interval(pitch.Pitch(start), pitch.Pitch(end)).chromatic
    return sound.getDiatonic().directedName


@lru_cache(maxsize=None)
def midi(spelled):
    return pitch.Pitch(spelled).midi


@lru_cache(maxsize=None)
def above_root(number, alter):
    """Half steps of a degree above the root, within an octave."""
    quality = "P" if number in (1, 4, 5, 8, 11, 12) else "M"
    return (interval.Interval(f"{quality}{number}").semitones + alter) % 12


class Line:
    def __init__(self, asked):
        self.chords = [heard(json.dumps(chord, sort_keys=True)) for chord in asked["chords"]]
        self.notes = asked["notes"]
        self.names = [name(note["name"]) for note in self.notes]

    def move(self, at):
        """The interval into note `at`; empty at the ends of the line."""
        if 0 < at < len(self.names):
            return between(self.names[at - 1], self.names[at])
        return ""

    def size(self, at):
        return self.move(at).replace("-", "")

    def down(self, at):
        return "-" in self.move(at)

    def chord(self, at):
        return self.chords[self.notes[at]["chord"]]

    def klass(self, at):
        return self.notes[at]["midi"] % 12

    def is_tone(self, at):
        return at < len(self.notes) and self.klass(at) in self.chord(at).tones

    def is_root(self, at):
        return at < len(self.notes) and self.klass(at) == self.chord(at).bass

    def sided(self, at, function):
        """Whether the side that an approach is said to come from is the one it comes from."""
        return function["from_below"] == (not self.down(at + 1))

    def double(self, at):
        """Whether two half steps one way end on note `at`, a chord tone."""
        return self.move(at - 1) == self.move(at) and self.size(at) == "m2" and self.is_tone(at)

    def encloses(self, at):
        """Whether the notes before `at` lie a step from it on either side."""
        if at < 2 or not self.is_tone(at):
            return False
        far = between(self.names[at - 2], self.names[at])
        steps = far.replace("-", "") in ("m2", "M2") and self.size(at) in ("m2", "M2")
        return steps and ("-" in far) != self.down(at)

    def by_step(self, at):
        return self.size(at) in ("m2", "M2")

    def foreign(self, at):
        return not self.is_tone(at)

    def next_has(self, at, tones):
        return at + 1 < len(self.notes) and self.klass(at) in tones(self.chord(at + 1))


TONES = ("chord tone", "colour tone", "scale tone", "chromatic tone")

# Each function as the trade defines it (common practice, no source), in music21's intervals and
# music21's chords: line, number of the note that bears the label, the function -> whether it is so.
FUNCTIONS = {
    "chord tone": lambda l, n, f: l.is_tone(n),
    "colour tone": lambda l, n, f: l.foreign(n),
    "scale tone": lambda l, n, f: l.klass(n) not in l.chord(n).classes,
    "chromatic tone": lambda l, n, f: l.klass(n) not in l.chord(n).classes,
    "half-step approach": lambda l, n, f: l.size(n + 1) == "m2" and l.sided(n, f) and l.is_tone(n + 1),
    "scale-step approach": lambda l, n, f: l.size(n + 1) == "M2" and l.sided(n, f) and l.is_tone(n + 1),
    "dominant approach": lambda l, n, f: l.move(n + 1) in ("P-5", "P4") and l.is_root(n + 1),
    "double chromatic approach": lambda l, n, f: l.double(n + 1) or l.double(n + 2),
    "enclosure": lambda l, n, f: l.encloses(n + 1) or l.encloses(n + 2),
    "leading-tone start": lambda l, n, f: l.move(n + 1) == "m2" and l.is_root(n + 1),
    "early root": lambda l, n, f: l.next_has(n, lambda c: {c.bass}),
    "anticipation": lambda l, n, f: l.foreign(n) and l.next_has(n, lambda c: c.tones),
    "passing tone": lambda l, n, f: l.foreign(n) and l.by_step(n) and l.by_step(n + 1) and l.down(n) == l.down(n + 1),
    "neighbour tone": lambda l, n, f: l.foreign(n) and l.size(n) == l.size(n + 1) and l.by_step(n) and l.down(n) != l.down(n + 1),
    "chromatic passing tone": lambda l, n, f: l.foreign(n) and l.size(n + 1) == "m2",
    "cadence on beat one": lambda l, n, f: l.is_root(n) and (l.by_step(n) or l.move(n) in ("P-5", "P4")),
    "cadence on the next root": lambda l, n, f: l.next_has(n, lambda c: {c.bass}),
    "octave": lambda l, n, f: l.size(n) == "P8",
    "repeated note": lambda l, n, f: l.move(n) == "P1",
    "pedal": lambda l, n, f: l.move(n) == "P1" and l.is_root(n) and l.is_root(n - 1),
    "guide tone": lambda l, n, f: (
        l.by_step(n) and l.down(n)
        and l.klass(n - 1) in l.chord(n - 1).seventh and l.klass(n) in l.chord(n).third
    ),
    "register shift": lambda l, n, f: interval.Interval(l.size(n)).semitones >= 8,
}


def judge(line, at):
    """What is wrong with the labels of a note, and which functions were looked at."""
    note = line.notes[at]
    found = [function["name"] for function in note["functions"]]
    if midi(line.names[at]) != note["midi"]:
        yield "", f"{note['name']} does not sound {note['midi']}"
    if len([function for function in found if function in TONES]) != 1:
        yield "", f"it is not one of {TONES}: {found}"
    if line.klass(at) not in line.chord(at).classes and not set(found) & set(TONES[1:]):
        yield "", f"outside the chord and not said to be: {found}"
    if above_root(**note["degree"]) != (note["midi"] - line.chord(at).root) % 12:
        yield "", f"{note['name']} is no {note['degree']}"
    yield "degree", ""
    for function in note["functions"]:
        holds = FUNCTIONS[function["name"]](line, at, function)
        yield function["name"], "" if holds else f"no {function['name']}"


def tell(asked):
    line = Line(asked)
    checked, faults = Counter(), []
    for at in range(len(line.notes)):
        for function, fault in judge(line, at):
            checked[function] += 1
            if fault:
                faults.append([at, fault])
    return {"checked": checked, "faults": faults}


for row in sys.stdin:
    print(json.dumps(tell(json.loads(row))))
