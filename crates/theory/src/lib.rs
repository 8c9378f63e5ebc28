//! The music ladder: small, pure, tested tables and rules that everything else stands on.
//!
//! From the bottom up: a [`Letter`] and its accidental make a [`Name`]; a name in an octave is a
//! [`Note`], which sounds a [`Pitch`]; an [`Interval`] lies between two notes; a [`Degree`] says
//! what a note is above a chord's root; a [`Scale`] is a set of semitones above a root; a [`Key`]
//! is a tonic and a mode; a [`Chord`] is read from and printed as a chord symbol; and [`spell`]
//! finds the name a bass player expects to read for a sounding pitch. Without a chord,
//! [`pitch_name`] names a pitch in a key, and [`note_name`] by itself.
//!
//! Nothing here reads files, clocks, the environment or random numbers.
//!
//! ```
//! use linewright_theory::{Chord, Key, Pitch, spell};
//!
//! let chord: Chord = "F7".parse()?;
//! let key: Key = "Bb".parse()?;
//! let note = spell(Pitch::new(39).unwrap(), &chord, key, None);
//! assert_eq!(note.to_string(), "Eb2");
//! # Ok::<(), linewright_diagnostic::Diagnostic>(())
//! ```

mod bass;
mod chord;
mod degree;
mod interval;
mod key;
mod letter;
mod name;
mod naming;
mod note;
mod pitch;
mod scale;
mod spelling;

pub use bass::Bass;
pub use chord::{Chord, DegreeKind, Family, HarmonyDegree, Member, MusicXmlHarmony, Quality};
pub use degree::Degree;
pub use interval::Interval;
pub use key::{Key, Mode};
pub use letter::Letter;
pub use name::Name;
pub use naming::{class_name, note_name, pitch_name};
pub use note::Note;
pub use pitch::{Pitch, PitchClass};
pub use scale::{Scale, ScaleKind};
pub use spelling::{Going, spell};
