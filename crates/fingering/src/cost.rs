//! What a place and a move cost, in points.
//!
//! | what | points |
//! | --- | --- |
//! | a note with the first or second finger, or open | 0 |
//! | with the third or fourth | [`WEAK_FINGER`] |
//! | with the thumb | [`THUMB`] |
//! | each semitone of its position above the first | [`HEIGHT`] |
//! | a shift | [`SHIFT`], and [`DISTANCE`] a semitone; half of that away from an open string |
//! | a shift into or out of thumb position | [`THUMB_SHIFT`] more |
//! | a move to the next string | [`CROSSING`]; each string further, [`SKIPPING`] |
//! | the same finger on another string, or elsewhere in the same position | [`SAME_FINGER`] |
//!
//! Moves cost more the faster they come: their points times (200 + notes a minute) / 200, so
//! they count twice at 200 notes a minute. [`of_place`] and [`of_move`] give 200ths of a
//! point, which are whole numbers. Lighter is easier; the numbers are ours, chosen so that
//! handbook positions come out (common practice, no source).

use crate::hand::Finger;
use linewright_theory::Bass;

use crate::neck::{Neck, Place};

/// A note with the third or fourth finger.
pub const WEAK_FINGER: u64 = 1;
/// A note with the thumb.
pub const THUMB: u64 = 2;
/// Each semitone of a stopped note's position above the first.
pub const HEIGHT: u64 = 1;
/// A shift.
pub const SHIFT: u64 = 4;
/// Each semitone of a shift.
pub const DISTANCE: u64 = 2;
/// A shift into or out of thumb position, besides.
pub const THUMB_SHIFT: u64 = 6;
/// A move to the next string.
pub const CROSSING: u64 = 1;
/// Each string further.
pub const SKIPPING: u64 = 2;
/// The same finger on another string, or elsewhere in the same position.
pub const SAME_FINGER: u64 = 2;

/// Parts of a point.
const PARTS: u64 = 200;
/// The fastest pace that counts, in notes a minute.
const FASTEST: u64 = 1200;
/// First position: the height that costs nothing.
const FIRST_POSITION: i32 = 2;

/// What a note costs at a place, in 200ths of a point.
pub fn of_place(place: &Place) -> u64 {
    let finger = match place.finger {
        Finger::Open => return 0,
        Finger::First | Finger::Second => 0,
        Finger::Third | Finger::Fourth => WEAK_FINGER,
        Finger::Thumb => THUMB,
    };
    let height = (place.position - FIRST_POSITION).max(0).unsigned_abs();
    PARTS * (finger + HEIGHT * u64::from(height))
}

/// What a move costs that has `after` milliseconds from one note to the next, in 200ths of a
/// point.
pub fn of_move(neck: Bass, from: &Place, to: &Place, after: u32) -> u64 {
    let pace = (60_000 / u64::from(after.max(1))).min(FASTEST);
    let strings = from.string.abs_diff(to.string) as u64;
    let crossing = match strings {
        0 => 0,
        _ => CROSSING + SKIPPING * (strings - 1),
    };
    let distance = u64::from(from.position.abs_diff(to.position));
    let mut halves = 2 * crossing;
    if distance > 0 {
        let thumb = neck.is_thumb_position(from.position) != neck.is_thumb_position(to.position);
        let shift = SHIFT + DISTANCE * distance + if thumb { THUMB_SHIFT } else { 0 };
        // The hand moves while the open string sounds.
        let free = from.finger == Finger::Open;
        halves += if free { shift } else { 2 * shift };
    } else if from.finger == to.finger
        && from.finger != Finger::Open
        && (from.string, from.stop) != (to.string, to.stop)
    {
        halves += 2 * SAME_FINGER;
    }
    halves * (PARTS + pace) / 2
}
