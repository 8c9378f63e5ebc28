//! Chord degrees: what a note is above a root.

use std::fmt;
use std::str::FromStr;

use linewright_diagnostic::{Diagnostic, clean::quoted};

use crate::Name;

/// A degree above a root, counted on the major scale: `7` is the major seventh and `b7` the seventh
/// of a dominant. Ordered by number, then accidental.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Degree {
    /// 1 to 13.
    pub number: u8,
    /// Semitones up or down from the major scale's note, -2 to 2.
    pub alter: i8,
}

impl Degree {
    /// A degree from its number (1 to 13) and accidental (-2 to 2).
    pub const fn new(number: u8, alter: i8) -> Degree {
        Degree { number, alter }
    }

    /// Letters above the root, within the octave: 0 to 6. The thirteenth is 5, like the sixth.
    pub const fn steps(self) -> u8 {
        (self.number + 6) % 7
    }

    /// Semitones above the root, within the octave: 0 to 11.
    pub const fn semitones(self) -> u8 {
        let natural = [0, 2, 4, 5, 7, 9, 11][self.steps() as usize];
        (natural + self.alter as i32).rem_euclid(12) as u8
    }

    /// The name of this degree above a root, by letter arithmetic: the b7 of F is Eb, the bb7 of C
    /// is Bbb. Respelled only beyond double accidentals.
    pub fn above(self, root: Name) -> Name {
        root.stepped(i32::from(self.steps()), i32::from(self.semitones()))
    }
}

impl fmt::Display for Degree {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.alter < 0 { "b" } else { "#" };
        for _ in 0..self.alter.unsigned_abs() {
            f.write_str(sign)?;
        }
        write!(f, "{}", self.number)
    }
}

impl FromStr for Degree {
    type Err = Diagnostic;

    /// Reads up to two accidentals and a number from 1 to 13: `1`, `b3`, `#11`, `bb7`, `♭9`.
    fn from_str(text: &str) -> Result<Degree, Diagnostic> {
        let wrong = || {
            Diagnostic::error(
                format!("{} is not a chord degree", quoted(text)),
                "write accidentals and a number from 1 to 13, as in b7 or #11",
            )
        };
        let split = text.find(|c: char| c.is_ascii_digit()).ok_or_else(wrong)?;
        let (accidentals, number) = text.split_at(split);
        let alter = match accidentals {
            "" => 0,
            "b" | "♭" => -1,
            "#" | "♯" => 1,
            "bb" | "♭♭" | "𝄫" => -2,
            "##" | "♯♯" | "𝄪" => 2,
            _ => return Err(wrong()),
        };
        if number.len() > 2 || number.starts_with('0') {
            return Err(wrong());
        }
        match number.parse() {
            Ok(number @ 1..=13) => Ok(Degree { number, alter }),
            _ => Err(wrong()),
        }
    }
}
