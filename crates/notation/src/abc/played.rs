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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Jump, Until};

    #[test]
    fn repeats_that_are_played_twice_and_endings_are_played_and_the_rest_is_not() {
        let plays = |change: fn(&mut [Measure])| {
            let mut measures = vec![Measure::new(1); 5];
            (measures[1].ending, measures[3].ending) = (vec![1], vec![2]);
            measures[2].right = BarLine::Repeat(2);
            change(&mut measures);
            is_played(&measures)
        };
        assert!(plays(|_| {}));
        assert!(plays(|m| m[3].right = BarLine::Double));
        assert!(!plays(|m| m[1].right = BarLine::Double));
        assert!(!plays(|m| m[0].right = BarLine::Repeat(3)));
        assert!(!plays(|m| {
            m[4].jump = Some(Jump {
                to_segno: false,
                until: Until::End,
            });
        }));
    }
}
