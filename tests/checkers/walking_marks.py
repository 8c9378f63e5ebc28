"""What is asked about every note and bar of a walking line: figures that a bassist can read.

A mark answers one question at one note: yes or no, or a number. Not every question is put at
every note: one about the move into a new chord has no answer where the chord stays. Questions of
one kind are a family.
"""

from dataclasses import dataclass
from statistics import fmean, pstdev
from typing import Callable

BEATS = 4

# Degrees over the root of the sounding chord: its own tones by name, then the others.
TONES = ("root", "third", "fifth", "seventh")
COLOURS = {2: "9th", 5: "4th", 9: "6th"}
DEGREES = (*TONES, *COLOURS.values(), "note outside")

# Names of moves, by the most half steps that bear them.
SIZES = {
    1: "half step", 2: "whole step", 4: "third", 5: "fourth", 6: "tritone", 7: "fifth",
    11: "sixth or seventh", 12: "octave", 127: "leap beyond the octave",
}
COARSE_SIZES = {2: "step", 5: "skip", 127: "leap"}

# What a note is to the root of the next chord, in half steps above it.
BEFORE_ROOT = {
    0: "the next root", 11: "a half step below the next root", 1: "a half step above the next root",
    10: "a whole step below the next root", 2: "a whole step above the next root", 7: "the fifth of the next root",
}

# Ranges of the instrument, by lowest and highest note.
RANGES = {"below A1": (0, 32), "A1 to C#2": (33, 37), "D2 to F#2": (38, 42), "G2 to B2": (43, 47),
          "C3 to E3": (48, 52), "above E3": (53, 127)}
OPEN_STRINGS = (28, 33, 38, 43)


def degree(note, chord):
    above = (note - chord.root) % 12
    if above == 0:
        return "root"
    if above in chord.tones:
        return TONES[1 + chord.tones.index(above)]
    return COLOURS.get(above, "note outside")


def named(move, sizes):
    if move == 0:
        return "repeat"
    size = next(name for most, name in sizes.items() if abs(move) <= most)
    return f"{size} {'up' if move > 0 else 'down'}"


def names(sizes):
    return ["repeat"] + [f"{name} {way}" for name in sizes.values() for way in ("up", "down")]


def sign(move):
    return (move > 0) - (move < 0)


class Played:
    """A line, note by note; moves lead from a note to the next."""

    def __init__(self, bars):
        self.notes = [note for bar in bars for note in bar.notes]
        self.chords = [chord for bar in bars for chord in bar.chords]
        self.degrees = [degree(note, chord) for note, chord in zip(self.notes, self.chords)]
        self.above = [(note - chord.root) % 12 for note, chord in zip(self.notes, self.chords)]
        self.moves = [after - before for before, after in zip(self.notes, self.notes[1:])]


def beat(at):
    return at % BEATS + 1


def degrees(line, at):
    for name in DEGREES:
        yield f"{name} on {beat(at)}", line.degrees[at] == name


def arrivals(line, at):
    if at and beat(at) in (1, 3):
        new = line.chords[at].symbol != line.chords[at - 1].symbol
        place = f"on {beat(at)} over a {'new' if new else 'held'} chord"
        for name in TONES:
            yield f"{name} {place}", line.degrees[at] == name
        yield f"no chord tone {place}", line.degrees[at] not in TONES


def bar_lines(line, at):
    if beat(at) != BEATS or at == len(line.moves):
        return
    move, arrives, root = line.moves[at], line.degrees[at + 1], line.chords[at + 1].root
    over = "where the root changes" if root != line.chords[at].root else "where the root stays"
    yield f"root on one {over}", arrives == "root"
    yield f"step into one {over}", 0 < abs(move) <= 2
    yield f"half step into the root on one {over}", abs(move) == 1 and arrives == "root"
    yield f"step into another note than the root on one {over}", 0 < abs(move) <= 2 and arrives != "root"
    yield f"own root on four {over}", line.degrees[at] == "root"
    for above, name in BEFORE_ROOT.items():
        yield f"{name} on four {over}", (line.notes[at] - root) % 12 == above


def contents(line, at):
    if beat(at) != 1:
        return
    bar = line.degrees[at : at + BEATS]
    tones = sum(name in TONES for name in bar)
    yield "chord tones in a bar", float(tones)
    yield "bar of chord tones only", tones == BEATS
    yield "bar without the root", "root" not in bar
    yield "bar without root and third", "root" not in bar and "third" not in bar
    yield "bar with the root twice", bar.count("root") >= 2


def moves(line, at):
    if at < len(line.moves):
        for name in names(SIZES):
            yield f"{name} {beat(at)}>{beat(at + 1)}", named(line.moves[at], SIZES) == name


def pairs(line, at):
    if at + 1 < len(line.moves):
        found = [named(move, COARSE_SIZES) for move in line.moves[at : at + 2]]
        for first in names(COARSE_SIZES):
            for second in names(COARSE_SIZES):
                yield f"{first}, then {second}", found == [first, second]


def direction(line, at):
    if at < len(line.moves):
        yield f"up {beat(at)}>{beat(at + 1)}", line.moves[at] > 0
        yield f"down {beat(at)}>{beat(at + 1)}", line.moves[at] < 0
    if at + 1 < len(line.moves):
        first, second = line.moves[at : at + 2]
        between = beat(at + 1)
        yield f"on the same way at {between}", first * second > 0
        yield f"straight back (aba) at {between}", first + second == 0 != first
        yield f"two half steps the same way into {beat(at + 2)}", first == second and abs(first) == 1
        if abs(first) > 7:
            yield "leap beyond a fifth not recovered", not (first * second < 0 and abs(second) <= 4)
        if first:
            yield f"turn after a {named(first, COARSE_SIZES).split()[0]}", first * second < 0
    if at + 2 < len(line.moves):
        first, second, third = map(sign, line.moves[at : at + 3])
        yield "three moves one way", abs(first + second + third) == 3
        yield "zigzag of three moves", first * second < 0 and second * third < 0


def register(line, at):
    for name, (low, high) in RANGES.items():
        yield f"notes {name}", low <= line.notes[at] <= high
    yield f"open string on {beat(at)}", line.notes[at] in OPEN_STRINGS
    if beat(at) == 1:
        bar = line.notes[at : at + BEATS]
        yield "half steps from lowest to highest of a bar", float(max(bar) - min(bar))
        for bars in (1, 2, 4):
            if at >= bars * BEATS:
                then = line.notes[at - bars * BEATS :][:BEATS]
                yield f"half steps that the middle of a bar moves in {counted(bars)}", abs(fmean(bar) - fmean(then))


def shapes(line, at):
    if beat(at) != 1:
        return
    different = len(set(line.notes[at : at + BEATS]))
    yield "bar of one or two notes", different <= 2
    yield "bar of three notes", different == 3
    yield "bar of four notes", different == 4
    inside = line.moves[at : at + BEATS - 1]
    for first in (1, -1):
        for second in (1, -1):
            for third in (1, -1):
                shape = [first, second, third]
                words = ", ".join("up" if way > 0 else "down" for way in shape)
                yield f"bar that goes {words}", [sign(move) for move in inside] == shape
    steps = [abs(move) for move in inside if 0 < abs(move) <= 2]
    yield "bar in steps", len(steps) == 3
    yield "bar without a step", not steps
    yield "half-step moves in a bar", float(steps.count(1))


def counted(bars):
    return f"{bars} bar{'s' if bars > 1 else ''}"


def again(row, at, what):
    """Whether what the row holds here was there 1, 2, 4 and 8 bars before."""
    for bars in (1, 2, 4, 8):
        back = at - bars * BEATS
        if back < 0:
            return
        ago = f"{counted(bars)} before"
        yield f"same {what} {ago}", row[at] == row[back]
        if at + 2 < len(row):
            yield f"same three {what}s {ago}", row[at : at + 3] == row[back : back + 3]
        if beat(at) == 1:
            yield f"bar of the same {what}s {ago}", row[at : at + BEATS] == row[back : back + BEATS]
            yield f"same {what} on one {ago}", row[at] == row[back]


def notes_again(line, at):
    yield from again(line.notes, at, "note")
    if at >= 2:
        yield f"same note on {beat(at)} two beats before", line.notes[at] == line.notes[at - 2]


def degrees_again(line, at):
    yield from again(line.above, at, "degree")


@dataclass(frozen=True)
class Family:
    name: str
    # A line and the number of a note -> questions with their answers.
    marks: Callable
    # Whether the chords are asked, which are the tune's and not always what was played.
    chords: bool


FAMILIES = (
    Family("degrees by beat", degrees, True),
    Family("new and held chords", arrivals, True),
    Family("over the bar line", bar_lines, True),
    Family("degrees of a bar", contents, True),
    Family("degrees again", degrees_again, True),
    Family("moves by beat", moves, False),
    Family("pairs of moves", pairs, False),
    Family("direction", direction, False),
    Family("register", register, False),
    Family("shapes of bars", shapes, False),
    Family("notes again", notes_again, False),
)


def of_window(notes):
    """What is asked about all notes of a window together; it belongs to the register."""
    yield "mean note", fmean(notes)
    yield "spread of notes", pstdev(notes)
    yield "lowest note", float(min(notes))
    yield "highest note", float(max(notes))
    yield "different notes in a window", float(len(set(notes)))
