//! A finished line on paper: text for people, JSON for programs, MIDI for ears.
//!
//! Nothing here decides: a [`Line`](linewright_compose::Line) comes in with its plan, its
//! findings and its score, and goes out in one format or another.
//!
//! - [`text`]: the page for the terminal and for `.txt` files;
//! - [`json`]: the line with everything that is known of it;
//! - [`score()`]: the line as a part as written, for every file that holds one;
//! - [`playback`]: the line as a [`Part`](linewright_notation::midi::Part) of a MIDI file;
//! - [`Exporter`]: one interface for all of them, found [by extension](exporter);
//! - [`Report`]: what is told of many lines together, and [`csv`] as tables for other programs;
//! - [`wording`]: every word that the page uses for a function, a cadence, a bar;
//! - [`style_text`]: a complete style as text that can be read again.

mod bars;
pub mod csv;
pub mod export;
mod fingers;
mod form;
mod html;
pub mod json;
mod numbers;
pub mod playback;
mod score;
mod style_text;
#[cfg(test)]
#[path = "../../../tests/support/forms.rs"]
mod test_forms;
#[cfg(test)]
mod test_lines;
pub mod text;
pub mod wording;

pub use export::{
    Explained, ExportError, Exporter, Paper, Piece, REPORT_EXTENSIONS, Report, Settings, Theme,
    exporter, extensions, report, staff_pages,
};
pub use fingers::Fingers;
pub use linewright_fingering::Bass;
pub use score::{Under, score};
pub use style_text::{learned_text, style_text};
