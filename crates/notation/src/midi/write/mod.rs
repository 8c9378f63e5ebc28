//! A part as the bytes of a file.

mod articulation;
mod check;
mod error;
mod part;
pub mod program;
mod score;
#[cfg(test)]
mod tests;
mod tracks;

pub use articulation::Articulation;
pub use error::Error;
pub use part::{
    KeyChange, LONGEST, LONGEST_TEXT, Marker, MetreChange, Part, Sounded, TICKS_PER_QUARTER,
    TempoChange,
};
pub use tracks::write;

use crate::score::Score;

/// The bytes of a Standard MIDI File for a score that stands alone, every note alike and ties
/// joined.
///
/// The measures sound once each, in the order of the page: repeats and jumps are not carried out.
///
/// # Errors
/// When the score does not fit into a file: it is longer than [`LONGEST`] ticks, or its notes
/// overlap.
///
/// ```
/// use linewright_notation::{line_text, midi};
/// let (lines, _) = line_text::read(b"title: Walk\n| F1 A1 C2 (Eb2 . E2) |")?;
/// let bytes = midi::write_score(&lines[0])?;
/// let (back, _) = midi::read(&bytes, None)?;
/// assert_eq!(back.measures[0].events.len(), 5);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn write_score(score: &Score) -> Result<Vec<u8>, Error> {
    let mut part = Part::of(score);
    part.append(score, Articulation::default(), |_, _| false);
    write(&part)
}
