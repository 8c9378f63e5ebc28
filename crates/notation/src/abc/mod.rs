//! ABC, the text notation of folk tunes: parts out, parts and lead sheets in.
//!
//! What is said here of "the standard" is *The abc music standard 2.1* (abcnotation.com),
//! quoted from memory.
//!
//! # Out
//!
//! [`write()`] gives a tune for each part, `X:1` and on, with a blank line between two:
//!
//! | in the part | in the tune |
//! | --- | --- |
//! | title, composer, feel | `T:`, `C:`, `R:` |
//! | student, facts | `N:name: value`, a line each |
//! | metre, tempo, key | `M:`, `Q:1/4=`, `K:`; a change stands on its own line |
//! | section | `P:`, on its own line |
//! | chord symbols | `"Bb7"` before what sounds there, `"N.C."` |
//! | rests, gaps | `z`, `x` (an invisible rest) |
//! | ghost notes | `!style=x!`: the standard has no sign; where it is unknown the note stays |
//! | repeats, endings | `\|:` `:\|` `[1` `[1,3` |
//! | played more than twice | `"^3x"` over the end of the repeat |
//! | segno, coda, fine, D.C., D.S. | `!segno!` `!coda!` `!fine!` `!D.C.!` `!D.S.!` |
//! | to coda, D.C. al fine and so on | `"^To Coda"`, `"^D.C. al Fine"`: words that every program prints |
//!
//! Players carry out repeats that are played twice, and endings, but no jumps, and count nothing
//! more: [`is_played`] tells whether a part goes by that.
//!
//! The part is written for a bass: an octave above what sounds, with `K:… clef=bass-8`, whose
//! `-8` the standard defines as *sounds an octave lower*. Of the ways to say that, this is the one
//! that abcjs 6.7 and abc2midi 4.84 sound alike, melody and chords (with `transpose=-12` and
//! `octave=-1` one of them moves the chords, or the staff, too); music21 leaves octaves to the
//! letters and gives every note an octave high. Accidentals are repeated wherever readers that
//! carry them to other octaves (as the standard says) and readers that do not would differ.
//!
//! A length that is no single note value, or that would hide the middle of a measure
//! ([`written`](crate::written)), is cut in pieces, tied without a blank between (`F,4-F,`); so is a
//! note under which a chord changes. Notes that are tied in the part have a blank after
//! the tie (`F,4- F,`). That blank is what tells the two apart on the way back.
//!
//! # In
//!
//! [`read`] takes one tune of a file, [`tunes`] lists them. Whatever was written by [`write()`]
//! comes back equal, rows under the notes excepted; of other files everything comes that a
//! [`Score`](crate::Score) can hold. Left out without a word: slurs, lyrics, ornaments and
//! dynamics, beams, layout. Left out with a report: grace notes, the upper notes of chords, other
//! voices, voice overlays, words among the chord symbols. Notes are those that sound: `octave=`,
//! `transpose=` and the `-8` of a clef are carried out. A mode other than major and minor is read
//! as the major key with the same signature.
//!
//! A measure is as long as what is in it. One that is neither full nor a pick-up is reported,
//! except where two short ones beside a repeat, a double bar or an ending make up a full one
//! together, as the turns of folk tunes do; each stays a measure of its own.

mod length;
mod played;
mod read;
mod sign;
mod text;
mod write;

pub use played::is_played;
pub use read::{MAX_BYTES, read, tunes};
pub use write::{Options, write, write_with};

#[cfg(test)]
pub(crate) mod round_trip;
