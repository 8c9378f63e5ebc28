//! Spelled pitches: a name in an octave.

use std::fmt;
use std::str::FromStr;

use linewright_diagnostic::{Diagnostic, clean::quoted};

use crate::name::read_name;
use crate::{Interval, Letter, Name, Pitch};

/// A spelled pitch in scientific notation: C4 is middle C, MIDI 60, and the open E string of a bass
/// sounds E1, MIDI 28. The octave belongs to the letter: B#3 sounds like C4, Cb4 like B3.
///
/// Ordered by name, then octave; compare [`Note::pitch`] for height.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Note {
    /// Letter and accidental.
    pub name: Name,
    /// Scientific octave number of the letter.
    pub octave: i8,
}

impl Note {
    /// A name in an octave.
    pub const fn new(name: Name, octave: i8) -> Note {
        Note { name, octave }
    }

    /// The MIDI number it would have, unbounded.
    fn midi(self) -> i32 {
        12 * (i32::from(self.octave) + 1)
            + i32::from(self.name.letter.semitones())
            + i32::from(self.name.alter)
    }

    /// Letters above C0.
    pub(crate) fn steps(self) -> i32 {
        7 * i32::from(self.octave) + i32::from(self.name.letter.index())
    }

    /// What it sounds; `None` outside MIDI 0 to 127.
    pub fn pitch(self) -> Option<Pitch> {
        u8::try_from(self.midi()).ok().and_then(Pitch::new)
    }

    /// The pitch written on a given letter, with the nearest octave of that letter: MIDI 60 on B is
    /// B#3, MIDI 59 on C is Cb4. A letter far from the pitch gives an accidental beyond double
    /// (-6 to 5 semitones), which nobody writes.
    pub fn spelled(pitch: Pitch, letter: Letter) -> Note {
        let name = Name::with_letter(pitch.class(), letter);
        let natural = i32::from(pitch.midi()) - i32::from(name.alter);
        Note {
            name,
            octave: (natural.div_euclid(12) - 1) as i8,
        }
    }

    /// The note an interval away; respelled like [`Name::transposed`]. Octaves beyond an `i8` stop
    /// at its ends.
    pub fn transposed(self, by: Interval) -> Note {
        let midi = self.midi() + by.semitones();
        let name = self.name.transposed(by);
        let natural = midi - i32::from(name.alter);
        let octave = natural.div_euclid(12) - 1;
        Note {
            name,
            octave: octave.clamp(i32::from(i8::MIN), i32::from(i8::MAX)) as i8,
        }
    }

    /// Semitones from this note up to another (negative when it lies lower).
    pub fn semitones_to(self, other: Note) -> i32 {
        other.midi() - self.midi()
    }
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.name, self.octave)
    }
}

impl FromStr for Note {
    type Err = Diagnostic;

    /// Reads a name and an octave number from -1 to 9, as in `Bb1`.
    fn from_str(text: &str) -> Result<Note, Diagnostic> {
        let Some((name, end)) = read_name(text) else {
            return Err(Diagnostic::error(
                format!("{} is not a note", quoted(text)),
                "begin with a capital letter from A to G, as in Bb1 or F#2",
            ));
        };
        let octave = match &text[end..] {
            "-1" => Some(-1),
            digits => match digits.as_bytes() {
                [d @ b'0'..=b'9'] => Some((d - b'0') as i8),
                _ => None,
            },
        };
        match octave {
            Some(octave) => Ok(Note { name, octave }),
            None => Err(Diagnostic::error(
                format!("{} has no octave number after {name}", quoted(text)),
                format!("write an octave from -1 to 9, as in {name}2; C4 is middle C"),
            )
            .at(end)),
        }
    }
}
