"""Chords as music21 builds them from MusicXML harmony; for the scripts beside this one.

A harmony is {"root", "kind", "degrees": [{"value", "alter", "type"}], "bass"}, with flats
written as `b` and `bass` a name or null. Chords are built from kind and degrees, never from
a symbol's text.
"""

from music21 import harmony


def name(text):
    """A note name as music21 writes it, with `-` for flat."""
    return text[0] + text[1:].replace("b", "-")


def build(asked):
    """The chord symbol of music21, without the bass note."""
    degrees = asked["degrees"]
    chord = harmony.ChordSymbol(root=name(asked["root"]), kind=asked["kind"])
    for degree in degrees:
        step = harmony.ChordStepModification(degree["type"], degree["value"], degree["alter"])
        chord.addChordStepModification(step, updatePitches=False)
    if degrees:
        chord._updatePitches()
    return chord


def bass_class(asked):
    """The pitch class at the bottom: of the bass note, else of the root; C = 0."""
    bottom = asked["bass"] or asked["root"]
    return harmony.ChordSymbol(root=name(bottom), kind="power").root().pitchClass


def classes(asked):
    """The pitch classes of root, degrees and bass, C = 0."""
    return {pitch.pitchClass for pitch in build(asked).pitches} | {bass_class(asked)}
