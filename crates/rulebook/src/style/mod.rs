//! Styles and grades: what a line should sound like, written as TOML.
//!
//! A style names a feel, a range, hard limits, a weight for each rule of the
//! rulebook, and the distributions from which a plan is drawn. A style can
//! extend another; what it does not say is inherited, but for its name and description, which
//! every style gives itself.
//!
//! The flow through this crate: text → [`StyleFile`] (as written, checked key
//! by key) → [`resolve`] with a [`Library`] of named styles → [`Style`]
//! (complete). Rule names are checked later, by the rulebook that owns them.

mod fault;
mod file;
mod library;
mod marks;
mod plain_words;
mod schema;
mod weight;

#[allow(clippy::module_inception)]
mod style;

pub use fault::unknown_rule;
pub use file::{LARGEST_FILE, StyleFile, check_rules};
pub use library::{Library, resolve};
pub use marks::{Criterion, DevicesOver, Marks};
pub use schema::json_schema;
pub use style::{CadenceMix, Feel, Instrument, PlanShape, Range, Sound, Style, TensionCurve};
pub use weight::{LARGEST_POINTS, Weight};
