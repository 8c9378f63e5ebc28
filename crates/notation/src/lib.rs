//! A part as written (a [`Score`]: measures, notes, rests, chord symbols, repeats), and the
//! open standards that hold one.
//!
//! A score says what stands on the page, nothing about why. It is what every reader of a file
//! gives and every writer of a file takes; charts and lines are made from it and turned into it
//! elsewhere. All text and bytes come in; nothing here opens a file.

pub mod abc;
pub mod about;
mod accidentals;
#[cfg(test)]
mod any_score;
mod endings;
pub mod header_line;
pub mod line_text;
pub mod midi;
pub mod musicxml;
mod score;
mod writable;
pub mod written;

pub use accidentals::{Accidentals, Sign};
pub use endings::{Ending, endings};
pub use score::{
    BarLine, Event, Jump, Measure, QUARTER, Score, Symbol, SymbolAt, Ticks, TimeSignature, Until,
};
