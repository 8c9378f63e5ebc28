//! Reading a bass line from a Standard MIDI File.
//!
//! A MIDI file says when keys went down and up; a part says which note stands on which beat.
//! [`read()`] makes the one into the other:
//!
//! - **The track.** The one that is named; else one whose program is a bass (33 to 40 in
//!   General MIDI, counted from one); else one that is called a bass; else the one that lies
//!   lowest, drums aside. Where there was a choice, it is told.
//! - **Bars** come from the time signatures (4/4 where there is none). A first bar that is
//!   shorter than those after it is a pick-up.
//! - **Where notes begin.** A file whose notes all stand on beats, halves, thirds, quarters,
//!   sixths, eighths or twelfths of one is taken at its word. Otherwise somebody played it, and
//!   each beat is read by itself: a note within about a sixth of a beat of the beat is on it,
//!   and what lies between becomes eighths, triplets (so a swung eighth is the last third of
//!   its beat) or sixteenths, whichever is nearest, the simpler the better. How many notes were
//!   moved, and how far at most, is told.
//! - **Where notes end.** Plucked notes are written shorter than they count. How much is
//!   measured on the notes of the file; a note lasts until the next one, unless at least half a
//!   beat of rest remains when its length is so corrected. One voice is read: of notes that
//!   begin together the lowest.
//! - **Names.** A pitch is spelled for the chord over it and for the step to the next note,
//!   as [`linewright_theory::spell`] does it; without a chord, by the key signature.
//! - **Markers** that read as chord symbols or `N.C.` are chords; the others are sections. Of
//!   several at one place the last that reads as a chord is the chord. Letters from A to G
//!   alone are chords only in a file that has other chords too, or that this program wrote.
//! - **Texts** `name: value` are the facts in [`Score::about`], but for `composer` and `student`,
//!   which have fields of their own.
//!
//! Of a damaged file that is read which still can be, and told what could not.

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
