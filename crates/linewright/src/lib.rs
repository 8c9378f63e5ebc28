//! Walking bass lines over a chord chart: composed by exact search under one weighted
//! rulebook, with a reason for every note.
//!
//! ```text
//! chart text ─ Chart::parse ─▶ Chart       the page, or every fault in it with a hint
//! lead sheet ─ read_chart   ─▶ Chart       the same from MusicXML and ABC
//! Chart      ─ Setting      ─▶ Timeline    the bars as played, in a key, at a tempo
//! name, TOML ─ Library      ─▶ Style       weights, limits and plans, complete and checked
//! Style      ─ Fit          ─▶ Style       the same for one instrument and range
//! Style      ─ Composer     ─▶ Line        the plan drawn, the notes chosen, every rule's findings
//! Line       ─ text::page   ─▶ String      for people
//! Line       ─ Exporter     ─▶ bytes       MIDI, plain text, JSON
//! ```
//!
//! ```
//! use std::sync::Arc;
//! use linewright::{Chart, Choice, Composer, Library, Setting, Settings, exporter, text};
//!
//! let chart = Chart::parse("tune", b"title: Two fives\nkey: C\n| Dm7 | G7 | Cmaj7 | % |\n")?;
//! let timeline = Arc::new(Setting::default().timeline(&chart)?);
//! let composer = Composer::new(Library::builtin().style("plain")?)?;
//! let line = composer.compose(&timeline, 1, 0, Choice::Best)?;
//! println!("{}", text::page(&line, &text::Options::default()));
//! let midi = exporter("mid", &Settings::default()).expect("a known extension");
//! assert!(midi.bytes(&line)?.starts_with(b"MThd"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Nothing here opens a file, reads a clock or owns randomness: texts and seeds come in,
//! and the same ones give the same line on every machine.
//!
//! Each stage is a crate of its own, and all of it is here under the stage's name:
//! [`theory`], [`notation`], [`chart`], [`rulebook`], [`compose`], [`study`], [`render`].

mod chart_file;
mod fit;
mod given;
mod setting;
mod suited;

pub use linewright_chart as chart;
pub use linewright_compose as compose;
pub use linewright_diagnostic as diagnostic;
pub use linewright_notation as notation;
pub use linewright_render as render;
pub use linewright_rulebook::{self as rulebook, plan, style};
pub use linewright_study as study;
pub use linewright_theory as theory;

pub use chart::{Chart, Timeline};
pub use chart_file::{SCORE_EXTENSIONS, read_chart};
pub use compose::{Choice, Composer, Line, NoLine};
pub use diagnostic::{Diagnostic, Diagnostics};
pub use fit::{Bass, Fit};
pub use given::{Given, GivenError, LINE_EXTENSIONS, Made, Reading, read_lines};
pub use render::{
    Assessed, Class, Compared, Counted, Entry, Profiled, REPORT_EXTENSIONS, Report, report,
};
pub use render::{
    Explained, ExportError, Exporter, Fingers, Neck, Ordered, Paper, Piece, Settings, Theme, Under,
    exporter, extensions, json, style_text, text,
};
pub use rulebook::{RULES, Rule, rule_named};
pub use setting::Setting;
pub use style::{Library, Style};
pub use suited::suited_style;
pub use theory::{Key, Note, Pitch};

/// The version that every line carries.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");
