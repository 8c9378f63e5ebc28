//! How often each value came.

use std::collections::BTreeMap;

/// Counts of values, in the order of the values.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tally<K> {
    counts: BTreeMap<K, u64>,
    total: u64,
}

impl<K> Default for Tally<K> {
    fn default() -> Self {
        Self {
            counts: BTreeMap::new(),
            total: 0,
        }
    }
}

impl<K: Ord + Copy> Tally<K> {
    /// Counts a value once.
    pub fn add(&mut self, value: K) {
        self.add_times(value, 1);
    }

    /// Counts a value so many times.
    pub fn add_times(&mut self, value: K, times: u64) {
        if times > 0 {
            *self.counts.entry(value).or_default() += times;
            self.total += times;
        }
    }

    /// Adds what another tally has counted.
    pub fn join(&mut self, other: &Self) {
        for (value, times) in other.iter() {
            self.add_times(value, times);
        }
    }

    /// How often a value came.
    pub fn count(&self, value: K) -> u64 {
        self.counts.get(&value).copied().unwrap_or(0)
    }

    /// How many were counted in all.
    pub fn total(&self) -> u64 {
        self.total
    }

    /// Every value that came, with how often, in the order of the values.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (K, u64)> + '_ {
        self.counts.iter().map(|(value, times)| (*value, *times))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_counted_apart_is_counted_together() {
        let (mut one, mut other) = (Tally::default(), Tally::default());
        for value in [3, 1, 3] {
            one.add(value);
        }
        other.add_times(1, 4);
        other.add_times(9, 0);
        one.join(&other);
        assert_eq!(one.iter().collect::<Vec<_>>(), [(1, 5), (3, 2)]);
        assert_eq!((one.total(), one.count(3), one.count(9)), (7, 2, 0));
    }
}
