//! What is wrong, where, and what to write instead: one carrier for every reader.
//!
//! A reader collects [`Diagnostics`] and goes on, so that all errors of a file are told at once,
//! and with them, or beside what it read, the remarks on what it read otherwise than written. One
//! [`Diagnostic`] has a [`Place`], a [`Severity`], a message and a hint. [`Source`] looks places
//! up in a text and cuts out the lines that are shown with a caret. [`nearest`] finds the name
//! that a mistyped one was meant to be, and [`clean`] has the ways to make somebody else's text
//! safe for a terminal, a message or a file.
//!
//! ```
//! use linewright_diagnostic::{Diagnostics, Source, nearest};
//!
//! let text = "key: F\ntitel: Blue yard\n";
//! let mut found = Diagnostics::default();
//! let near = nearest("titel", ["title", "tempo"]).unwrap();
//! found.error(7, "\"titel\" is no header line", format!("write `{near}:`"));
//! let told = found.located("my.chart", &Source::new(text)).to_string();
//! assert_eq!(
//!     told,
//!     "my.chart:2:1: \"titel\" is no header line\n    titel: Blue yard\n    ^\n    hint: write `title:`"
//! );
//! ```

pub mod clean;
mod diagnostic;
mod diagnostics;
mod file_kind;
mod nearest;
mod place;
mod source;
mod utf8;

pub use diagnostic::{Diagnostic, Severity};
pub use diagnostics::Diagnostics;
pub use file_kind::FileKind;
pub use nearest::{is_slip_of, nearest};
pub use place::Place;
pub use source::Source;
pub use utf8::{NotText, utf8};
