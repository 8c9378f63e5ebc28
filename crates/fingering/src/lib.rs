//! Where on the neck a bass line is played: string, position and finger for every note.
//!
//! A fingering is a shortest path: each note has its [`Place`]s on the neck of a [`Bass`], each place and
//! each move from one to the next has a whole-number [cost], and [`fingering`] finds the
//! way through the whole line that costs least. Of equal ways it takes the first, in the order
//! of places from the first note on, so the same line always has the same fingering.
//!
//! What the hand can do, and the numbers of the costs, are common practice, no source.
//!
//! ```
//! use linewright_fingering::{Bass, Options, Sounding, fingering};
//! use linewright_theory::Note;
//!
//! let notes = ["F1", "G1", "A1", "Bb1", "C2"];
//! let line: Vec<Sounding> = notes
//!     .iter()
//!     .map(|name| Sounding { pitch: name.parse::<Note>().unwrap().pitch().unwrap(), after: 500 })
//!     .collect();
//! let found = fingering(&line, &Options::new(Bass::Double));
//! let fingers: Vec<String> = found
//!     .places
//!     .iter()
//!     .map(|place| place.map_or("-".into(), |place| place.finger.to_string()))
//!     .collect();
//! assert_eq!(fingers, ["1", "4", "0", "1", "4"]);
//! ```

pub mod cost;
mod hand;
mod neck;
mod path;

pub use hand::Finger;
pub use linewright_theory::Bass;
pub use neck::{Place, places};
pub use path::{Fingering, Options, Sounding, fingering};

/// What belongs beside every printed fingering.
pub const CAUTION: &str = "Stop if a stretch hurts; ask a teacher or a doctor.";
