//! What a rule is.

use std::fmt;

use crate::window::{
    BarWindow, CellWindow, EchoWindow, IntervalWindow, NoteWindow, OrderWindow, ShapeWindow,
    StepWindow,
};

/// How strongly a rule finds what it looks for, in thousandths: 0 for not at
/// all, 1000 for one full finding. Rules that measure a distance may go above.
pub type Strength = i32;

/// A full finding.
pub const FULL: Strength = 1000;

/// A rule's place in the registry; stable within one version only. Files and
/// output use the rule's name.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RuleId(pub(crate) u8);

impl RuleId {
    /// The rule's place in the registry, from 0.
    pub fn number(self) -> u8 {
        self.0
    }
}

/// What part of the craft a rule belongs to.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Family {
    /// Which note arrives on beat one and on a new chord.
    Arrival,
    /// What a note is to its chord.
    Tone,
    /// How the next arrival is approached.
    Approach,
    /// Where the line cadences.
    Cadence,
    /// How the line moves.
    Melody,
    /// Where on the instrument the line lies, and whether the hand gets there.
    Register,
    /// How clear and how tense a bar is.
    Clarity,
    /// The order of notes, in the bar and against the bar before.
    Order,
}

impl fmt::Display for Family {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Family::Arrival => "arrival",
            Family::Tone => "tone",
            Family::Approach => "approach",
            Family::Cadence => "cadence",
            Family::Melody => "melody",
            Family::Register => "register",
            Family::Clarity => "clarity",
            Family::Order => "order",
        })
    }
}

/// Which note a finding names as its function, and in which words.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Label {
    /// The finding names no function.
    None,
    /// The note under the window.
    This(&'static str),
    /// The note before it.
    Before(&'static str),
    /// Both notes before it.
    BothBefore(&'static str),
}

/// What a rule asks of one note.
pub type NoteTest = fn(&NoteWindow) -> Strength;
/// What a rule asks of an interval.
pub type IntervalTest = fn(&IntervalWindow) -> Strength;
/// What a rule asks of a move.
pub type StepTest = fn(&StepWindow) -> Strength;
/// What a rule asks of two moves in a row.
pub type ShapeTest = fn(&ShapeWindow) -> Strength;
/// What a rule asks of the order of a bar's degrees.
pub type OrderTest = fn(&OrderWindow) -> Strength;
/// What a rule asks of the degrees of a bar.
pub type CellTest = fn(&CellWindow) -> Strength;
/// What a rule asks of a bar that has been computed.
pub type BarTest = fn(&BarWindow) -> Strength;
/// What a rule asks of a bar that begins like the bar before.
pub type EchoTest = fn(&EchoWindow) -> Strength;

/// The window that a rule looks through, and its test.
#[derive(Copy, Clone)]
pub enum Look {
    /// One note over its chord.
    Note(NoteTest),
    /// An interval from one note to the next, whatever the notes.
    Interval(IntervalTest),
    /// A move from one note to the next, over their chords.
    Step(StepTest),
    /// Two moves in a row.
    Shape(ShapeTest),
    /// The order of a whole bar's degrees, whatever its chords.
    Order(OrderTest),
    /// The degrees of a whole bar.
    Cell(CellTest),
    /// How clear and how tense a bar is.
    Bar(BarTest),
    /// A bar that begins with the degrees of the bar before.
    Echo(EchoTest),
}

impl Look {
    /// What the rule looks at, in words.
    pub fn describe(&self) -> &'static str {
        match self {
            Look::Note(_) => "one note over its chord",
            Look::Interval(_) => "an interval",
            Look::Step(_) => "a move from one note to the next",
            Look::Shape(_) => "two moves in a row",
            Look::Order(_) => "the order of a bar's degrees",
            Look::Cell(_) => "the degrees of a bar",
            Look::Bar(_) => "how clear and how tense a bar is",
            Look::Echo(_) => "a bar against the bar before",
        }
    }
}

/// One musical rule.
pub struct Rule {
    /// The trade's name, as styles write it.
    pub name: &'static str,
    /// The part of the craft.
    pub family: Family,
    /// The sentence that explains it.
    pub sentence: &'static str,
    /// The function that a finding gives to a note.
    pub label: Label,
    /// The window and the test.
    pub look: Look,
}

impl fmt::Debug for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Rule")
            .field("name", &self.name)
            .finish_non_exhaustive()
    }
}
