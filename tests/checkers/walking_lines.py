"""Reads chord charts in chart text, and walking lines of one note a beat, in four.

Just what `tell_apart.py` needs, written apart from the project's own readers: what is not
understood is refused, and nothing is guessed.
"""

import re
from dataclasses import dataclass
from pathlib import Path

BEATS = 4
LETTERS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
ACCIDENTALS = {"": 0, "#": 1, "b": -1, "##": 2, "bb": -2}
ROOT = r"([A-G])(bb|##|b|#|)"

# Third, fifth and seventh over the root, in half steps, by what stands behind the root (common
# practice). Sixth chords have no seventh: their sixth is a sixth.
KINDS = {
    "": (4, 7, None), "6": (4, 7, None), "m": (3, 7, None), "m6": (3, 7, None),
    "maj7": (4, 7, 11), "7": (4, 7, 10), "9": (4, 7, 10), "7b9": (4, 7, 10), "13": (4, 7, 10),
    "m7": (3, 7, 10), "m7b5": (3, 6, 10), "dim": (3, 6, None), "dim7": (3, 6, 9), "aug": (4, 8, None),
}


class Unread(Exception):
    """What is wrong with a text, and where."""


@dataclass(frozen=True)
class Chord:
    # As it is written, with the bass note that it may name.
    symbol: str
    # Pitch class of the root, whatever the bass note is.
    root: int
    # Half steps from there to the chord's third, fifth and seventh; none where it has none.
    tones: tuple


@dataclass(frozen=True)
class Bar:
    # One for each beat.
    chords: tuple
    # MIDI numbers, one for each beat; empty in a chart.
    notes: tuple = ()


def chord(symbol, where):
    found = re.fullmatch(ROOT + r"([^/]*)(?:/" + ROOT + ")?", symbol)
    if not found or found[3] not in KINDS:
        raise Unread(f"{where}: the chord {symbol!r} is not known here")
    return Chord(symbol, (LETTERS[found[1]] + ACCIDENTALS[found[2]]) % 12, KINDS[found[3]])


def bar_of_chords(words, before, where):
    """The chords of a bar on its beats: they share it evenly, or `/` holds one a beat more."""
    if words == ["%"] and before:
        return before
    if BEATS % len(words) or words[0] == "/" or "%" in words:
        raise Unread(f"{where}: {' '.join(words)!r} is not understood as a bar of {BEATS}")
    beats = []
    for word in words:
        held = beats[-1] if word == "/" else chord(word, where)
        beats += [held] * (BEATS // len(words))
    return Bar(tuple(beats))


def cells(row, where):
    """What stands between the bar lines of a row."""
    if not row.endswith("|") or ":" in row:
        raise Unread(f"{where}: {row!r} is no row of plain bars")
    return [cell.split() for cell in row.strip("|").split("|")]


def read_chart(path):
    bars = []
    for number, row in enumerate(path.read_text().splitlines(), 1):
        where, row = f"{path.name}, line {number}", row.strip()
        if row.startswith("|"):
            for words in cells(row, where):
                if not words:
                    raise Unread(f"{where}: an empty bar")
                bars.append(bar_of_chords(words, bars[-1] if bars else None, where))
        elif row and not re.fullmatch(r"[a-z-]+:.*|\[.*\]", row):
            raise Unread(f"{where}: {row!r} is not understood")
    return bars


def midi(name, where):
    found = re.fullmatch(ROOT + r"(-?\d)", name)
    if not found:
        raise Unread(f"{where}: {name!r} is no note on a beat: one note a beat is looked at")
    return 12 * (int(found[3]) + 1) + LETTERS[found[1]] + ACCIDENTALS[found[2]]


def read_notes(path):
    """The notes of a line, bar by bar: rows between bar lines, or those named `notes` of a page."""
    text = path.read_text().splitlines()
    page = any(row.startswith("notes ") for row in text)
    bars = []
    for number, row in enumerate(text, 1):
        where = f"{path.name}, line {number}"
        if page and row.startswith("notes "):
            row = row.removeprefix("notes").strip()
        elif page or not row.startswith("|"):
            continue
        for names in cells(row.strip(), where):
            if len(names) != BEATS:
                raise Unread(f"{where}: {len(names)} notes in a bar of {BEATS}")
            bars.append(tuple(midi(name, where) for name in names))
    return bars


def read_line(chart, path):
    """The bars of a line over a chart; where that is played three times, those of the second time."""
    notes = read_notes(path)
    if len(notes) == 3 * len(chart):
        notes = notes[len(chart) : -len(chart)]
    if len(notes) != len(chart):
        raise Unread(f"{path.name}: {len(notes)} bars over a chart of {len(chart)}")
    return [Bar(bar.chords, played) for bar, played in zip(chart, notes)]


@dataclass(frozen=True)
class Line:
    # The number of the tune, and the name of the chart.
    tune: str
    chart: str
    # What tells lines over one chart apart; empty for the player's.
    seed: str
    bars: tuple


def tune(chart):
    """`07` of `excerpt-07a`: excerpts of one tune differ by a letter."""
    found = re.search(r"(\d+)[a-z]?$", chart)
    if not found:
        raise Unread(f"{chart}: the name of a chart ends in a number and a letter: excerpt-07a")
    return found[1]


def read_folder(charts, lines):
    """Every line of a folder, `CHART.line.txt` or `CHART.SEED.line.txt`, over the chart of its name."""
    found = []
    for path in sorted(Path(lines).glob("*.line.txt")):
        name, _, seed = path.name.removesuffix(".line.txt").partition(".")
        if name not in charts:
            raise Unread(f"{path.name}: there is no chart {name}.chart")
        found.append(Line(tune(name), name, seed, tuple(read_line(charts[name], path))))
    if not found:
        raise Unread(f"{lines} holds no .line.txt file")
    return found


def read_charts(folder):
    return {path.stem: read_chart(path) for path in sorted(Path(folder).glob("*.chart"))}
