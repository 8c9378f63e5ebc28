//! Chords: reading, printing, and what a note is to one.

mod build;
mod member;
mod musicxml;
mod parse;
mod print;
mod quality;
mod scale;

use std::fmt;
use std::str::FromStr;

use linewright_diagnostic::Diagnostic;

pub use member::Member;
pub use musicxml::{DegreeKind, HarmonyDegree, MusicXmlHarmony};
pub use quality::{Family, Quality};

use crate::{Degree, Interval, Name};

/// A chord: a root, a quality, and perhaps another note in the bass.
///
/// Read from a symbol with [`Chord::parse`] or [`str::parse`], printed as its canonical symbol:
/// `C-7` and `Cmin7` both print as `Cm7`, and reading the printed symbol gives the same chord.
/// Two symbols are equal when root, bass and degrees are, however they were written.
///
/// # What is read
///
/// A root (`A` to `G` with `#` or `b`), then
/// - a triad: nothing, `m` (`min`, `mi`, `-`), `dim` (`°`, `o`), `aug` (`+`), `ø`;
/// - `maj` (`ma`, `M`, `Δ`) for the major seventh, alone or after `m`, `dim`, `aug`;
/// - a number: `5`, `6`, `6/9`, `7`, `9`, `11`, `13`;
/// - `sus4`, `sus2`, `sus` (the fourth), `sus24`; `sus7`, `sus9` and `sus13` are `7sus4` and so on;
/// - alterations `b5 #5 b9 #9 #11 b13 b6` (`-5`, `+5`, `♭5` and so on), `alt`, `add…`, `no…`,
///   `omit…`, bare or in round brackets with commas;
/// - `/` and a bass note.
///
/// `M` and `m` differ. A bare `o` or `°` is the triad, `o7` the seventh chord. At most 64
/// characters. Chords stacked on chords are refused.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Chord {
    /// The root, spelled.
    pub root: Name,
    /// The bass note of a slash chord.
    pub bass: Option<Name>,
    quality: Quality,
}

impl Chord {
    /// Reads a chord symbol.
    ///
    /// # Errors
    /// When the text is not a chord symbol: with the place, the reason and what to write.
    ///
    /// ```
    /// use linewright_theory::Chord;
    /// let chord = Chord::parse("B♭−7")?;
    /// assert_eq!(chord.to_string(), "Bbm7");
    /// assert_eq!(Chord::parse("C7b12").unwrap_err().place().byte(), 2);
    /// # Ok::<(), linewright_diagnostic::Diagnostic>(())
    /// ```
    pub fn parse(text: &str) -> Result<Chord, Diagnostic> {
        parse::parse(text)
    }

    /// The written tones with all extensions, ascending by number.
    pub fn tones(&self) -> Vec<Degree> {
        self.quality.degrees().collect()
    }

    /// The note that the line treats as its root: the bass note of a slash chord, else the root.
    pub fn line_root(&self) -> Name {
        self.bass.unwrap_or(self.root)
    }

    /// Semitones above the root of the note that plays the third: the third, or the fourth or
    /// second of a suspended chord. `None` when there is neither.
    pub fn third(&self) -> Option<u8> {
        self.quality.third()
    }

    /// Semitones above the root of the fifth: the perfect one if it is there, else the flat, else
    /// the sharp one. `None` when the symbol leaves it out.
    pub fn fifth(&self) -> Option<u8> {
        self.quality.fifth()
    }

    /// Semitones above the root of the seventh, or of the sixth in a sixth chord.
    pub fn seventh(&self) -> Option<u8> {
        self.quality.seventh()
    }

    /// What a degree means over this chord: a number without an accidental is the chord's own tone
    /// of that number (or an octave from it), where it has just one. So `3` over a minor chord is
    /// `b3`, and `7` over a dominant `b7`; any other degree is what it says.
    ///
    /// ```
    /// use linewright_theory::{Chord, Degree};
    /// let own = |chord: &str, number| Chord::parse(chord).unwrap().own(Degree::new(number, 0));
    /// assert_eq!(own("Am7", 3), Degree::new(3, -1));
    /// assert_eq!(own("Am7", 6), Degree::new(6, 0));
    /// ```
    pub fn own(&self, degree: Degree) -> Degree {
        let tones = self.quality.degrees();
        let mut same = tones.filter(|tone| tone.steps() == degree.steps());
        match (degree.alter, same.next(), same.next()) {
            (0, Some(tone), None) => Degree::new(degree.number, tone.alter),
            _ => degree,
        }
    }

    /// The coarse family.
    pub fn family(&self) -> Family {
        self.quality.family()
    }

    /// The chord without root and bass: equal exactly when the degrees are the same.
    pub fn quality_key(&self) -> Quality {
        self.quality
    }

    /// The chord an interval away, root and bass spelled by the interval and respelled beyond
    /// double accidentals.
    pub fn transposed(&self, by: Interval) -> Chord {
        Chord {
            root: self.root.transposed(by),
            bass: self.bass.map(|bass| bass.transposed(by)),
            quality: self.quality,
        }
    }

    /// The symbol after the root, without bass: `m7b5`.
    pub fn suffix(&self) -> String {
        print::symbol(self.quality)
    }
}

impl fmt::Display for Chord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.root, self.suffix())?;
        match self.bass {
            Some(bass) => write!(f, "/{bass}"),
            None => Ok(()),
        }
    }
}

impl FromStr for Chord {
    type Err = Diagnostic;

    fn from_str(text: &str) -> Result<Chord, Diagnostic> {
        Chord::parse(text)
    }
}
