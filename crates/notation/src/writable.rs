//! Notes and names as a file can write them.

use std::ops::RangeInclusive;

use linewright_theory::{Name, Note};

/// The name with at most two accidentals.
pub(crate) fn name(name: Name) -> Name {
    if (-2..=2).contains(&name.alter) {
        return name;
    }
    Name::new(name.letter, name.alter.clamp(-12, 12)).simple()
}

/// The note with at most two accidentals and within these octaves, which lie from -1 to 8: one
/// outside of them is moved by octaves.
pub(crate) fn note(note: Note, octaves: RangeInclusive<i8>) -> Note {
    let few = name(note.name);
    let octave = match note.pitch() {
        Some(pitch) if few != note.name => Note::spelled(pitch, few.letter).octave,
        _ => note.octave,
    };
    let note = Note::new(few, octave.clamp(*octaves.start(), *octaves.end()));
    match note.pitch() {
        Some(_) => note,
        // Below the lowest pitch, as C flat in the lowest octave is.
        None => Note::new(few, 0),
    }
}
