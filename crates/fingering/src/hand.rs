//! What the left hand holds down in each position.

use std::fmt;
use std::ops::RangeInclusive;

/// A finger of the left hand.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Finger {
    /// None: the string is open.
    Open,
    /// The index finger.
    First,
    /// The middle finger.
    Second,
    /// The ring finger.
    Third,
    /// The little finger.
    Fourth,
    /// The thumb, laid on the string.
    Thumb,
}

impl fmt::Display for Finger {
    /// `0` for an open string, `1` to `4`, `T` for the thumb.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Finger::Open => "0",
            Finger::First => "1",
            Finger::Second => "2",
            Finger::Third => "3",
            Finger::Fourth => "4",
            Finger::Thumb => "T",
        })
    }
}

/// Fingers of a hand, each with the semitones above the position that it reaches.
pub(crate) type Grip = &'static [(Finger, RangeInclusive<i32>)];

/// Low on the double bass: a whole tone from the first to the fourth finger, the third
/// supporting the fourth (common practice, no source).
const LOW: Grip = &[
    (Finger::First, 0..=0),
    (Finger::Second, 1..=1),
    (Finger::Fourth, 2..=2),
];

/// Near the body of the double bass the third finger takes over from the fourth, and the hand
/// can open to a minor third (common practice, no source).
const HIGH: Grip = &[
    (Finger::First, 0..=0),
    (Finger::Second, 1..=1),
    (Finger::Third, 2..=3),
];

/// Thumb position: a fourth from the thumb to the third finger (common practice, no source).
const THUMB: Grip = &[
    (Finger::Thumb, 0..=0),
    (Finger::First, 1..=2),
    (Finger::Second, 2..=4),
    (Finger::Third, 3..=5),
];

/// The bass guitar: a finger a fret (common practice, no source).
const FRETS: Grip = &[
    (Finger::First, 0..=0),
    (Finger::Second, 1..=1),
    (Finger::Third, 2..=2),
    (Finger::Fourth, 3..=3),
];

/// From this position on, the third finger replaces the fourth on the double bass.
const THIRD_FROM: i32 = 10;

/// The thumb lies on the string from the octave of the open string on.
pub(crate) const THUMB_FROM: i32 = 12;

/// The hand over frets in a position: semitones from the open string to where the lowest finger
/// lies.
pub(crate) fn on_frets(position: i32) -> Grip {
    match position {
        0 => &[],
        _ => FRETS,
    }
}

/// The hand over the fingerboard of a double bass in a position. Negative ones lie on the
/// extension of the lowest string.
pub(crate) fn on_fingerboard(position: i32) -> Grip {
    match position {
        0 => &[],
        ..THIRD_FROM => LOW,
        THIRD_FROM..THUMB_FROM => HIGH,
        _ => THUMB,
    }
}
