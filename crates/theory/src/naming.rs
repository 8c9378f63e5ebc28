//! Names for pitches that nothing spells: the ends of a range, the middle of a register.

use crate::{Key, Letter, Mode, Name, Note, Pitch, PitchClass};

/// The name of a pitch class in a key, with a single accidental at most: the one nearest
/// to the key's middle on the line of fifths, so Bb before A# in D major, and G# before Ab
/// (common practice, no source).
pub fn class_name(class: PitchClass, key: Key) -> Name {
    let raised = if key.mode == Mode::Minor { 7 } else { 1 };
    let middle = 2 * i32::from(key.fifths()) + raised;
    Letter::ALL
        .into_iter()
        .flat_map(|letter| [-1, 0, 1].map(|alter| Name::new(letter, alter)))
        .filter(|name| name.class() == class)
        .min_by_key(|name| (2 * name.fifths() - middle).abs())
        .unwrap_or(key.tonic)
}

/// A pitch named in a key.
pub fn pitch_name(pitch: Pitch, key: Key) -> Note {
    Note::spelled(pitch, class_name(pitch.class(), key).letter)
}

/// A pitch named by itself, as in C major: `Eb2`, `F#2`. It can be read back.
pub fn note_name(pitch: Pitch) -> String {
    let name = class_name(
        pitch.class(),
        Key {
            tonic: Name::new(Letter::C, 0),
            mode: Mode::Major,
        },
    );
    Note::spelled(pitch, name.letter).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_register_is_named_as_its_key_names_it() {
        let name = |midi, key: &str| {
            pitch_name(Pitch::new(midi).unwrap(), key.parse().unwrap()).to_string()
        };
        assert_eq!(name(39, "Bb"), "Eb2");
        assert_eq!(name(39, "E"), "D#2");
        assert_eq!(name(35, "Gb"), "Cb2");
        assert_eq!([34, 32].map(|midi| name(midi, "D")), ["Bb1", "G#1"]);
        assert_eq!(name(32, "Am"), "G#1");
        assert_eq!(name(36, "C"), "C2");
    }
}
