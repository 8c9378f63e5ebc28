//! Diagnostics, each kind of them told as often as it helps.

use linewright_diagnostic::{Diagnostics, Place};

/// What is told once a tune, however often it happens.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Grace,
    Chord,
    Words,
    Alternative,
    Overlay,
    Tuplet,
    Fraction,
    Tie,
    Broken,
    Mode,
    Signature,
    Height,
    Line,
    Microtone,
    Character,
    Transposed,
}

/// Diagnostics in the order in which they were met.
#[derive(Debug, Default)]
pub(super) struct Reports {
    problems: Diagnostics,
    told: Vec<Kind>,
}

impl Reports {
    pub fn add(&mut self, place: Place, message: impl Into<String>, hint: impl Into<String>) {
        self.problems.remark(place, message, hint);
    }

    /// Tells only the first of its kind.
    pub fn once(
        &mut self,
        kind: Kind,
        place: Place,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        if !self.told.contains(&kind) {
            self.told.push(kind);
            self.problems.remark(place, message, hint);
        }
    }

    pub fn into_problems(self) -> Diagnostics {
        self.problems
    }
}
