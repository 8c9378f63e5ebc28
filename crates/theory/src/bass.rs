//! The basses that parts are written for and fingered on: one table.

use std::fmt;

/// A bass.
///
/// General MIDI programs are those of *General MIDI System Level 1*, MIDI Manufacturers
/// Association, counted from 1: 33 Acoustic Bass, 34 Electric Bass (finger). Tunings in fourths
/// and how far necks go are those of the trade (common practice, no source).
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub enum Bass {
    /// Double bass, E1 A1 D2 G2, fingerboard of two octaves.
    Double,
    /// The same with an extension of the E string down to C1: its C, and E behind the closed
    /// gate, sound open; the notes between are fingered.
    DoubleLowC,
    /// Double bass, B0 E1 A1 D2 G2.
    DoubleFive,
    /// Bass guitar, E1 A1 D2 G2, 20 frets, played with the fingers.
    Guitar,
    /// Bass guitar, B0 E1 A1 D2 G2, 20 frets.
    GuitarFive,
}

/// What is known of a bass.
struct Row {
    name: &'static str,
    program: u8,
    /// Open strings, lowest first, as MIDI key numbers.
    strings: &'static [u8],
    /// How far an extension reaches below the lowest open string, in semitones.
    extension: u8,
    frets: bool,
    /// Semitones from the open string to the end of the fingerboard.
    last_stop: u8,
    /// The highest note that parts are written for.
    highest: u8,
}

const FOUR: &[u8] = &[28, 33, 38, 43];
const FIVE: &[u8] = &[23, 28, 33, 38, 43];

const fn double(name: &'static str, strings: &'static [u8], extension: u8) -> Row {
    Row {
        name,
        program: 33,
        strings,
        extension,
        frets: false,
        last_stop: 24,
        // The octave of the open G string and a fifth above.
        highest: 62,
    }
}

const fn guitar(name: &'static str, strings: &'static [u8]) -> Row {
    Row {
        name,
        program: 34,
        strings,
        extension: 0,
        frets: true,
        last_stop: 20,
        highest: 63,
    }
}

const TABLE: [Row; 5] = [
    double("double bass", FOUR, 0),
    double("double bass with low C extension", FOUR, 4),
    double("five-string double bass", FIVE, 0),
    guitar("bass guitar", FOUR),
    guitar("five-string bass guitar", FIVE),
];

impl Bass {
    /// All of them, in the order of the table.
    pub const ALL: [Bass; 5] = [
        Bass::Double,
        Bass::DoubleLowC,
        Bass::DoubleFive,
        Bass::Guitar,
        Bass::GuitarFive,
    ];

    fn row(self) -> &'static Row {
        &TABLE[self as usize]
    }

    /// What its player calls it, and what its part is called.
    pub fn name(self) -> &'static str {
        self.row().name
    }

    /// The bass of this name.
    pub fn named(name: &str) -> Option<Bass> {
        Self::ALL.into_iter().find(|bass| bass.name() == name)
    }

    /// The General MIDI program, 1 to 128.
    pub fn program(self) -> u8 {
        self.row().program
    }

    /// The lowest and the highest note that parts are written for, as MIDI key numbers.
    pub fn reach(self) -> (u8, u8) {
        let row = self.row();
        (row.strings[0] - row.extension, row.highest)
    }

    /// The open strings, highest first, as MIDI key numbers: the string at index 0 is I.
    pub fn strings(self) -> impl DoubleEndedIterator<Item = u8> + ExactSizeIterator {
        self.row().strings.iter().copied().rev()
    }

    /// How far an extension reaches below the lowest open string, in semitones; 0 without one.
    pub fn extension(self) -> i32 {
        i32::from(self.row().extension)
    }

    /// Whether it has frets.
    pub fn has_frets(self) -> bool {
        self.row().frets
    }

    /// Semitones from an open string to the end of the fingerboard: its frets, if it has some.
    pub fn last_stop(self) -> i32 {
        i32::from(self.row().last_stop)
    }
}

impl fmt::Display for Bass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_bass_is_found_by_its_name_and_tuned_in_fourths() {
        for bass in Bass::ALL {
            assert_eq!(Bass::named(bass.name()), Some(bass));
            let strings: Vec<u8> = bass.strings().collect();
            assert!(strings.windows(2).all(|pair| pair[0] - pair[1] == 5));
            let (lowest, highest) = bass.reach();
            assert!(lowest <= *strings.last().unwrap() && highest > strings[0] + 12);
            assert!(i32::from(highest) <= i32::from(strings[0]) + bass.last_stop());
        }
        assert_eq!(Bass::DoubleLowC.reach().0, 24, "C1");
        assert_eq!(Bass::GuitarFive.reach().0, 23, "B0");
        assert_eq!(Bass::named("tuba"), None);
    }
}
