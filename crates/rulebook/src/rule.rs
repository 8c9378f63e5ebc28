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

/// A full finding where it is so, else none.
pub(crate) fn full_if(is_so: bool) -> Strength {
    if is_so { FULL } else { 0 }
}

/// A rule's place in the list of rules; stable within one version only. Files and
/// output use the rule's name.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RuleId(pub(crate) u8);

impl RuleId {
    /// The rule's place in the list, from 0.
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

/// What a finding names, and in which words.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Label {
    /// Nothing.
    None,
    /// The function of the note under the window.
    This(FunctionName),
    /// That of the note before it.
    Before(FunctionName),
    /// That of both notes before it.
    BothBefore(FunctionName),
    /// How a bar is ordered; `{cell}` stands for the degrees of its stock cell.
    Bar(&'static str),
}

impl Label {
    /// The function that it gives to a note.
    pub fn function(self) -> Option<FunctionName> {
        match self {
            Label::This(name) | Label::Before(name) | Label::BothBefore(name) => Some(name),
            Label::None | Label::Bar(_) => None,
        }
    }
}

/// What a function of a note is called.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct FunctionName {
    /// In full, for a sentence.
    pub long: &'static str,
    /// As it stands under a note: no other function's, at most four signs with its arrow.
    pub short: &'static str,
    /// What is said of the direction of the move.
    pub direction: Direction,
}

impl FunctionName {
    const fn new(long: &'static str, short: &'static str, direction: Direction) -> Self {
        Self {
            long,
            short,
            direction,
        }
    }

    /// A function of which the direction says nothing.
    pub const fn silent(long: &'static str, short: &'static str) -> Self {
        Self::new(long, short, Direction::Silent)
    }

    /// A function that comes from one side: `from below`.
    pub const fn sided(long: &'static str, short: &'static str) -> Self {
        Self::new(long, short, Direction::Side)
    }

    /// A function that goes one way: `going up`.
    pub const fn going(long: &'static str, short: &'static str) -> Self {
        Self::new(long, short, Direction::Way)
    }
}

/// What the direction of a move says about a function.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Nothing.
    Silent,
    /// From which side it comes.
    Side,
    /// Which way it goes.
    Way,
}

/// What is said to a student where a style's marks count a rule: inside a sentence, after the
/// place, without a full stop.
///
/// Every rule that a shipped style counts has its remark. Where somebody's own style counts
/// another one, its sentence is said instead.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Remarks {
    /// Where the rule finds what should not be.
    pub found: Option<&'static str>,
    /// Where it should find something and does not.
    pub missing: Option<&'static str>,
}

impl Remarks {
    /// No remark of its own.
    pub const NONE: Self = Self {
        found: None,
        missing: None,
    };

    /// Said of what should not be.
    pub const fn found(remark: &'static str) -> Self {
        Self {
            found: Some(remark),
            ..Self::NONE
        }
    }

    /// Said where something should be.
    pub const fn missing(remark: &'static str) -> Self {
        Self {
            missing: Some(remark),
            ..Self::NONE
        }
    }
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

/// The window that a rule looks through (the scope of a factor), and its test.
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

/// One musical rule: all that there is to say about it. It is the same as another only where
/// both are one static.
pub struct Rule {
    /// The trade's name, as styles write it.
    pub name: &'static str,
    /// The part of the craft.
    pub family: Family,
    /// The sentence that explains it.
    pub sentence: &'static str,
    /// The window and the test.
    pub look: Look,
    /// The most that the test ever answers. The fewest changes that mend a line are reckoned
    /// with it: too small a bound makes them wrong.
    pub most: Strength,
    /// What a finding names.
    pub label: Label,
    /// What a finding, or the want of one, says to a student.
    pub remarks: Remarks,
}

impl Rule {
    /// Its name in a sentence: `half-step approach`, `stock cell`.
    pub fn words(&self) -> String {
        let words = self.name.replace('-', " ");
        match self.label.function() {
            Some(name) if name.long.replace('-', " ") == words => name.long.to_owned(),
            _ => words,
        }
    }
}

impl PartialEq for Rule {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self, other)
    }
}

impl Eq for Rule {}

impl fmt::Debug for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Rule")
            .field("name", &self.name)
            .finish_non_exhaustive()
    }
}
