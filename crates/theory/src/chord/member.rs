//! What a note is to a chord: its degree and its standing.

use super::{Chord, Family};
use crate::{Degree, Scale};

/// What a note is to a chord, strongest first, so that a smaller value is a stronger note.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Member {
    /// The root.
    Root,
    /// The third, or the fourth or second that stands for it in a suspended chord.
    Third,
    /// The fifth, altered or not.
    Fifth,
    /// The seventh, the sixth of a sixth chord, the diminished seventh.
    Seventh,
    /// A ninth, eleventh or thirteenth that the chord writes or that is available on it.
    Colour,
    /// Another note of the chord's scale.
    Scale,
    /// A note outside the scale.
    Outside,
}

impl Chord {
    /// The degree that names the note so many semitones above the root (taken modulo 12): the
    /// written degree where the chord has one, else by quality (common practice, no source).
    ///
    /// | semitones | degree |
    /// | --- | --- |
    /// | 1, 2 | b9, 9 |
    /// | 3 | #9 on dominants, b3 elsewhere |
    /// | 4, 5 | 3, 11 |
    /// | 6 | b5 on diminished and half-diminished chords, #11 elsewhere |
    /// | 7 | 5 |
    /// | 8 | #5 on augmented chords, b13 on dominants, suspended and half-diminished ones, b6 elsewhere |
    /// | 9 | bb7 on diminished chords, 13 with a seventh, 6 without |
    /// | 10, 11 | b7, 7 |
    pub fn degree(&self, semitones_above_root: u8) -> Degree {
        let offset = semitones_above_root % 12;
        if let Some(degree) = self.quality.degrees().find(|d| d.semitones() == offset) {
            return degree;
        }
        let family = self.family();
        let seventh = self.quality.has_number(7);
        let (number, alter) = match offset {
            0 => (1, 0),
            1 => (9, -1),
            2 => (9, 0),
            3 if family == Family::Dominant => (9, 1),
            3 => (3, -1),
            4 => (3, 0),
            5 => (11, 0),
            6 if matches!(family, Family::Diminished | Family::HalfDiminished) => (5, -1),
            6 => (11, 1),
            7 => (5, 0),
            8 => match family {
                Family::Augmented => (5, 1),
                Family::Dominant | Family::HalfDiminished => (13, -1),
                Family::Suspended if seventh => (13, -1),
                _ => (6, -1),
            },
            9 if family == Family::Diminished => (7, -2),
            9 if seventh => (13, 0),
            9 => (6, 0),
            10 => (7, -1),
            _ => (7, 0),
        };
        Degree::new(number, alter)
    }

    /// What the note so many semitones above the root (taken modulo 12) is to this chord, given the
    /// chord's scale.
    ///
    /// A ninth, eleventh or sixth of the scale is available as a colour when no tone of the basic
    /// chord lies a half step below it; on dominants so are the altered ninths, the sharp eleventh
    /// and the flat thirteenth (common practice, no source). The bass note of a slash chord is at
    /// least a colour.
    pub fn member(&self, semitones_above_root: u8, scale: &Scale) -> Member {
        let offset = semitones_above_root % 12;
        let q = self.quality;
        if offset == 0 {
            return Member::Root;
        }
        if let Some(degree) = q.degrees().find(|d| d.semitones() == offset) {
            return match degree.number {
                2 | 3 => Member::Third,
                4 if !q.has_number(3) => Member::Third,
                5 => Member::Fifth,
                7 => Member::Seventh,
                6 if degree.alter == 0 => Member::Seventh,
                _ => Member::Colour,
            };
        }
        let is_bass = self
            .bass
            .is_some_and(|bass| bass.class().above(self.root.class()) == offset);
        if is_bass {
            return Member::Colour;
        }
        if !scale.contains(offset) {
            return Member::Outside;
        }
        let basic = [Some(0), self.third(), self.fifth(), self.seventh()];
        let rubs = basic.contains(&Some(offset - 1));
        let available = match offset {
            2 | 5 | 6 | 9 => !rubs,
            1 | 3 | 8 => self.family() == Family::Dominant,
            _ => false,
        };
        // On a diminished chord every note of its scale a whole step above a tone is available.
        let diminished = self.family() == Family::Diminished && matches!(offset, 2 | 5 | 8);
        let half_diminished = self.family() == Family::HalfDiminished && offset == 8;
        if available || diminished || half_diminished {
            Member::Colour
        } else {
            Member::Scale
        }
    }
}
