//! What the plan wishes of one bar.

use std::fmt;

use linewright_theory::Pitch;

use crate::plan::cadence::Cadence;
use crate::plan::figure::Figure;

/// A bar's part in its phrase.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Role {
    /// The phrase is stated.
    Statement,
    /// The line leaves home.
    Departure,
    /// The line drives on.
    Drive,
    /// The line lands.
    Release,
}

impl fmt::Display for Role {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Role::Statement => "statement",
            Role::Departure => "departure",
            Role::Drive => "drive",
            Role::Release => "release",
        })
    }
}

/// How surely a bar should name its chord.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub enum Clarity {
    /// The bar names its chord.
    Clear,
    /// Either will do.
    Free,
    /// The bar fits its chord and others; what follows must land.
    Ambiguous,
}

impl fmt::Display for Clarity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Clarity::Clear => "clear",
            Clarity::Free => "free",
            Clarity::Ambiguous => "ambiguous",
        })
    }
}

/// What the plan wishes of one bar of the timeline.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BarPlan {
    /// Which phrase the bar belongs to, from 0.
    pub phrase: usize,
    /// The bar's place in its phrase, from 0.
    pub place: usize,
    /// The bar's part in its phrase.
    pub role: Role,
    /// How the bar cadences, if it does.
    pub cadence: Option<Cadence>,
    /// Wished tension, in thousandths.
    pub tension: u16,
    /// How surely the bar should name its chord.
    pub clarity: Clarity,
    /// The middle of the register that the bar should keep to.
    pub centre: Pitch,
    /// Whether the register moves to a new place at this bar.
    pub shift: bool,
    /// The degrees that the bar wishes for, where it shares a figure with another one.
    pub figure: Option<Figure>,
    /// The earlier bar whose figure returns here.
    pub answers: Option<usize>,
    /// Slots of the bar: `slots.start..slots.end` of the plan's row.
    pub slots: std::ops::Range<usize>,
}
