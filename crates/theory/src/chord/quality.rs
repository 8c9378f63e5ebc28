//! The quality of a chord: its degrees, without root and bass.

use crate::Degree;

/// Every degree a chord can be written with, ascending. A quality is a set of these.
const DEGREES: [Degree; 20] = [
    Degree::new(1, 0),
    Degree::new(2, 0),
    Degree::new(3, -1),
    Degree::new(3, 0),
    Degree::new(4, 0),
    Degree::new(5, -1),
    Degree::new(5, 0),
    Degree::new(5, 1),
    Degree::new(6, -1),
    Degree::new(6, 0),
    Degree::new(7, -2),
    Degree::new(7, -1),
    Degree::new(7, 0),
    Degree::new(9, -1),
    Degree::new(9, 0),
    Degree::new(9, 1),
    Degree::new(11, 0),
    Degree::new(11, 1),
    Degree::new(13, -1),
    Degree::new(13, 0),
];

/// A chord without root and bass: the set of its degrees. Two qualities are equal exactly when they
/// have the same degrees, so it serves as a key for tables.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Quality(u32);

impl Quality {
    /// The root alone.
    pub(crate) const ROOT: Quality = Quality(1);

    fn bit(degree: Degree) -> u32 {
        DEGREES
            .iter()
            .position(|&d| d == degree)
            .map_or(0, |place| 1 << place)
    }

    /// Whether a chord can be written with this degree.
    pub(super) fn knows(number: u8, alter: i8) -> bool {
        Quality::bit(Degree::new(number, alter)) != 0
    }

    /// The degrees, ascending by number and accidental.
    pub fn degrees(self) -> impl Iterator<Item = Degree> {
        DEGREES
            .into_iter()
            .enumerate()
            .filter(move |(place, _)| self.0 >> place & 1 == 1)
            .map(|(_, degree)| degree)
    }

    /// Whether a degree is written.
    pub fn has(self, number: u8, alter: i8) -> bool {
        self.0 & Quality::bit(Degree::new(number, alter)) != 0
    }

    /// Whether any degree of this number is written.
    pub(crate) fn has_number(self, number: u8) -> bool {
        self.degrees().any(|d| d.number == number)
    }

    pub(crate) fn set(&mut self, number: u8, alter: i8) {
        self.0 |= Quality::bit(Degree::new(number, alter));
    }

    pub(crate) fn unset(&mut self, number: u8, alter: i8) {
        self.0 &= !Quality::bit(Degree::new(number, alter));
    }

    pub(crate) fn unset_number(&mut self, number: u8) {
        for degree in self.degrees().filter(|d| d.number == number) {
            self.0 &= !Quality::bit(degree);
        }
    }

    /// Degrees of this quality that another lacks.
    pub(crate) fn minus(self, other: Quality) -> Quality {
        Quality(self.0 & !other.0)
    }

    /// The notes as bits: bit n is set when the note n semitones above the root is written.
    pub fn mask(self) -> u16 {
        self.degrees().fold(0, |m, d| m | 1 << d.semitones())
    }

    /// Semitones above the root of the note that plays the third: a third, or else the fourth or
    /// the second that stands for it.
    pub fn third(self) -> Option<u8> {
        self.first(&[(3, 0), (3, -1), (4, 0), (2, 0)])
    }

    /// Semitones above the root of the fifth: perfect if it is there, else flat, else sharp.
    pub fn fifth(self) -> Option<u8> {
        self.first(&[(5, 0), (5, -1), (5, 1)])
    }

    /// Semitones above the root of the seventh, or of the sixth in a sixth chord.
    pub fn seventh(self) -> Option<u8> {
        self.first(&[(7, 0), (7, -1), (7, -2), (6, 0)])
    }

    fn first(self, wanted: &[(u8, i8)]) -> Option<u8> {
        wanted
            .iter()
            .find(|&&(number, alter)| self.has(number, alter))
            .map(|&(number, alter)| Degree::new(number, alter).semitones())
    }

    /// The coarse family, see [`Family`].
    pub fn family(self) -> Family {
        let flat_fifth = self.has(5, -1) && !self.has(5, 0);
        let sharp_fifth = self.has(5, 1) && !self.has(5, 0) && !self.has(5, -1);
        if self.has(3, 0) {
            if self.has(7, -1) {
                Family::Dominant
            } else if sharp_fifth {
                Family::Augmented
            } else {
                Family::Major
            }
        } else if self.has(3, -1) {
            match (flat_fifth, self.has(7, -1), self.has(7, 0)) {
                (true, true, _) => Family::HalfDiminished,
                (true, false, _) => Family::Diminished,
                (false, false, true) => Family::MinorMajor,
                _ => Family::Minor,
            }
        } else if self.has(4, 0) || self.has(2, 0) {
            Family::Suspended
        } else if self.has(7, -1) {
            Family::Dominant
        } else if self.has(7, 0) || self.has(6, 0) {
            Family::Major
        } else {
            Family::Power
        }
    }
}

/// The coarse quality of a chord, as the rules look at it.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Family {
    /// Major third without a minor seventh: triads, sixths, major sevenths.
    Major,
    /// Minor third: triads, sixths, minor sevenths.
    Minor,
    /// Major third (or none) and minor seventh.
    Dominant,
    /// Minor third, flat fifth, minor seventh.
    HalfDiminished,
    /// Minor third and flat fifth: the triad, the diminished seventh, the major seventh above it.
    Diminished,
    /// Major third and sharp fifth without a minor seventh.
    Augmented,
    /// Minor third and major seventh.
    MinorMajor,
    /// A fourth or second in place of the third.
    Suspended,
    /// Neither third nor seventh.
    Power,
}
