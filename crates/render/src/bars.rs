//! Looking up what a reading says of a bar.

use linewright_compose::Line;
use linewright_rulebook::BarReading;
use linewright_rulebook::plan::Cadence;

/// What a reading says of bar `bar` of the timeline; `None` where it has no notes.
pub(crate) fn bar_reading(line: &Line, bar: usize) -> Option<&BarReading> {
    let bars = &line.reading.bars;
    let found = bars
        .binary_search_by_key(&bar, |reading| reading.bar)
        .ok()?;
    bars.get(found)
}

/// The cadence that a bar was to make, and whether it does.
pub(crate) fn cadence(line: &Line, bar: usize) -> Option<(Cadence, bool)> {
    let planned = line.plan.bars[bar].cadence?;
    let kept = bar_reading(line, bar).is_some_and(|reading| reading.cadence.is_some());
    Some((planned, kept))
}
