//! The names under which a part tells how it was made, among the facts that it is
//! [about](crate::Score::about): alike in every format.

/// The name of this program; the value is its version.
pub const PROGRAM: &str = "linewright";
/// The name of the style.
pub const STYLE: &str = "style";
/// The hash of the style: 16 digits, base 16.
pub const STYLE_HASH: &str = "style hash";
/// The seed.
pub const SEED: &str = "seed";
/// The line's number within the seed, from 1.
pub const LINE: &str = "line";
/// How the line was chosen, in words.
pub const CHOICE: &str = "choice";
/// The key that it begins in.
pub const KEY: &str = "key";
/// The tempo that it begins in, in quarter notes a minute, with [`AT_FIRST`] where it changes.
pub const TEMPO: &str = "tempo";
/// How many times the form is played.
pub const CHORUSES: &str = "choruses";
/// The lowest note of the range.
pub const LOW: &str = "low";
/// The highest note of the range.
pub const HIGH: &str = "high";
/// The name of the instrument.
pub const INSTRUMENT: &str = "instrument";
/// Its General MIDI program, 1 to 128.
pub const MIDI_PROGRAM: &str = "program";
/// The score, in points.
pub const SCORE: &str = "score";

/// All of them, in the order in which files have them.
pub const ORDER: [&str; 14] = [
    PROGRAM,
    STYLE,
    STYLE_HASH,
    SEED,
    LINE,
    CHOICE,
    KEY,
    TEMPO,
    CHORUSES,
    LOW,
    HIGH,
    INSTRUMENT,
    MIDI_PROGRAM,
    SCORE,
];

/// The choice of the best line.
pub const BEST: &str = "best";
/// The choice of one of the best lines, before its place.
pub const RANKED: &str = "ranked number ";
/// The choice of a line that was drawn, before and behind the temperature in points.
pub const SAMPLED: [&str; 2] = ["sampled at ", " points"];
/// The choice of a line that was given.
pub const GIVEN: &str = "given";

/// What the pages of the program say of a line's making, in words for musicians.
pub mod page {
    /// Before the program and its version, in the last line of a page of a line that it made.
    pub const MADE: &str = "made by ";
    /// The same where it only read the line.
    pub const READ: &str = "read by ";
    /// Before the name of the style.
    pub const STYLE: &str = "style ";
    /// Before the temperature in points, where the line was drawn.
    pub const BOLD: &str = "how bold: ";
    /// Where it is the best line.
    pub const BEST: &str = "the best line";
    /// Before and behind the place of one of the best lines.
    pub const RANKED: [&str; 2] = ["number ", " of the best lines"];
    /// Before the General MIDI program, in the last line.
    pub const SOUND: &str = "MIDI program ";
}

/// What stands behind a tempo that is not that of the whole piece.
pub const AT_FIRST: &str = " at first, then as in the chart";
