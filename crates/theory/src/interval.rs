//! Intervals: letters and semitones.

use std::fmt;
use std::str::FromStr;

use linewright_diagnostic::{Diagnostic, clean::quoted};

use crate::{Name, Note};

/// A spelled interval: how many letters and how many semitones, both signed (up is positive).
///
/// The textbook name comes from the two together: two letters and three semitones are a minor
/// third, `m3`; three letters and six semitones an augmented fourth, `A4`. Descending intervals
/// print with a minus: `-P5`.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Interval {
    steps: i16,
    semitones: i16,
}

/// Semitones of the major or perfect interval on each letter step.
const NATURAL: [i32; 7] = [0, 2, 4, 5, 7, 9, 11];
/// The widest interval handled, in letters.
const WIDEST: i32 = 77;
/// How far an interval may be augmented or diminished, in semitones from major or perfect.
const FURTHEST: i32 = 6;

fn is_perfect(steps: i32) -> bool {
    matches!(steps % 7, 0 | 3 | 4)
}

fn natural(steps: i32) -> i32 {
    12 * (steps / 7) + NATURAL[(steps % 7) as usize]
}

impl Interval {
    /// The unison.
    pub const UNISON: Interval = Interval {
        steps: 0,
        semitones: 0,
    };

    /// An interval of so many letters and semitones, both signed. `None` when it is wider than
    /// eleven octaves or more than six semitones away from the major or perfect size.
    pub fn new(steps: i32, semitones: i32) -> Option<Interval> {
        let sign = if steps < 0 { -1 } else { 1 };
        if !(-WIDEST..=WIDEST).contains(&steps) || !(-150..=150).contains(&semitones) {
            return None;
        }
        let off = sign * semitones - natural(sign * steps);
        (off.abs() <= FURTHEST).then_some(Interval {
            steps: steps as i16,
            semitones: semitones as i16,
        })
    }

    /// Letters moved: a third is 2, a descending fifth -4.
    pub const fn steps(self) -> i32 {
        self.steps as i32
    }

    /// Semitones moved, signed.
    pub const fn semitones(self) -> i32 {
        self.semitones as i32
    }

    /// From one note to another. `None` only for accidentals that nobody writes, or beyond eleven
    /// octaves.
    pub fn between(from: Note, to: Note) -> Option<Interval> {
        Interval::new(to.steps() - from.steps(), from.semitones_to(to))
    }

    /// From one name up to the next place where the other's letter stands: unison to seventh.
    /// `None` only for accidentals beyond double.
    pub fn between_names(from: Name, to: Name) -> Option<Interval> {
        let steps = i32::from(to.letter.above(from.letter));
        let letters = i32::from(to.letter.semitones()) - i32::from(from.letter.semitones());
        let semitones = letters.rem_euclid(12) + i32::from(to.alter) - i32::from(from.alter);
        Interval::new(steps, semitones)
    }

    /// The same distance the other way.
    pub fn reversed(self) -> Interval {
        Interval {
            steps: -self.steps,
            semitones: -self.semitones,
        }
    }

    /// The inversion of the simple interval: a major third becomes a minor sixth, a fifth a fourth,
    /// a unison an octave and an octave a unison. Compound intervals are reduced first; direction
    /// is kept.
    pub fn inverted(self) -> Interval {
        let sign: i16 = if self.is_descending() { -1 } else { 1 };
        let (mut steps, mut semitones) = (sign * self.steps, sign * self.semitones);
        while steps > 7 {
            steps -= 7;
            semitones -= 12;
        }
        Interval {
            steps: sign * (7 - steps),
            semitones: sign * (12 - semitones),
        }
    }

    fn is_descending(self) -> bool {
        self.steps < 0 || (self.steps == 0 && self.semitones < 0)
    }
}

impl fmt::Display for Interval {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.is_descending() { -1 } else { 1 };
        if sign < 0 {
            f.write_str("-")?;
        }
        let steps = sign * self.steps();
        let off = sign * self.semitones() - natural(steps);
        let (letter, count) = match (off, is_perfect(steps)) {
            (0, true) => ("P", 1),
            (0, false) => ("M", 1),
            (-1, false) => ("m", 1),
            (off, _) if off > 0 => ("A", off),
            (off, true) => ("d", -off),
            (off, false) => ("d", -off - 1),
        };
        for _ in 0..count {
            f.write_str(letter)?;
        }
        write!(f, "{}", steps + 1)
    }
}

impl FromStr for Interval {
    type Err = Diagnostic;

    /// Reads `P5`, `m3`, `M9`, `A4`, `d5`, `AA1`, and a minus before it for down.
    fn from_str(text: &str) -> Result<Interval, Diagnostic> {
        let wrong = || {
            Diagnostic::error(
                format!("{} is not an interval", quoted(text)),
                "write its quality (P, M, m, A or d) and number, as in P5, m3 or -M2",
            )
        };
        let (down, body) = match text.strip_prefix('-') {
            Some(rest) => (true, rest),
            None => (false, text),
        };
        let digits = body.find(|c: char| c.is_ascii_digit()).ok_or_else(wrong)?;
        let (quality, number) = body.split_at(digits);
        if number.len() > 2 || !number.bytes().all(|b| b.is_ascii_digit()) {
            return Err(wrong());
        }
        let steps = number.parse::<i32>().map_err(|_| wrong())? - 1;
        if steps < 0 {
            return Err(wrong());
        }
        let many = |c: char| quality.chars().all(|q| q == c).then_some(quality.len());
        let perfect = is_perfect(steps);
        let off = match quality {
            "" => return Err(wrong()),
            "P" if perfect => 0,
            "M" if !perfect => 0,
            "m" if !perfect => -1,
            _ => match (many('A'), many('d')) {
                (Some(n), _) if n <= 6 => n as i32,
                (_, Some(n)) if n <= 6 => -(n as i32) - i32::from(!perfect),
                _ => return Err(wrong()),
            },
        };
        let found = Interval::new(steps, natural(steps) + off).ok_or_else(wrong)?;
        Ok(if down { found.reversed() } else { found })
    }
}
