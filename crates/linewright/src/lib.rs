//! Walking bass lines over a chord chart: composed by exact search under one weighted
//! rulebook, with a reason for every note.
//!
//! ```text
//! chart text ─ Chart::parse ─▶ Chart       the page, or every fault in it with a hint
//! lead sheet ─ read_chart   ─▶ Chart       the same from MusicXML and ABC
//! Chart      ─ Setting      ─▶ Timeline    the bars as played, in a key, at a tempo
//! name, TOML ─ Library      ─▶ Style       weights, limits and plans, complete and checked
//! Style      ─ Fit          ─▶ Style       the same for one instrument and range
//! all of it  ─ Tune::new    ─▶ Tune        what lines over the chart are composed and read by
//! Tune       ─ compose      ─▶ Line        the plan drawn, the notes chosen, every rule's findings
//! any file   ─ read_lines   ─▶ Given       a line that somebody wrote
//! Given      ─ study        ─▶ Study       the same line, read by the rulebook: to explain, mark, vary
//! Line       ─ text::page   ─▶ String      for people
//! Lines      ─ learn        ─▶ Style       the weights that make them likeliest (`study::learn`)
//! Line       ─ Exporter     ─▶ bytes       .mid .txt .json .musicxml .mxl .abc .svg .pdf .png .html
//! ```
//!
//! Compose a line at the style's own temperature, look at its notes, write it:
//!
//! ```
//! use linewright::{Chart, Fit, Setting, Settings, Tune, exporter};
//!
//! let chart = Chart::parse("tune", b"title: Two fives\nkey: C\n| Dm7 | G7 | Cmaj7 | % |\n")?;
//! let tune = Tune::new(&chart, None, &Fit::default(), &Setting::default())?;
//! let line = tune.compose(1, 0, tune.drawn())?;
//! for (slot, note) in line.plan.slots.iter().zip(&line.reading.notes) {
//!     let does: Vec<&str> = note.functions.iter().map(|function| function.name.long).collect();
//!     println!("bar {} beat {}: {} is {} of {}, {}",
//!         slot.bar + 1, slot.beat + 1, note.note, note.degree, slot.ground.chord, does.join(", "));
//! }
//! for (extension, format) in linewright::extensions() {
//!     let file = exporter(extension, &Settings::default()).expect("a known extension");
//!     println!("{format}: {} bytes", file.bytes(&line)?.len());
//! }
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Read a line that somebody wrote, and mark it:
//!
//! ```
//! use linewright::study::mark::{Asked, Marked};
//! use linewright::{Chart, Piece, Reading, read_lines, text};
//!
//! let chart = Chart::parse("tune", b"key: F\n| F7 | Bb7 |\n")?;
//! let (lines, _) = read_lines("line.txt", b"| F1 A1 C2 B1 | Bb1 D2 (F2 F2) E2 |", None)?;
//! let (tune, study) = lines[0].study(&chart, &Reading::default())?;
//! assert_eq!(study.between(), 1);
//! let marked = Marked::of(tune.composer(), study, Asked::default());
//! println!("{}", marked.page(&text::Options::default()));
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
mod tune;

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
pub use fit::Fit;
pub use given::{Given, LINE_EXTENSIONS, Made, Reading, read_lines};
pub use render::{
    Explained, ExportError, Exporter, Fingers, Paper, Piece, REPORT_EXTENSIONS, Report, Settings,
    Theme, Under, exporter, extensions, json, learned_text, report, style_text, text,
};
pub use rulebook::{RULES, Rule, rule_named};
pub use setting::Setting;
pub use study::mark::{Assessed, Class, Entry};
pub use study::profile::{Compared, Counted, Profiled};
pub use style::{Library, Style};
pub use suited::suited_style;
pub use theory::{Bass, Key, Note, Pitch};
pub use tune::{Tune, TuneError};

/// The version that every line carries.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");
