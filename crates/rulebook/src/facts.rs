//! What is computed of a bar before its rules look at it.

use linewright_theory::Member;

use crate::clarity::CLEAR;

/// What is computed of a bar's cell.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct BarFacts {
    /// How surely the notes name their chord, in milli-nats.
    pub clarity: i32,
    /// Tension, in thousandths.
    pub tension: i32,
}

/// Tension of a bar, in thousandths: half of it from what the bar leaves
/// unclear, the rest from chromatic notes, from colour, and from staying away
/// from the root (the shares are common practice, no source). Height is the
/// register contour's part of tension.
pub fn tension(members: &[Member], clarity: i32) -> i32 {
    let unclear = (2 * CLEAR - clarity).clamp(0, 2 * CLEAR) * 500 / (2 * CLEAR);
    let notes: i32 = members
        .iter()
        .map(|member| match member {
            Member::Outside => 130,
            Member::Scale => 50,
            Member::Colour => 60,
            _ => 0,
        })
        .sum();
    let begins_away = if members.first() == Some(&Member::Root) {
        0
    } else {
        120
    };
    let stays_away = if members.contains(&Member::Root) {
        0
    } else {
        150
    };
    (unclear + notes + begins_away + stays_away).min(1000)
}
