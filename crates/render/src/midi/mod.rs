//! Standard MIDI Files: a [`Part`] in, the bytes of a type 1 file out.
//!
//! - [`Part`]: one instrument's notes with tempo, metre, keys and markers, in ticks;
//! - [`articulate`]: written notes into sounded ones, as a plucked bass plays them in a style;
//! - [`program`]: the General MIDI sounds that a bass line is played with;
//! - [`write()`]: checks a part and lays it out as a file.
//!
//! A file has two tracks. The first holds what concerns everybody: title, metadata
//! texts, metre, key, tempo and markers (section names, chords). The second holds the
//! instrument: its name, program and notes. Both end at the exact end of the last bar,
//! so that a player that loops the file stays in time. The same part always gives the
//! same bytes.
//!
//! ```
//! use linewright_render::midi::{self, Part, Sounded, TICKS_PER_QUARTER};
//!
//! let mut part = Part::new("Two halves", 1920);
//! part.notes = vec![
//!     Sounded { start: 0, length: 900, pitch: 36, velocity: 88 },
//!     Sounded { start: 2 * TICKS_PER_QUARTER, length: 900, pitch: 31, velocity: 80 },
//! ];
//! let bytes = midi::write(&part)?;
//! assert!(bytes.starts_with(b"MThd"));
//! # Ok::<(), midi::Error>(())
//! ```

mod articulation;
mod check;
mod error;
mod part;
pub mod program;
#[cfg(test)]
mod tests;
mod write;

pub use articulation::{Written, articulate, is_accented};
pub use error::Error;
pub use part::{
    KeyChange, LONGEST, LONGEST_TEXT, Marker, MetreChange, Part, Sounded, TICKS_PER_QUARTER,
    TempoChange,
};
pub use write::write;
