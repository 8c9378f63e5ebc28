//! A move from one note to the next, over their chords.

use crate::plan::{Beat, Cadence, Clarity, Ground, GroundShape, Plan};
use linewright_theory::{Member, PitchClass};

/// Where a move arrives: all that rules see of it but its notes and chords.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub struct StepPlace {
    /// Whether the note moved to is an arrival.
    pub arrival: bool,
    /// Whether it comes with a new chord.
    pub chord_starts: bool,
    /// Whether the move goes from beat one to the second note of the bar.
    pub to_second: bool,
    /// The cadence that is planned for the bar, where the move arrives on its beat one.
    pub cadence: Option<Cadence>,
    /// Whether, before such a cadence, a bar comes that is planned to be ambiguous.
    pub after_ambiguous: bool,
}

impl StepPlace {
    /// The place of the move into slot `at` (at least 1).
    fn into_slot(plan: &Plan, at: usize) -> Self {
        let (from, slot) = (&plan.slots[at - 1], &plan.slots[at]);
        let cadence = plan.bars[slot.bar].cadence;
        let cadence = cadence.filter(|_| slot.strength == Beat::Down);
        let before = slot.bar.checked_sub(1).map(|before| &plan.bars[before]);
        let ambiguous = before.is_some_and(|bar| bar.clarity == Clarity::Ambiguous);
        Self {
            arrival: slot.is_arrival(),
            chord_starts: slot.chord_starts,
            to_second: from.strength == Beat::Down && slot.position == 1,
            cadence,
            after_ambiguous: cadence.is_some() && ambiguous,
        }
    }
}

/// All that rules see of the moves into a slot but the notes: where it is alike, they find the
/// same. Roots count only by their distance.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub struct StepShape {
    place: StepPlace,
    from: GroundShape,
    ground: GroundShape,
    /// The root moved to above the one that is left.
    root: u8,
}

impl StepShape {
    /// The shape of the moves into slot `at` (at least 1).
    pub fn into_slot(plan: &Plan, at: usize) -> Self {
        let (from, ground) = (&plan.slots[at - 1].ground, &plan.slots[at].ground);
        Self {
            place: StepPlace::into_slot(plan, at),
            from: from.shape(),
            ground: ground.shape(),
            root: ground.root.above(from.root),
        }
    }
}

/// A move from one note to the next, over their chords. Only classes and the interval are seen,
/// not the octave.
pub struct StepWindow<'a> {
    /// The harmony under the note before.
    pub from: &'a Ground,
    /// The harmony under the note moved to.
    pub ground: &'a Ground,
    /// Where the move arrives.
    pub place: StepPlace,
    /// The note before.
    pub from_class: PitchClass,
    /// Semitones moved, up positive.
    pub interval: i32,
}

impl<'a> StepWindow<'a> {
    /// A move by `interval` from a note of class `from_class` into slot `at` (at least 1).
    pub fn into_slot(plan: &'a Plan, at: usize, from_class: PitchClass, interval: i32) -> Self {
        Self {
            from: &plan.slots[at - 1].ground,
            ground: &plan.slots[at].ground,
            place: StepPlace::into_slot(plan, at),
            from_class,
            interval,
        }
    }

    /// The note moved to.
    pub fn class(&self) -> PitchClass {
        self.from_class.up(self.interval)
    }

    /// What the note before is to its own chord.
    pub fn from_member(&self) -> Member {
        self.from.member(self.from_class)
    }

    /// What the note moved to is to its chord.
    pub fn member(&self) -> Member {
        self.ground.member(self.class())
    }

    /// Semitones moved, either way.
    pub fn size(&self) -> i32 {
        self.interval.abs()
    }

    /// Whether the note before already sounds a note of the chord to come.
    pub fn anticipates(&self) -> bool {
        self.place.chord_starts && self.ground.is_chord_tone(self.from_class)
    }
}
