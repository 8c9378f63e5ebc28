//! Single notes: their degrees by beat, what they are to their chords, and where they lie.

use linewright_compose::Line;
use linewright_rulebook::plan::Beat;
use linewright_theory::Member;

use super::{Measure, Profile, Value};

pub(super) fn count(profile: &mut Profile, line: &Line) {
    for (slot, note) in line.plan.slots.iter().zip(&line.reading.notes) {
        let beat = slot.beat + 1;
        profile.count(Measure::Degrees { beat }, Value::Degree(note.degree));
        profile.count(Measure::Members, Value::Member(note.member));
        profile.count(Measure::Pitches, Value::Pitch(note.pitch));
        if slot.strength == Beat::Down {
            let measure = if slot.chord_starts {
                Measure::RootWhereNew
            } else {
                Measure::RootWhereHeld
            };
            profile.count(measure, Value::IsRoot(note.member == Member::Root));
        }
    }
}
