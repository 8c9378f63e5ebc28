//! Which accidentals are printed.

use std::collections::BTreeMap;

use linewright_theory::{Key, Letter, Note};

/// The accidentals in force on a staff. One that is printed holds for its line or space to the
/// end of the measure; after the bar line the key signature counts again. A note that is tied
/// over the bar line needs none, and what holds after it is the key signature.
///
/// Source, from memory: E. Gould, *Behind Bars* (2011), "Accidentals".
#[derive(Clone, Debug, Default)]
pub(crate) struct Spelling {
    signature: BTreeMap<Letter, i8>,
    measure: BTreeMap<(Letter, i8), i8>,
}

/// A printed accidental, by its alteration in semitones.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(crate) struct Accidental(pub i8);

impl Accidental {
    /// Its name in a file.
    pub(crate) fn name(self) -> &'static str {
        match self.0 {
            0 => "natural",
            1 => "sharp",
            2 => "double-sharp",
            -1 => "flat",
            _ => "flat-flat",
        }
    }
}

impl Spelling {
    /// A new key signature.
    pub(crate) fn key(&mut self, key: Key) {
        self.signature = key
            .signature()
            .into_iter()
            .map(|name| (name.letter, name.alter))
            .collect();
    }

    /// A bar line.
    pub(crate) fn bar_line(&mut self) {
        self.measure.clear();
    }

    /// The accidental that this note needs; `held` when a tie from the same note over the bar
    /// line leads to it.
    pub(crate) fn print(&mut self, note: Note, held: bool) -> Option<Accidental> {
        let place = (note.name.letter, note.octave);
        if held {
            return None;
        }
        let usual = self.signature.get(&place.0).copied().unwrap_or(0);
        let in_force = self.measure.get(&place).copied().unwrap_or(usual);
        if in_force == note.name.alter {
            return None;
        }
        self.measure.insert(place, note.name.alter);
        Some(Accidental(note.name.alter))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn printed(key: &str, notes: &str) -> Vec<String> {
        let mut spelling = Spelling::default();
        spelling.key(key.parse().unwrap());
        let mut list = Vec::new();
        for word in notes.split_whitespace() {
            if word == "|" {
                spelling.bar_line();
                continue;
            }
            let (held, note) = match word.strip_prefix('~') {
                Some(note) => (true, note),
                None => (false, word),
            };
            let accidental = spelling.print(note.parse().unwrap(), held);
            list.push(accidental.map_or("", Accidental::name).to_owned());
        }
        list
    }

    #[test]
    fn an_accidental_holds_to_the_bar_line_in_its_octave() {
        assert_eq!(
            printed("C", "F#2 F#2 F#1 F2 F2"),
            ["sharp", "", "sharp", "natural", ""]
        );
        assert_eq!(printed("C", "F#2 | F2 F#2"), ["sharp", "", "sharp"]);
        assert_eq!(printed("Bb", "Bb1 B1 Bb1 Eb2"), ["", "natural", "flat", ""]);
        assert_eq!(
            printed("Ab minor", "Fb2 Ebb2 Eb2"),
            ["", "flat-flat", "flat"]
        );
        assert_eq!(
            printed("C# minor", "B#1 F##2 F#2"),
            ["sharp", "double-sharp", "sharp"]
        );
    }

    #[test]
    fn a_note_tied_over_the_bar_line_prints_none_and_the_next_does() {
        assert_eq!(printed("C", "F#2 | ~F#2 F#2"), ["sharp", "", "sharp"]);
        assert_eq!(printed("C", "F#2 | ~F#2 F2"), ["sharp", "", ""]);
    }
}
