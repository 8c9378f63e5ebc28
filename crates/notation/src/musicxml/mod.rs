//! MusicXML 4.0: the open standard for scores, `.musicxml` and `.mxl`.
//!
//! [`write()`] gives a part in bass clef, an octave above its sound, with chord symbols; [`read`]
//! brings it back, and reads lead sheets and parts that other programs wrote. What a page shows
//! of a score, and so what comes back, is [`as_written`]; repeats and jumps are written with what
//! they mean to players, and [`is_played`] tells where those play them so.
//!
//! ```
//! use linewright_notation::musicxml::{self, Options};
//! use linewright_notation::{Event, Measure, QUARTER, Score};
//!
//! let mut score = Score::default();
//! let mut measure = Measure::new(4 * QUARTER);
//! measure.events.push(Event::note(0, QUARTER, "F1".parse()?));
//! score.measures.push(measure);
//! let file = musicxml::write(&score, &Options::default());
//! let (back, problems) = musicxml::read(file.as_bytes(), None)?;
//! assert_eq!(back, musicxml::as_written(&score));
//! assert!(problems.is_empty());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Source: <https://www.w3.org/2021/06/musicxml40/>.

mod mxl;
mod page;
mod played;
mod read;
#[cfg(test)]
pub(crate) mod samples;
mod write;

pub use page::as_written;
pub use played::is_played;
pub use read::read;
pub use write::{write, write_mxl};

/// What a file holds beside the notes.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub struct Options {
    /// Whether the rows under notes go out, each as a verse of lyrics.
    pub under: bool,
}
