//! One note to come: when it sounds and over what.

use std::sync::Arc;

use linewright_theory::Pitch;

use crate::plan::ground::Ground;

/// How strong a note's place in the bar is.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Beat {
    /// Between the strong beats.
    Weak,
    /// The middle of the bar, or the start of a group of beats.
    Strong,
    /// Beat one.
    Down,
}

/// Which beat of its bar a note is, as far as moves into it differ.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub enum BeatOfBar {
    /// Beat one.
    First,
    /// The second note of a bar, on a weak beat that is not the last.
    Second,
    /// The middle of the bar, or the start of another group of beats.
    Middle,
    /// The last note of a bar, on a weak beat.
    Last,
    /// Any other weak beat.
    Other,
}

/// When a note begins in its bar, and how long it lasts.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Onset {
    /// Beat in the bar, from 0.
    pub beat: u8,
    /// Length in beats.
    pub beats: u8,
}

/// One note to come.
#[derive(Clone, Debug, PartialEq)]
pub struct Slot {
    /// Index of the bar in the timeline.
    pub bar: usize,
    /// Beat in the bar, from 0.
    pub beat: u8,
    /// Length in beats.
    pub beats: u8,
    /// Which note of the bar this is, from 0.
    pub position: u8,
    /// How many notes the bar has.
    pub of: u8,
    /// How strong the place is.
    pub strength: Beat,
    /// The harmony under the note.
    pub ground: Arc<Ground>,
    /// The harmony under the next note, if there is a next note.
    pub next: Option<Arc<Ground>>,
    /// Whether the chord is new here.
    pub chord_starts: bool,
    /// Whether the next note has a new chord.
    pub chord_ends: bool,
    /// Whether the register may leap into this note: the note after a cadence
    /// at which the plan moves the register.
    pub shift: bool,
    /// Tempo in beats a minute.
    pub tempo: u16,
    /// The middle of the register that the note should keep to.
    pub centre: Pitch,
}

impl Slot {
    /// Which beat of its bar the note is.
    pub fn stands(&self) -> BeatOfBar {
        match self.strength {
            Beat::Down => BeatOfBar::First,
            Beat::Strong => BeatOfBar::Middle,
            Beat::Weak if self.is_last() => BeatOfBar::Last,
            Beat::Weak if self.position == 1 => BeatOfBar::Second,
            Beat::Weak => BeatOfBar::Other,
        }
    }

    /// Whether the note is an arrival: beat one, or the start of a new chord.
    pub fn is_arrival(&self) -> bool {
        self.strength == Beat::Down || self.chord_starts
    }

    /// Whether the note is the last of its bar.
    pub fn is_last(&self) -> bool {
        self.position + 1 == self.of
    }

    /// Whether the next note is an arrival.
    pub fn leads(&self) -> bool {
        self.is_last() || self.chord_ends
    }
}
