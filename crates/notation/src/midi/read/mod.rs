//! A file as a part.

mod choose;
mod file;
mod grid;
mod lengths;
mod measures;
mod names;
mod score;
mod signs;
#[cfg(test)]
mod tests;

use linewright_diagnostic::Diagnostics;

use crate::score::Score;

/// Most bytes of a file; longer ones are refused.
pub const MAX_BYTES: usize = 4 << 20;

/// Most bars that are read; what comes later is left out.
pub const MAX_BARS: usize = 4096;

/// Reads a bass line from the bytes of a file: the track with this name or number (counted from
/// one; `channel 3` picks a channel), or the one that is most likely the bass.
///
/// Gives the line, and what was chosen, moved, left out or damaged.
///
/// # Errors
/// When the file is no MIDI file, counts no beats, or has no notes on such a track.
///
/// ```
/// use linewright_notation::midi;
/// let problems = midi::read(b"RIFF", None).unwrap_err();
/// assert!(problems.to_string().contains("no MIDI file"));
/// ```
pub fn read(bytes: &[u8], track: Option<&str>) -> Result<(Score, Diagnostics), Diagnostics> {
    let mut problems = Diagnostics::default();
    let file = file::File::read(bytes, &mut problems)?;
    let part = choose::choose(&file, track, &mut problems)?;
    let score = score::score(&file, &part, &mut problems);
    Ok((score, problems))
}
