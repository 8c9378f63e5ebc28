//! Why a part cannot be written.

use std::fmt;

use super::part::{LONGEST, LONGEST_TEXT};

/// Why a [`Part`](super::Part) cannot be written: what is wrong with it, where, and
/// what would do instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Error(Kind);

#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// A number is outside what the format holds.
    Range {
        what: &'static str,
        /// Nothing where it concerns the whole part.
        at: Option<u32>,
        is: i64,
        lowest: i64,
        highest: i64,
    },
    /// The lower number of a metre is no note value that can be written.
    Unit { at: u32, unit: u8 },
    /// A list that must begin at tick 0 does not.
    NoStart { what: &'static str },
    /// A list is out of order, or has two things at one time.
    Order {
        what: &'static str,
        at: u32,
        before: u32,
    },
    /// Something lies behind the end.
    Late {
        what: &'static str,
        at: u32,
        end: u32,
    },
    /// A metre change, or the end, is not on a bar line.
    OffBar {
        what: &'static str,
        at: u32,
        bar: u32,
        over: u32,
    },
    /// A note starts while the same pitch still sounds.
    Overlap { pitch: u8, at: u32, until: u32 },
    /// A text has a line break or another control character in it.
    Control { what: &'static str, character: char },
    /// A text is too long.
    Text { what: &'static str, bytes: usize },
    /// A track is larger than its length field can tell.
    Size,
}

impl From<Kind> for Error {
    fn from(kind: Kind) -> Self {
        Self(kind)
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Kind::Range {
                what,
                at,
                is,
                lowest,
                highest,
            } => {
                write!(f, "{what}")?;
                if let Some(at) = at {
                    write!(f, " at tick {at}")?;
                }
                write!(f, " is {is}; give a number from {lowest} to {highest}")
            }
            Kind::Unit { at, unit } => write!(
                f,
                "the metre at tick {at} counts in {unit}; the lower number must be \
                 1, 2, 4, 8, 16 or 32"
            ),
            Kind::NoStart { what } => {
                write!(f, "there is no {what} at tick 0; give the first one there")
            }
            Kind::Order { what, at, before } => write!(
                f,
                "{what} at tick {at} comes after one at tick {before}; put them in order of \
                 time (notes of one time by pitch), with no two in one place"
            ),
            Kind::Late { what, at, end } => write!(
                f,
                "{what} reaches tick {at}, but the part ends at tick {end}; move one of them"
            ),
            Kind::OffBar {
                what,
                at,
                bar,
                over,
            } => write!(
                f,
                "{what} at tick {at} is {over} ticks past a bar line; bars are {bar} ticks long \
                 there, so put it on a bar line"
            ),
            Kind::Overlap { pitch, at, until } => write!(
                f,
                "pitch {pitch} starts at tick {at} while it still sounds until tick {until}; \
                 shorten the first note"
            ),
            Kind::Control { what, character } => write!(
                f,
                "{what} has the control character {} in it; write it as one plain line",
                character.escape_unicode()
            ),
            Kind::Text { what, bytes } => write!(
                f,
                "{what} is {bytes} bytes long; at most {LONGEST_TEXT} can be written"
            ),
            Kind::Size => write!(
                f,
                "the part is larger than the 4 GiB that a track can hold; write fewer texts"
            ),
        }
    }
}

impl std::error::Error for Error {}

/// The range that `end` must lie in.
pub(super) const ENDS: (i64, i64) = (0, LONGEST as i64);
