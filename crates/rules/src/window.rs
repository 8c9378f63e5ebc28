//! The windows that rules look through. A rule sees nothing else.

use linewright_plan::{BarPlan, Beat, Cadence, Plan, Slot};
use linewright_style::Style;
use linewright_theory::{Member, Pitch, PitchClass};

use crate::facts::BarFacts;
use crate::symbol::CellSymbol;

/// One note over its chord.
pub struct NoteWindow<'a> {
    /// The style's limits and range.
    pub style: &'a Style,
    /// The plan of the bar.
    pub bar: &'a BarPlan,
    /// When the note sounds and over what.
    pub slot: &'a Slot,
    /// The note.
    pub pitch: Pitch,
}

impl NoteWindow<'_> {
    /// What the note is to its chord.
    pub fn member(&self) -> Member {
        self.slot.ground.member(self.pitch.class())
    }
}

/// A move from one note to the next. Only classes and the interval are seen,
/// not the octave.
pub struct StepWindow<'a> {
    /// The style's limits.
    pub style: &'a Style,
    /// The plan of the bar that the move arrives in.
    pub bar: &'a BarPlan,
    /// The plan of the bar before that one, if there is one.
    pub bar_before: Option<&'a BarPlan>,
    /// The slot of the note before.
    pub from: &'a Slot,
    /// The slot of the note moved to.
    pub slot: &'a Slot,
    /// The note before.
    pub from_class: PitchClass,
    /// Semitones moved, up positive.
    pub interval: i32,
}

impl<'a> StepWindow<'a> {
    /// A move by `interval` from a note of class `from_class` into slot `at` (at least 1).
    pub fn into_slot(
        style: &'a Style,
        plan: &'a Plan,
        at: usize,
        from_class: PitchClass,
        interval: i32,
    ) -> Self {
        let slot = &plan.slots[at];
        Self {
            style,
            bar: &plan.bars[slot.bar],
            bar_before: slot.bar.checked_sub(1).map(|before| &plan.bars[before]),
            from: &plan.slots[at - 1],
            slot,
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
        self.from.ground.member(self.from_class)
    }

    /// What the note moved to is to its chord.
    pub fn member(&self) -> Member {
        self.slot.ground.member(self.class())
    }

    /// Semitones moved, either way.
    pub fn size(&self) -> i32 {
        self.interval.abs()
    }

    /// Whether the note before already sounds a note of the chord to come.
    pub fn anticipates(&self) -> bool {
        self.slot.chord_starts && self.slot.ground.is_chord_tone(self.from_class)
    }
}

/// Where two moves in a row come to rest.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub struct ShapePlace {
    /// How strong the last note's place is.
    pub strength: Beat,
    /// Whether the last note is an arrival.
    pub arrival: bool,
    /// Whether the register may leap into the last note.
    pub shift: bool,
    /// Whether the register may leap into the middle note.
    pub middle_shift: bool,
}

impl ShapePlace {
    /// The place of the notes in two neighbouring slots.
    pub fn of(middle: &Slot, slot: &Slot) -> Self {
        Self {
            strength: slot.strength,
            arrival: slot.is_arrival(),
            shift: slot.shift,
            middle_shift: middle.shift,
        }
    }
}

/// Two moves in a row. Only intervals and chord tones are seen.
pub struct ShapeWindow {
    /// Semitones of the first move, up positive.
    pub first: i32,
    /// Semitones of the second move, up positive.
    pub second: i32,
    /// Whether the middle note is a tone of its chord.
    pub middle_is_chord_tone: bool,
    /// Whether the last note is a tone of its chord.
    pub last_is_chord_tone: bool,
    /// Where the last note falls.
    pub place: ShapePlace,
}

impl ShapeWindow {
    /// Whether both moves go the same way, neither standing still.
    pub fn same_way(&self) -> bool {
        self.first.signum() * self.second.signum() > 0
    }

    /// Whether the second move turns back.
    pub fn turns(&self) -> bool {
        self.first.signum() * self.second.signum() < 0
    }
}

/// The cell of a whole bar (of the first three or four notes of a longer one,
/// then of the rest).
#[derive(Copy, Clone)]
pub struct CellWindow<'a> {
    /// The cadence that is planned for the bar.
    pub cadence: Option<Cadence>,
    /// The slots of the notes.
    pub slots: &'a [Slot],
    /// One symbol for each note.
    pub cell: &'a [CellSymbol],
    /// What each note is to its chord.
    pub members: &'a [Member],
}

impl CellWindow<'_> {
    /// Whether any note is this to its chord.
    pub fn has(&self, member: Member) -> bool {
        self.members.contains(&member)
    }

    /// Whether the window begins with the bar's first note.
    pub fn begins_bar(&self) -> bool {
        self.slots[0].position == 0
    }

    /// Whether the window holds the bar's last note.
    pub fn ends_bar(&self) -> bool {
        self.slots[self.slots.len() - 1].is_last()
    }

    /// The cell, where this is a whole bar of four notes over one chord.
    pub fn cell_of_four(&self) -> Option<[CellSymbol; 4]> {
        let cell = self.cell.try_into().ok()?;
        let one_chord = self.slots[1..].iter().all(|slot| !slot.chord_starts);
        (self.slots[0].of == 4 && one_chord).then_some(cell)
    }
}

/// A cell, and what is computed of it.
pub struct BarWindow<'a> {
    /// The plan of the bar.
    pub bar: &'a BarPlan,
    /// The cell.
    pub cell: CellWindow<'a>,
    /// What has been computed of it.
    pub facts: BarFacts,
}

/// A bar that begins with the degrees of the bar before it.
pub struct EchoWindow<'a> {
    /// The first slot of the bar before.
    pub before: &'a Slot,
    /// The first slot of this bar.
    pub slot: &'a Slot,
}
