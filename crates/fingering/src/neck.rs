//! The necks that are known, and the places on them.

use linewright_theory::Pitch;

use crate::hand::{self, Finger, Grip, THUMB_FROM};

/// An instrument as its player meets it. Tunings in fourths are those of the trade (common
/// practice, no source).
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub enum Neck {
    /// Double bass, E1 A1 D2 G2, fingerboard of two octaves.
    DoubleBass,
    /// The same with an extension of the E string down to C1: its C, and E behind the closed
    /// gate, sound open; the notes between are fingered.
    DoubleBassLowC,
    /// Double bass, B0 E1 A1 D2 G2.
    DoubleBassFive,
    /// Bass guitar, E1 A1 D2 G2, 20 frets.
    BassGuitar,
    /// Bass guitar, B0 E1 A1 D2 G2, 20 frets.
    BassGuitarFive,
}

/// The open strings, lowest first.
const FOUR: [u8; 4] = [28, 33, 38, 43];
const FIVE: [u8; 5] = [23, 28, 33, 38, 43];

/// How far the extension reaches below the lowest open string.
const EXTENSION: i32 = -4;

impl Neck {
    /// All of them.
    pub const ALL: [Neck; 5] = [
        Neck::DoubleBass,
        Neck::DoubleBassLowC,
        Neck::DoubleBassFive,
        Neck::BassGuitar,
        Neck::BassGuitarFive,
    ];

    /// What its player calls it.
    pub fn name(self) -> &'static str {
        match self {
            Neck::DoubleBass => "double bass",
            Neck::DoubleBassLowC => "double bass with low C extension",
            Neck::DoubleBassFive => "five-string double bass",
            Neck::BassGuitar => "bass guitar",
            Neck::BassGuitarFive => "five-string bass guitar",
        }
    }

    /// The open strings, highest first, as MIDI key numbers: the string at index 0 is I.
    pub fn strings(self) -> impl DoubleEndedIterator<Item = u8> + ExactSizeIterator {
        let strings: &'static [u8] = match self {
            Neck::DoubleBassFive | Neck::BassGuitarFive => &FIVE,
            _ => &FOUR,
        };
        strings.iter().copied().rev()
    }

    /// Whether it has frets: then a [`Place::stop`] is the number of one.
    pub fn has_frets(self) -> bool {
        matches!(self, Neck::BassGuitar | Neck::BassGuitarFive)
    }

    /// Semitones from the open string to the end of the fingerboard.
    pub(crate) fn last_stop(self) -> i32 {
        if self.has_frets() { 20 } else { 24 }
    }

    /// Where the lowest finger can lie.
    pub(crate) fn positions(self) -> impl Iterator<Item = i32> {
        let first = match self {
            Neck::DoubleBassLowC => EXTENSION + 1,
            _ => 1,
        };
        (first..=self.last_stop()).filter(|&position| position != 0)
    }

    /// The hand that the neck allows in a position.
    fn grip(self, position: i32) -> Grip {
        match self.has_frets() {
            true => hand::on_frets(position),
            false => hand::on_fingerboard(position),
        }
    }

    /// Whether the hand in a position has the thumb on the string.
    pub(crate) fn is_thumb_position(self, position: i32) -> bool {
        !self.has_frets() && position >= THUMB_FROM
    }

    /// Whether a stop, in semitones above the open string, lies on a string (from 0 for the
    /// highest) and needs a finger.
    fn is_stopped(self, string: usize, stop: i32) -> bool {
        let on_extension = self == Neck::DoubleBassLowC
            && string + 1 == self.strings().len()
            && (EXTENSION + 1..0).contains(&stop);
        on_extension || (1..=self.last_stop()).contains(&stop)
    }

    /// Whether a stop sounds without a finger.
    fn is_open(self, string: usize, stop: i32) -> bool {
        let on_extension = self == Neck::DoubleBassLowC && string + 1 == self.strings().len();
        stop == 0 || (on_extension && stop == EXTENSION)
    }

    /// Every place that a pitch has, in order; none when it lies beyond the neck. Without open
    /// strings, a pitch is played open only where it has no other place.
    pub fn places(self, pitch: Pitch, open_strings: bool) -> Vec<Place> {
        let stop = |open: u8| i32::from(pitch.midi()) - i32::from(open);
        let mut places: Vec<Place> = Vec::new();
        for (string, open) in self.strings().enumerate() {
            let stop = stop(open);
            if !self.is_stopped(string, stop) {
                continue;
            }
            for position in self.positions() {
                let fingers = self.grip(position).iter();
                let reaching = fingers.filter(|(_, reach)| reach.contains(&(stop - position)));
                places.extend(reaching.map(|&(finger, _)| Place {
                    position,
                    string,
                    finger,
                    stop,
                }));
            }
        }
        if open_strings || places.is_empty() {
            for (string, open) in self.strings().enumerate() {
                let stop = stop(open);
                if self.is_open(string, stop) {
                    // The hand lies ready anywhere meanwhile.
                    places.extend(self.positions().map(|position| Place {
                        position,
                        string,
                        finger: Finger::Open,
                        stop,
                    }));
                }
            }
        }
        places.sort_unstable();
        places.dedup();
        places
    }
}

/// A place where a note is played. Ordered by position, then string, then finger.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// Semitones from the open string to where the hand's lowest finger lies, or lies ready
    /// while the string is open: 1 in half position, 2 in first position. Below 0 on the
    /// extension.
    pub position: i32,
    /// The string, from 0 for the highest.
    pub string: usize,
    /// The finger.
    pub finger: Finger,
    /// Semitones from the open string to the note: the fret.
    pub stop: i32,
}

impl Place {
    /// The string's number as players write it: `I` for the highest.
    pub fn string_number(&self) -> &'static str {
        ["I", "II", "III", "IV", "V"]
            .get(self.string)
            .copied()
            .unwrap_or("?")
    }
}
