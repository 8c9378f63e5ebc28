//! Which accidentals are printed: those that a note needs, and those that spare a doubt.

use std::collections::{BTreeMap, BTreeSet};

use linewright_theory::{Key, Letter, Note};

/// A line or space of the staff.
type Place = (Letter, i8);

/// A printed accidental.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Sign {
    /// The alteration that it shows, in semitones.
    pub alter: i8,
    /// Whether the note would sound the same without it.
    pub courtesy: bool,
}

/// The accidentals of a staff, as they are asked for note by note.
///
/// One that is printed holds for its line or space to the end of the measure; after the bar line
/// the key signature counts again. A note that is tied over the bar line needs none, and what
/// holds after it is the key signature. Source, from memory: E. Gould, *Behind Bars* (2011),
/// "Accidentals".
///
/// A courtesy accidental stands where a player could still have another alteration of the same
/// letter in mind: one of the measure before, or of this one in another octave or held into it.
/// It is given once. Common practice, no source.
#[derive(Clone, Debug, Default)]
pub struct Accidentals {
    signature: BTreeMap<Letter, i8>,
    /// What was printed in this measure and still holds.
    in_force: BTreeMap<Place, i8>,
    /// What sounds otherwise than the key signature says, in this measure and in that before.
    altered: BTreeMap<Place, i8>,
    altered_before: BTreeMap<Place, i8>,
    /// Where no doubt is left.
    told: BTreeSet<Place>,
}

impl Accidentals {
    /// A new key signature.
    pub fn key(&mut self, key: Key) {
        let signature = key.signature().into_iter();
        self.signature = signature.map(|name| (name.letter, name.alter)).collect();
    }

    /// A bar line.
    pub fn bar_line(&mut self) {
        self.in_force.clear();
        self.told.clear();
        self.altered_before = std::mem::take(&mut self.altered);
    }

    /// The accidental that stands before this note; `held` when a tie from the same note leads
    /// to it.
    pub fn sign(&mut self, note: Note, held: bool) -> Option<Sign> {
        let place = (note.name.letter, note.octave);
        let alter = note.name.alter;
        let usual = self.signature.get(&place.0).copied().unwrap_or(0);
        let courtesy = !held
            && !self.told.contains(&place)
            && [&self.altered, &self.altered_before]
                .into_iter()
                .flatten()
                .any(|(other, &heard)| other.0 == place.0 && heard != alter);
        if alter == usual {
            self.altered.remove(&place);
        } else {
            self.altered.insert(place, alter);
        }
        if held {
            return None;
        }
        let needed = self.in_force.get(&place).copied().unwrap_or(usual) != alter;
        if needed {
            self.in_force.insert(place, alter);
            // It leaves other octaves in doubt again.
            self.told.retain(|other| other.0 != place.0);
        }
        if needed || courtesy {
            self.told.insert(place);
        }
        (needed || courtesy).then_some(Sign {
            alter,
            courtesy: !needed,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The signs before notes, courtesy ones in parentheses; `|` is a bar line, `~` a tie into
    /// the note.
    fn printed(key: &str, notes: &str) -> Vec<String> {
        let mut accidentals = Accidentals::default();
        accidentals.key(key.parse().unwrap());
        let mut list = Vec::new();
        for word in notes.split_whitespace() {
            if word == "|" {
                accidentals.bar_line();
                continue;
            }
            let (held, note) = match word.strip_prefix('~') {
                Some(note) => (true, note),
                None => (false, word),
            };
            let sign = accidentals.sign(note.parse().unwrap(), held);
            list.push(sign.map_or(String::new(), |sign| {
                let text = ["bb", "b", "n", "#", "##"][(sign.alter + 2) as usize];
                match sign.courtesy {
                    true => format!("({text})"),
                    false => text.to_owned(),
                }
            }));
        }
        list
    }

    #[test]
    fn an_accidental_holds_to_the_bar_line_in_its_octave() {
        assert_eq!(printed("C", "F#2 F#2 F#1 F2 F2"), ["#", "", "#", "n", ""]);
        assert_eq!(printed("C", "F#2 | G2 F#2"), ["#", "", "#"]);
        assert_eq!(printed("Bb", "Bb1 B1 Bb1 Eb2"), ["", "n", "b", ""]);
        assert_eq!(printed("Ab minor", "Fb2 Ebb2 Eb2"), ["", "bb", "b"]);
        assert_eq!(printed("C# minor", "B#1 F##2 F#2"), ["#", "##", "#"]);
    }

    #[test]
    fn after_an_altered_note_the_next_measure_tells_what_holds_again() {
        assert_eq!(printed("C", "F#2 | F2 F2 F#2"), ["#", "(n)", "", "#"]);
        assert_eq!(printed("F", "B1 | Bb1 A1 Bb1"), ["n", "(b)", "", ""]);
        assert_eq!(printed("C", "F#2 | F1 F2"), ["#", "(n)", "(n)"]);
        // Cancelled in its own measure, or two measures ago.
        assert_eq!(printed("C", "F#2 F2 | F2"), ["#", "n", ""]);
        assert_eq!(printed("C", "F#2 | G2 | F2"), ["#", "", ""]);
        assert_eq!(printed("C", "F#2 | F2 | F2"), ["#", "(n)", ""]);
    }

    #[test]
    fn another_octave_of_an_altered_note_tells_what_holds_there() {
        assert_eq!(printed("C", "F#2 F1 F1"), ["#", "(n)", ""]);
        assert_eq!(printed("D", "F2 F#1 G1 F#1"), ["n", "(#)", "", ""]);
        assert_eq!(printed("C", "F#2 F1 F#1 F2"), ["#", "(n)", "#", "n"]);
        assert_eq!(printed("C", "F1 F#2 F1"), ["", "#", "(n)"]);
    }

    #[test]
    fn a_note_tied_over_the_bar_line_prints_none_and_the_next_does() {
        assert_eq!(printed("C", "F#2 | ~F#2 F#2"), ["#", "", "#"]);
        assert_eq!(printed("C", "F#2 | ~F#2 F2 F2"), ["#", "", "(n)", ""]);
        assert_eq!(printed("C", "F#2 | ~F#2 | F2"), ["#", "", "(n)"]);
    }
}
