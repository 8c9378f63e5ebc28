//! Moves from one note to the next, whatever silence lies between.

use linewright_compose::Line;
use linewright_rulebook::plan::Beat;

use super::{Direction, Measure, Profile, Reached, Value};

pub(super) fn count(profile: &mut Profile, line: &Line) {
    let notes = line.plan.slots.iter().zip(&line.reading.notes);
    for ((from, low), (to, high)) in notes.clone().zip(notes.skip(1)) {
        let semitones = i32::from(high.pitch.midi()) - i32::from(low.pitch.midi());
        let beats = Measure::Intervals {
            from: from.beat + 1,
            to: to.beat + 1,
        };
        profile.count(beats, Value::Interval(semitones));
        profile.count(
            Measure::Directions,
            Value::Direction(Direction::of(semitones)),
        );
        if to.strength == Beat::Down {
            profile.count(Measure::IntoOne, Value::Reached(Reached::of(semitones)));
        }
    }
}
