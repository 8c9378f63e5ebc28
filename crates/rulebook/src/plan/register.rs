//! The register contour: where the line lives, and where it moves house.

use crate::style::{Range, Style};
use linewright_theory::Pitch;

use crate::plan::bar::BarPlan;
use crate::plan::cadence::Cadence;
use crate::plan::dice::Dice;

/// The least leap, in semitones, by which a line is heard to move to another register: a minor
/// sixth (common practice, no source).
pub const SHIFT_LEAP: i32 = 8;

/// How far a shift moves at least, in semitones, where the span allows it.
const LEAST_SHIFT: i32 = 5;

/// Draws the contour into the bars: the register stays for a while, drifts a
/// little, and moves after a cadence now and then. Returns the slots into
/// which it moves.
pub fn contour(bars: &mut [BarPlan], style: &Style, dice: &mut Dice) -> Vec<usize> {
    let span = i32::from(style.plan.register_span);
    let middle = middle(&style.range);
    let mut home = middle + spread(dice, span / 2);
    let mut drift = 0;
    let mut shifts = Vec::new();
    let mut pending = false;
    for bar in bars.iter_mut() {
        if pending && !bar.slots.is_empty() {
            home = elsewhere(home, middle, span, dice);
            drift = 0;
            bar.shift = true;
            shifts.push(bar.slots.start);
            pending = false;
        } else if !bar.slots.is_empty() {
            drift = (drift + spread(dice, 1)).clamp(-2, 2);
        }
        // Tension lifts the line by up to a whole tone, release lowers it.
        let lift = (i32::from(bar.tension) - 500) / 250;
        bar.centre = clamped(home + drift + lift, &style.range);
        if bar.cadence.is_some() && dice.chance(style.plan.register_shift) {
            if bar.cadence == Some(Cadence::BeatOne) && bar.slots.len() > 2 && !bar.shift {
                home = elsewhere(home, middle, span, dice);
                drift = 0;
                bar.centre = clamped(home + lift, &style.range);
                bar.shift = true;
                shifts.push(bar.slots.start + 1);
            } else {
                pending = true;
            }
        }
    }
    shifts
}

/// A draw between −n and n.
fn spread(dice: &mut Dice, n: i32) -> i32 {
    dice.below(2 * n.unsigned_abs() as u64 + 1) as i32 - n.abs()
}

/// A new home at least [`LEAST_SHIFT`] away where the span has room for it.
fn elsewhere(home: i32, middle: i32, span: i32, dice: &mut Dice) -> i32 {
    let far: Vec<i32> = (middle - span..=middle + span)
        .filter(|new| (new - home).abs() >= LEAST_SHIFT)
        .collect();
    match far.len() {
        0 => middle + spread(dice, span),
        n => far[dice.below(n as u64) as usize],
    }
}

fn middle(range: &Range) -> i32 {
    i32::from(range.middle().midi())
}

fn clamped(midi: i32, range: &Range) -> Pitch {
    let (low, high) = (i32::from(range.low.midi()), i32::from(range.high.midi()));
    Pitch::new(midi.clamp(low, high) as u8).unwrap_or(range.low)
}
