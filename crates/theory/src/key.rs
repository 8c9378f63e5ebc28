//! Keys and key signatures.

use std::fmt;
use std::str::FromStr;

use linewright_diagnostic::{Diagnostic, clean::quoted};

use crate::name::read_name;
use crate::{Interval, Name, PitchClass, Scale, ScaleKind};

/// Major or minor.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
#[allow(missing_docs)]
pub enum Mode {
    Major,
    Minor,
}

/// A key: tonic and mode. [`Key::new`] and reading from text only make keys whose signature exists
/// (at most seven accidentals).
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Key {
    /// The tonic, spelled.
    pub tonic: Name,
    /// Major or minor.
    pub mode: Mode,
}

impl Key {
    /// The key of a tonic and mode; `None` if its signature would need more than seven accidentals
    /// (G sharp major, F flat minor).
    pub fn new(tonic: Name, mode: Mode) -> Option<Key> {
        let key = Key { tonic, mode };
        (-7..=7).contains(&key.fifths()).then_some(key)
    }

    /// The key with so many sharps (positive) or flats (negative); `None` outside -7 to 7.
    pub fn from_fifths(fifths: i8, mode: Mode) -> Option<Key> {
        if !(-7..=7).contains(&fifths) {
            return None;
        }
        let tonic = Name::from_fifths(i32::from(fifths) + third_down(mode))?;
        Some(Key { tonic, mode })
    }

    /// Sharps (positive) or flats (negative) of the signature: -7 to 7 for every key that
    /// [`Key::new`] allows.
    pub fn fifths(self) -> i8 {
        (self.tonic.fifths() - third_down(self.mode)) as i8
    }

    /// The signature's accidentals in the order they are written: F# C# G# … or Bb Eb Ab ….
    pub fn signature(self) -> Vec<Name> {
        let fifths = i32::from(self.fifths());
        let names: Vec<Name> = if fifths >= 0 {
            (6..6 + fifths).filter_map(Name::from_fifths).collect()
        } else {
            (0..-fifths)
                .filter_map(|n| Name::from_fifths(-2 - n))
                .collect()
        };
        names
    }

    /// The seven notes of the signature from the tonic up, spelled (natural minor for minor keys).
    pub fn names(self) -> Vec<Name> {
        (0..7u8)
            .map(|step| {
                let letter = self.tonic.letter.up(i32::from(step));
                let sharps =
                    (i32::from(self.fifths()) - Name::new(letter, 0).fifths() + 5).div_euclid(7);
                Name::new(letter, sharps as i8)
            })
            .collect()
    }

    /// The key's own scale above the tonic: major, or natural minor (Aeolian).
    pub fn scale(self) -> Scale {
        Scale::new(match self.mode {
            Mode::Major => ScaleKind::Major,
            Mode::Minor => ScaleKind::Aeolian,
        })
    }

    /// Whether a pitch class belongs to the signature.
    pub fn contains(self, class: PitchClass) -> bool {
        self.scale().contains(class.above(self.tonic.class()))
    }

    /// The key an interval away, spelled with the fewer accidentals: C major up an augmented unison
    /// is D flat major. With six either way, the interval's own spelling stays. To carry the chords
    /// of a chart along, use the interval between the two tonics ([`Interval::between_names`]).
    pub fn transposed(self, by: Interval) -> Key {
        let written = self.tonic.transposed(by);
        let fifths = written.fifths() - third_down(self.mode);
        // The spellings of one sound lie twelve apart on the line of fifths.
        let best = (-3..=3)
            .map(|n| fifths + 12 * n)
            .min_by_key(|f| (f.abs(), (f - fifths).abs()))
            .unwrap_or(fifths);
        let tonic = Name::from_fifths(best + third_down(self.mode)).unwrap_or(written);
        Key {
            tonic,
            mode: self.mode,
        }
    }
}

/// How far the tonic lies from the relative major's on the line of fifths.
fn third_down(mode: Mode) -> i32 {
    match mode {
        Mode::Major => 0,
        Mode::Minor => 3,
    }
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mode = match self.mode {
            Mode::Major => "major",
            Mode::Minor => "minor",
        };
        write!(f, "{} {mode}", self.tonic)
    }
}

impl FromStr for Key {
    type Err = Diagnostic;

    /// Reads a tonic and a mode: `Bb`, `Bb major`, `F# maj`, `Cm`, `C min`, `C-`, `C minor`.
    /// No mode means major.
    fn from_str(text: &str) -> Result<Key, Diagnostic> {
        let start = text.len() - text.trim_start().len();
        let body = text.trim();
        let Some((tonic, end)) = read_name(body) else {
            return Err(Diagnostic::error(
                format!("{} is not a key", quoted(text)),
                "write a tonic and major or minor, as in Bb major, F#m or C minor",
            )
            .at(start));
        };
        let word = body[end..].trim();
        let mode = match word {
            "" | "M" | "maj" | "Maj" | "major" | "Major" => Mode::Major,
            "m" | "-" | "−" | "min" | "Min" | "minor" | "Minor" => Mode::Minor,
            _ => {
                return Err(Diagnostic::error(
                    format!("{} is not a mode", quoted(word)),
                    format!("write {tonic} major or {tonic} minor"),
                )
                .at(start + end));
            }
        };
        Key::new(tonic, mode).ok_or_else(|| {
            let key = Key { tonic, mode };
            let other = key.transposed(Interval::UNISON);
            Diagnostic::error(
                format!("{key} has no key signature of seven accidentals or fewer"),
                format!("write {other} instead"),
            )
            .at(start)
        })
    }
}
