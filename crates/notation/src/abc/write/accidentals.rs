//! Which accidentals a measure needs.

use std::collections::BTreeMap;

use linewright_theory::{Key, Letter, Note};

/// The accidentals in force in a measure, for two kinds of readers: those that carry one to all
/// octaves of its letter, and those that keep it in its own.
pub(super) struct Accidentals {
    signature: [i8; 7],
    letters: [Option<i8>; 7],
    /// Those of letters in their octaves.
    notes: BTreeMap<(Letter, i8), i8>,
}

impl Accidentals {
    /// At the start of a measure.
    pub fn new(key: Option<Key>) -> Self {
        let mut signature = [0; 7];
        for name in key.map(Key::signature).unwrap_or_default() {
            signature[usize::from(name.letter.index())] = name.alter;
        }
        Accidentals {
            signature,
            letters: [None; 7],
            notes: BTreeMap::new(),
        }
    }

    /// The accidental that must stand before this note; empty when every reader knows it.
    pub fn before(&mut self, note: Note) -> &'static str {
        let (letter, alter) = (note.name.letter, note.name.alter);
        let index = usize::from(letter.index());
        let signature = self.signature[index];
        let everywhere = self.letters[index].unwrap_or(signature);
        let place = (letter, note.octave);
        let here = self.notes.get(&place).copied().unwrap_or(signature);
        if everywhere == alter && here == alter {
            return "";
        }
        self.letters[index] = Some(alter);
        self.notes.insert(place, alter);
        match alter {
            ..=-2 => "__",
            -1 => "_",
            0 => "=",
            1 => "^",
            2.. => "^^",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn signs(key: &str, notes: &str) -> Vec<&'static str> {
        let mut accidentals = Accidentals::new(Some(key.parse().unwrap()));
        notes
            .split(' ')
            .map(|note| accidentals.before(note.parse().unwrap()))
            .collect()
    }

    #[test]
    fn the_signature_and_earlier_accidentals_spare_signs() {
        assert_eq!(signs("F", "Bb2 B2 B2 Bb2 E2"), ["", "=", "", "_", ""]);
        assert_eq!(signs("C", "F##2 Abb2 F2"), ["^^", "__", "="]);
    }

    #[test]
    fn another_octave_gets_its_sign_again_whatever_a_reader_does() {
        assert_eq!(signs("C", "C#2 C#3 C3 C#2"), ["^", "^", "=", "^"]);
        assert_eq!(signs("C", "C#2 C3 C2"), ["^", "=", "="]);
    }
}
