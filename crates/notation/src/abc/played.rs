//! What of the form of a part players play as it is meant.

use crate::{BarLine, Measure, endings};

/// Whether players play the repeats and endings of a tune as they are meant. Where they do not,
/// write the measures out in the order in which they are played.
///
/// The standard has no sign for a repeat that is played more than twice, and ends an ending at
/// any double bar line; abc2midi 4.84, the player we test with, passes over segno, coda, fine,
/// D.C. and D.S.
pub fn is_played(measures: &[Measure]) -> bool {
    let plays = |measure: &Measure| {
        let counted = matches!(measure.right, BarLine::Repeat(times) if times != 2);
        measure.jump.is_none() && !counted
    };
    let goes_on = |measure: &Measure| measure.right == BarLine::Single;
    let mut closed = endings(measures).into_iter().filter(|ending| ending.closed);
    measures.iter().all(plays)
        && closed.all(|ending| measures[ending.first..ending.last].iter().all(goes_on))
}
