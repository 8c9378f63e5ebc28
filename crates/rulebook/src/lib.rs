//! The rulebook: what a line is asked, and what it answers.
//!
//! A [`style`] weighs the rules, a [`plan`] says what a line means to do before a note is
//! chosen, and the rules find what it does. What the composer searches by, the explainer labels
//! by. Each [`Rule`] is
//! one small file under `rules/` that holds all there is to say about it. It looks only at its
//! window, and answers with a strength; the style's weight turns the strength into points. [`read`] puts
//! every rule's findings on a finished line, and their points add up exactly
//! to the line's score.

mod bar_table;
mod between;
mod book;
mod by_look;
mod clarity;
mod evaluate;
mod facts;
mod finding;
mod markdown;
pub mod plan;
mod possible;
mod reading;
mod rule;
pub mod rules;
mod segment;
pub mod style;
mod style_book;
mod symbol;
#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;
mod window;

pub use bar_table::{bar_table, order_table};
pub use between::{Between, BetweenWindow};
pub use book::{Entry, RuleBook, Weighing};
pub use clarity::{AMBIGUOUS, CLEAR, Rival, clarity_of};
pub use evaluate::{Around, Evaluator, hangs_on, most_by_one_note};
pub use facts::{BarFacts, tension};
pub use finding::{Finding, Place};
pub use markdown::rules_markdown;
pub use possible::possible_places;
pub use reading::{BarReading, Function, NoteReading, Reading, cadence_rule, read};
pub use rule::{
    Direction, FULL, Family, FunctionName, Label, Look, Remarks, Rule, RuleId, Strength,
};
pub use rules::order::cells::stock_cell_of;
pub use rules::{RULES, rule_named};
pub use segment::{Likeness, head, likeness};
pub use style_book::StyleBook;
pub use symbol::{CellSymbol, SYMBOLS, cell_symbol};
pub use window::{
    BarWindow, CellPlace, CellShape, CellWindow, EchoWindow, IntervalPlace, IntervalWindow,
    NoteWindow, OrderPlace, OrderWindow, ShapePlace, ShapeWindow, StepShape, StepWindow,
};
