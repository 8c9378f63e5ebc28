//! Rests that fill a gap show the beats.

use super::metre::Metre;
use super::value::{SHORTEST, Value};
use crate::Ticks;

/// Splits a silence that begins at a place of the metre into rests.
pub(super) fn split(at: Ticks, ticks: Ticks, metre: &Metre, list: &mut Vec<(Ticks, Ticks)>) {
    let (mut at, end) = (at, at.saturating_add(ticks));
    while at < end {
        let beside = at.next_multiple_of(SHORTEST) - at;
        let ticks = if beside > 0 {
            beside.min(end - at)
        } else {
            fitting(at, end - at, metre)
        };
        list.push((at, ticks));
        at += ticks;
    }
}

/// The longest rest that may stand here: it does not run over a place that is as strong
/// as the one it begins on.
fn fitting(at: Ticks, most: Ticks, metre: &Metre) -> Ticks {
    let here = metre.strength(at);
    let mut left = most;
    while let Some(value) = Value::at_most(left) {
        let ticks = value.ticks();
        let dotted = !value.dotted || (metre.compound && here == 20);
        let hides = || {
            metre.hides_under_rest(at, ticks)
                || (1..ticks / SHORTEST).any(|step| metre.strength(at + step * SHORTEST) >= here)
        };
        if dotted && !hides() {
            return ticks;
        }
        left = ticks - 1;
    }
    most
}
