//! Standard MIDI Files: a bass line read from one, and a part written as one.
//!
//! # In
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
//! - **Texts** `name: value` are the facts in [`Score::about`](crate::Score::about), but for
//!   `composer` and `student`, which have fields of their own.
//!
//! Of a damaged file that is read which still can be, and told what could not.
//!
//! # Out
//!
//! A [`Part`] holds one instrument's notes with tempo, metre, keys and markers, in ticks;
//! [`write()`] checks it and lays it out. A score becomes one by [`Part::of`] and
//! [`Part::append`], which is told in an [`Articulation`] how written notes sound;
//! [`write_score`] does all of it for a score alone.
//!
//! A file has two tracks. The first holds what concerns everybody: title, metadata
//! texts, metre, key, tempo and markers (section names, chords). The second holds the
//! instrument: its name, program and notes. Both end at the exact end of the last bar,
//! so that a player that loops the file stays in time. The same part always gives the
//! same bytes.
//!
//! ```
//! use linewright_notation::midi::{self, Part, Sounded, TICKS_PER_QUARTER};
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

mod read;
mod write;

pub use read::{MAX_BARS, MAX_BYTES, read};
pub use write::program;
pub use write::{
    Articulation, Error, KeyChange, LONGEST, LONGEST_TEXT, Marker, MetreChange, Part, Sounded,
    TICKS_PER_QUARTER, TempoChange, write, write_score,
};
