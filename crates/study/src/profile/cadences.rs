//! Bars by the way in which they cadence.

use linewright_compose::Line;

use super::{Measure, Profile, Value};
use crate::explain::landings;

/// Counts each bar that has notes once: by its strongest cadence, and by the first in the order
/// of the kinds where two are equally strong.
pub(super) fn count(profile: &mut Profile, line: &Line) {
    let landings = landings(line);
    for bar in &line.reading.bars {
        let here = landings.iter().filter(|landing| landing.bar == bar.bar);
        // The first of equals.
        let strongest = here.rev().max_by_key(|landing| landing.strength);
        let cadence = strongest.map(|landing| landing.kind);
        profile.count(Measure::Cadences, Value::Cadence(cadence));
    }
}
