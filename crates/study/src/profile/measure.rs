//! What is counted of lines, and the values that it takes.

use linewright_rulebook::RuleId;
use linewright_rulebook::plan::Cadence;
use linewright_theory::{Degree, Member, Pitch};

/// Something that is counted, in the order in which profiles list it. Beats count from 1.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measure {
    /// The degrees on one beat of the bar: [`Value::Degree`] of each note there.
    Degrees {
        /// The beat.
        beat: u8,
    },
    /// What the notes are to their chords: [`Value::Member`] of each note.
    Members,
    /// The root on beat one where the chord is new: [`Value::IsRoot`] of each note there.
    RootWhereNew,
    /// The root on beat one where the chord is held: [`Value::IsRoot`] of each note there.
    RootWhereHeld,
    /// The moves between notes on two beats: [`Value::Interval`] of each.
    Intervals {
        /// The beat of the first note.
        from: u8,
        /// The beat of the second one, in the same bar or a later one.
        to: u8,
    },
    /// How beat one is reached: [`Value::Reached`] of each move there.
    IntoOne,
    /// Whether the line moves up, down or not at all: [`Value::Direction`] of each move.
    Directions,
    /// How bars cadence: [`Value::Cadence`] of each bar.
    Cadences,
    /// Where the line lies: [`Value::Pitch`] of each note.
    Pitches,
    /// The devices of the line: [`Value::Device`] of each that was found.
    Devices,
}

/// A value that a measure takes.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Value {
    /// A degree above the chord's root.
    Degree(Degree),
    /// What a note is to its chord.
    Member(Member),
    /// Whether a note is the root of the line.
    IsRoot(bool),
    /// A move in semitones: above 0 when it goes up.
    Interval(i32),
    /// How a note is reached.
    Reached(Reached),
    /// Which way a move goes.
    Direction(Direction),
    /// How a bar cadences; `None` where it does not.
    Cadence(Option<Cadence>),
    /// A note as it sounds.
    Pitch(Pitch),
    /// A device, by the rule that finds it.
    Device(RuleId),
}

/// Which way a move goes.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Direction {
    /// Up.
    Up,
    /// Down.
    Down,
    /// The same note again.
    Repeat,
}

impl Direction {
    /// The way of a move of so many semitones.
    pub fn of(semitones: i32) -> Self {
        match semitones.signum() {
            1 => Direction::Up,
            0 => Direction::Repeat,
            _ => Direction::Down,
        }
    }
}

/// How a note is reached.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reached {
    /// By a half step up.
    HalfStepFromBelow,
    /// By a half step down.
    HalfStepFromAbove,
    /// By a whole step up.
    WholeStepFromBelow,
    /// By a whole step down.
    WholeStepFromAbove,
    /// By a minor or major third, either way.
    Third,
    /// By a fourth or a fifth, either way.
    FourthOrFifth,
    /// By a tritone, or by more than a fifth, either way.
    Wider,
    /// It is the note before once more.
    Repeat,
}

impl Reached {
    /// How a note is reached that lies so many semitones above the note before.
    pub fn of(semitones: i32) -> Self {
        match (semitones, semitones.abs()) {
            (0, _) => Reached::Repeat,
            (1, _) => Reached::HalfStepFromBelow,
            (-1, _) => Reached::HalfStepFromAbove,
            (2, _) => Reached::WholeStepFromBelow,
            (-2, _) => Reached::WholeStepFromAbove,
            (_, 3 | 4) => Reached::Third,
            (_, 5 | 7) => Reached::FourthOrFifth,
            _ => Reached::Wider,
        }
    }

    /// Whether it is a half step.
    pub fn is_half_step(self) -> bool {
        matches!(
            self,
            Reached::HalfStepFromBelow | Reached::HalfStepFromAbove
        )
    }

    /// Whether it is a whole step.
    pub fn is_whole_step(self) -> bool {
        matches!(
            self,
            Reached::WholeStepFromBelow | Reached::WholeStepFromAbove
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_move_into_a_note_is_of_one_kind() {
        let kinds: Vec<Reached> = (-8..=8).map(Reached::of).collect();
        use Reached::*;
        assert_eq!(
            kinds,
            [
                Wider,
                FourthOrFifth,
                Wider,
                FourthOrFifth,
                Third,
                Third,
                WholeStepFromAbove,
                HalfStepFromAbove,
                Repeat,
                HalfStepFromBelow,
                WholeStepFromBelow,
                Third,
                Third,
                FourthOrFifth,
                Wider,
                FourthOrFifth,
                Wider,
            ]
        );
    }
}
