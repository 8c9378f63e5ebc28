//! Spelled pitch classes: a letter and an accidental.

use std::fmt;
use std::str::FromStr;

use linewright_diagnostic::{Diagnostic, clean::quoted};

use crate::{Interval, Letter, PitchClass};

/// A spelled pitch class, such as B flat. B flat and A sharp sound alike and are not equal.
///
/// `alter` is the accidental in semitones, -2 (double flat) to 2 (double sharp). Everything this
/// crate makes keeps to that; a value built by hand outside it prints, but cannot be read back.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Name {
    /// The letter.
    pub letter: Letter,
    /// Semitones up (sharps) or down (flats), -2 to 2.
    pub alter: i8,
}

/// Letters in the order of the line of fifths, F first.
const FIFTHS: [Letter; 7] = [
    Letter::F,
    Letter::C,
    Letter::G,
    Letter::D,
    Letter::A,
    Letter::E,
    Letter::B,
];

impl Name {
    /// A letter with an accidental of -2 to 2 semitones.
    pub const fn new(letter: Letter, alter: i8) -> Name {
        Name { letter, alter }
    }

    /// The pitch class it sounds.
    pub fn class(self) -> PitchClass {
        PitchClass::of(i32::from(self.letter.semitones()) + i32::from(self.alter))
    }

    /// Place on the line of fifths: C is 0, G 1, F -1, B flat -2, F sharp 6.
    pub fn fifths(self) -> i32 {
        let place = FIFTHS.iter().position(|&l| l == self.letter).unwrap_or(0);
        place as i32 - 1 + 7 * i32::from(self.alter)
    }

    /// The name at a place of the line of fifths; `None` beyond double accidentals
    /// (outside -15 to 19).
    pub fn from_fifths(fifths: i32) -> Option<Name> {
        if !(-15..=19).contains(&fifths) {
            return None;
        }
        let place = fifths + 1;
        Some(Name {
            letter: FIFTHS[place.rem_euclid(7) as usize],
            alter: place.div_euclid(7) as i8,
        })
    }

    /// The name an interval away, spelled by the interval's letters. If that would need more than
    /// a double accidental, the nearest letter that needs at most one.
    ///
    /// ```
    /// use linewright_theory::{Interval, Name};
    /// let e_flat: Name = "Eb".parse()?;
    /// let third: Interval = "M3".parse()?;
    /// assert_eq!(e_flat.transposed(third).to_string(), "G");
    /// # Ok::<(), linewright_diagnostic::Diagnostic>(())
    /// ```
    pub fn transposed(self, by: Interval) -> Name {
        self.stepped(by.steps(), by.semitones())
    }

    /// So many letters and so many semitones away, respelled beyond double accidentals.
    pub(crate) fn stepped(self, steps: i32, semitones: i32) -> Name {
        let letter = self.letter.up(steps);
        let class = self.class().up(semitones);
        let name = Name::with_letter(class, letter);
        if name.alter.abs() > 2 {
            name.simple()
        } else {
            name
        }
    }

    /// The class spelled on a given letter with the smallest accidental, -6 to 5 semitones.
    pub(crate) fn with_letter(class: PitchClass, letter: Letter) -> Name {
        let up = (i32::from(class.get()) - i32::from(letter.semitones()) + 6).rem_euclid(12) - 6;
        Name {
            letter,
            alter: up as i8,
        }
    }

    /// The same sound with at most one accidental: a name with more moves to the next letter in
    /// the direction of its accidental until one is enough. F double sharp becomes G, B double
    /// flat becomes A, C double flat becomes B flat. Names with one accidental stay.
    pub fn simple(self) -> Name {
        let mut name = self;
        while name.alter.abs() > 1 {
            let letter = name.letter.up(i32::from(name.alter.signum()));
            name = Name::with_letter(name.class(), letter);
        }
        name
    }
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.letter)?;
        let sign = if self.alter < 0 { "b" } else { "#" };
        for _ in 0..self.alter.unsigned_abs() {
            f.write_str(sign)?;
        }
        Ok(())
    }
}

/// Reads a name at the start of a text; the name and the bytes it took. `None` if the text does not
/// begin with a letter A to G. Reads at most a double accidental.
pub(crate) fn read_name(text: &str) -> Option<(Name, usize)> {
    let mut chars = text.char_indices().peekable();
    let (_, first) = chars.next()?;
    let letter = Letter::from_char(first)?;
    let mut alter: i8 = 0;
    let mut end = first.len_utf8();
    for (at, c) in chars {
        let step = match c {
            '#' | '♯' => 1,
            'b' | '♭' => -1,
            '𝄪' => 2,
            '𝄫' => -2,
            _ => break,
        };
        let next: i8 = alter + step;
        if next.abs() > 2 || next.abs() < alter.abs() {
            break;
        }
        alter = next;
        end = at + c.len_utf8();
    }
    Some((Name { letter, alter }, end))
}

impl FromStr for Name {
    type Err = Diagnostic;

    /// Reads a capital letter A to G and up to two accidentals: `#`, `b`, `♯`, `♭`, `𝄪`, `𝄫`.
    fn from_str(text: &str) -> Result<Name, Diagnostic> {
        match read_name(text) {
            None => Err(Diagnostic::error(
                format!("{} is not a note name", quoted(text)),
                "begin with a capital letter from A to G, as in Bb or F#",
            )),
            Some((name, end)) if end == text.len() => Ok(name),
            Some((name, end)) => Err(Diagnostic::error(
                format!("{} follows the note name {name}", quoted(&text[end..])),
                "write a letter and at most two flats or two sharps, as in Bb, F# or Ebb",
            )
            .at(end)),
        }
    }
}
