//! Lines in shares: which degrees on which beats, which moves, where they cadence and lie.
//!
//! A profile holds whole counts only, so lines can be counted apart and [joined](Profile::join)
//! in any order. Two profiles can be [compared](Comparison).

mod cadences;
mod compare;
mod devices;
mod divergence;
mod measure;
mod moves;
mod notes;
mod profiled;
mod range;
mod tally;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use linewright_compose::Line;

pub use compare::{Comparison, Difference, Divergence};
pub use devices::is_device;
pub use divergence::{by_chance, jensen_shannon};
pub use measure::{Direction, Measure, Reached, Value};
pub use profiled::{Compared, Counted, Profiled};
pub use range::PERCENTILES;
pub use tally::Tally;

/// What some lines are like.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Profile {
    lines: u64,
    bars: u64,
    tallies: BTreeMap<Measure, Tally<Value>>,
}

impl Profile {
    /// The profile of one line.
    pub fn of(line: &Line) -> Self {
        let mut profile = Self {
            lines: 1,
            bars: line.reading.bars.len() as u64,
            ..Self::default()
        };
        notes::count(&mut profile, line);
        moves::count(&mut profile, line);
        cadences::count(&mut profile, line);
        devices::count(&mut profile, line);
        profile
    }

    /// Adds what was counted in other lines.
    pub fn join(&mut self, other: &Self) {
        self.lines += other.lines;
        self.bars += other.bars;
        for (measure, tally) in &other.tallies {
            self.tallies.entry(*measure).or_default().join(tally);
        }
    }

    /// How many lines were counted.
    pub fn lines(&self) -> u64 {
        self.lines
    }

    /// How many bars with notes they have.
    pub fn bars(&self) -> u64 {
        self.bars
    }

    /// How many notes they have.
    pub fn notes(&self) -> u64 {
        self.tally(Measure::Members).map_or(0, Tally::total)
    }

    /// What was counted, in order.
    pub fn measures(&self) -> impl Iterator<Item = Measure> + '_ {
        self.tallies.keys().copied()
    }

    /// The counts of one measure; `None` where nothing was counted.
    pub fn tally(&self, measure: Measure) -> Option<&Tally<Value>> {
        self.tallies.get(&measure)
    }

    /// How often a measure takes a value.
    pub fn times(&self, measure: Measure, value: Value) -> u64 {
        self.tally(measure).map_or(0, |tally| tally.count(value))
    }

    /// What the counts of a measure are told as shares of: all that were counted; the bars for
    /// devices.
    pub fn whole(&self, measure: Measure) -> u64 {
        match measure {
            Measure::Devices => self.bars,
            _ => self.tally(measure).map_or(0, Tally::total),
        }
    }

    fn count(&mut self, measure: Measure, value: Value) {
        self.tallies.entry(measure).or_default().add(value);
    }
}
