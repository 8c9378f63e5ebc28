//! Engraves a part: a [`Score`](linewright_notation::Score) becomes pages, a page becomes SVG, PDF or PNG.
//!
//! [`pages`] lays out one bass staff: measures are spaced by what they hold and broken into
//! systems (four bars each where they fit), systems into pages. A [`Page`] is a list of
//! [`Mark`]s, each with a kind and a box; [`Page::svg`] paints them, and tests read them.
//!
//! From the score to the page, a room each:
//!
//! - `content`: the written notes of one measure, with accidentals and texts; `value`: the glyphs
//!   of a note value
//! - `plan`, `spacing`: the points of a system and the room between them
//! - `breaking`: which measures stand in which system
//! - `layout`: where the measures of a system are
//! - `system`: one system drawn, with `notes`, `beam`, `tie`, `tuplet`, `barline`, and over and
//!   under the staff `above`, `below`, `tension`
//! - `page`: systems, title and footer on sheets
//! - `paint`: SVG; `canvas`, `pdf`, `picture`: PDF and PNG of the same marks
//!
//! The bytes of an SVG depend on the score and the options only: all lengths are whole numbers.
//!
//! ```
//! use linewright_engrave::{Options, pages};
//! use linewright_notation::{Event, Measure, QUARTER, Score, TimeSignature};
//!
//! let mut measure = Measure::new(4 * QUARTER);
//! measure.time = Some(TimeSignature { beats: 4, unit: 4 });
//! for (beat, name) in ["Bb1", "D2", "F2", "B2"].into_iter().enumerate() {
//!     let note = name.parse()?;
//!     measure.events.push(Event::note(beat as u32 * QUARTER, QUARTER, note));
//! }
//! let score = Score { measures: vec![measure], ..Score::default() };
//! let page = &pages(&score, &Options::default())[0];
//! assert!(page.svg().contains("data-measure=\"0\" data-tick=\"6720\""));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod above;
mod barline;
mod base64;
mod beam;
mod below;
mod breaking;
#[cfg(feature = "print")]
mod canvas;
mod chord_symbol;
mod clean;
mod collisions;
mod colour;
mod content;
mod context;
mod ending;
#[cfg(feature = "print")]
mod error;
mod font;
mod font_web;
mod geometry;
mod glyph;
mod layout;
mod mark;
mod metrics;
mod notes;
mod options;
mod outline;
mod outlines;
mod page;
mod paint;
#[cfg(feature = "print")]
mod pdf;
#[cfg(feature = "print")]
mod picture;
mod plan;
mod skyline;
mod spacing;
mod staff;
mod system;
mod tension;
mod tie;
mod tuplet;
mod typeset;
mod value;

pub use clean::escaped;
#[cfg(feature = "print")]
pub use error::EngraveError;
pub use font::{TEXT_FAMILY, TEXT_FONT};
pub use font_web::font_face;
pub use geometry::{Bounds, SPACE, STAFF};
pub use mark::{Kind, Mark, Place};
pub use options::{Options, Paper, SvgFont, Theme};
pub use page::{Page, pages};
#[cfg(feature = "print")]
pub use pdf::pdf;
