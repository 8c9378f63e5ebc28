//! What each of the twelve notes is to a chord.
//!
//! Theory says which degrees a chord writes, what they are called and which scale goes with it
//! (outside readers check that); what a note is to the chord is worked out here once more.

use linewright_rulebook::plan::Ground;
use linewright_theory::{Chord, Degree, Family, Member, Pitch, PitchClass, Scale};

/// What each pitch class is to a chord, and the number of its degree, 1 to 7.
#[derive(Copy, Clone)]
pub(super) struct Standing {
    members: [Member; 12],
    numbers: [u8; 12],
}

impl Standing {
    /// Looks at all twelve over the harmony of a slot: its chord and scale.
    pub fn over(ground: &Ground) -> Self {
        let chord = &ground.chord;
        let (root, written) = (chord.root.class(), chord.tones());
        let low = chord.bass.unwrap_or(chord.root).class();
        let above = |class: u8| PitchClass::new(class).above(root);
        Self {
            members: std::array::from_fn(|class| {
                if PitchClass::new(class as u8) == low {
                    Member::Root
                } else {
                    member(chord, &written, &ground.scale, above(class as u8))
                }
            }),
            numbers: std::array::from_fn(|class| {
                let number = chord.degree(above(class as u8)).number;
                if number > 7 { number - 7 } else { number }
            }),
        }
    }

    /// What a note is to the chord.
    pub fn member(&self, note: Pitch) -> Member {
        self.members[usize::from(note.class().get())]
    }

    /// The sign of a pitch class in a cell: 1 to 7, and 0 for a chromatic note.
    pub fn sign(&self, class: u8) -> u8 {
        match self.members[usize::from(class)] {
            Member::Root => 1,
            Member::Third => 3,
            Member::Fifth => 5,
            Member::Outside => 0,
            Member::Seventh | Member::Colour | Member::Scale => self.numbers[usize::from(class)],
        }
    }

    /// What the notes with a sign are to the chord, each with its pitch class.
    pub fn with_sign(&self, sign: u8) -> impl Iterator<Item = (u8, Member)> {
        (0..12)
            .filter(move |class| self.sign(*class) == sign)
            .map(|class| (class, self.members[usize::from(class)]))
    }
}

/// What a note so many semitones above the chord's own root is to it, where another note is the
/// bass or it is not the root.
fn member(chord: &Chord, written: &[Degree], scale: &Scale, offset: u8) -> Member {
    // Over another bass the chord's own root is one more chord tone.
    if offset == 0 {
        return Member::Fifth;
    }
    let basic = |degree: &Degree| match degree.number {
        3 => Some(Member::Third),
        // In a suspended chord the fourth or the second stands for the third.
        2 | 4 if written.iter().all(|other| other.number != 3) => Some(Member::Third),
        5 => Some(Member::Fifth),
        7 => Some(Member::Seventh),
        6 if degree.alter == 0 => Some(Member::Seventh),
        _ => None,
    };
    if let Some(degree) = written.iter().find(|degree| degree.semitones() == offset) {
        return basic(degree).unwrap_or(Member::Colour);
    }
    if !scale.contains(offset) {
        return Member::Outside;
    }
    // A note of the scale is a colour where it rubs against no chord tone a half step below, or
    // where the chord is one that takes it (common practice, no source).
    let rubs = offset == 1
        || written
            .iter()
            .any(|degree| basic(degree).is_some() && degree.semitones() + 1 == offset);
    let takes: &[u8] = match chord.family() {
        Family::Dominant => &[1, 3, 8],
        Family::Diminished => &[2, 5, 8],
        Family::HalfDiminished => &[8],
        _ => &[],
    };
    if takes.contains(&offset) || ([2, 5, 6, 9].contains(&offset) && !rubs) {
        Member::Colour
    } else {
        Member::Scale
    }
}
