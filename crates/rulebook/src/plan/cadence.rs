//! The three ways in which a line cadences.

use std::fmt;

/// How a bar cadences.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Cadence {
    /// The chord's root on beat one, approached by step, half step or dominant.
    BeatOne,
    /// Other tones first, then the chord's own root on the last beat.
    OwnRoot,
    /// The next chord's root already on the last beat (an early root).
    NextRoot,
}

impl Cadence {
    /// Every way, in the order in which plans weigh them.
    pub const ALL: [Cadence; 3] = [Cadence::BeatOne, Cadence::OwnRoot, Cadence::NextRoot];
}

impl fmt::Display for Cadence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Cadence::BeatOne => "beat one",
            Cadence::OwnRoot => "own root on the last beat",
            Cadence::NextRoot => "next root on the last beat",
        })
    }
}
