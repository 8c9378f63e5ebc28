//! One profile against another.

use std::cmp::Ordering;
use std::collections::BTreeSet;

use super::{Measure, Profile, Tally, Value, by_chance, jensen_shannon};

/// Two profiles, and where they differ.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// The one.
    pub here: Profile,
    /// The other.
    pub there: Profile,
    /// How far each measure lies apart, in the order of the measures.
    pub divergences: Vec<Divergence>,
    /// The values that differ most, the largest difference first.
    pub differences: Vec<Difference>,
}

/// How far one measure lies apart in two profiles.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Divergence {
    /// What was counted.
    pub measure: Measure,
    /// How many were counted here.
    pub here: u64,
    /// How many were counted there.
    pub there: u64,
    /// The divergence in bits; `None` where one of them has nothing to compare.
    pub bits: Option<f64>,
    /// What it would be by chance, see [`by_chance`].
    pub chance: Option<f64>,
}

/// A value whose share differs.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// What was counted.
    pub measure: Measure,
    /// Its value.
    pub value: Value,
    /// How often it came here, and among how many.
    pub here: (u64, u64),
    /// How often it came there, and among how many.
    pub there: (u64, u64),
}

impl Comparison {
    /// Compares two profiles.
    pub fn of(here: Profile, there: Profile) -> Self {
        let measures: BTreeSet<Measure> = here.measures().chain(there.measures()).collect();
        let empty = Tally::default();
        let tally = |profile: &Profile, measure| profile.tally(measure).unwrap_or(&empty).clone();
        let (mut divergences, mut differences) = (Vec::new(), Vec::new());
        for measure in measures {
            let (p, q) = (tally(&here, measure), tally(&there, measure));
            divergences.push(Divergence {
                measure,
                here: p.total(),
                there: q.total(),
                bits: jensen_shannon(&p, &q),
                chance: by_chance(&p, &q),
            });
            let values: BTreeSet<Value> = p.iter().chain(q.iter()).map(|(v, _)| v).collect();
            for value in values {
                let difference = Difference {
                    measure,
                    value,
                    here: (p.count(value), here.whole(measure)),
                    there: (q.count(value), there.whole(measure)),
                };
                if difference.tells() {
                    differences.push(difference);
                }
            }
        }
        // The sort keeps the order of equals.
        differences.sort_by(|one, other| other.size(one));
        Self {
            here,
            there,
            divergences,
            differences,
        }
    }
}

impl Difference {
    /// Whether it says something: at least three in a hundred apart, and more than twice as far
    /// as chance would put it (a test of two shares, of two rates for devices). Single notes of the range say
    /// nothing by themselves, and whatever is not the root only says that the root is missing.
    fn tells(&self) -> bool {
        let ((a, n), (b, m)) = (self.here, self.there);
        if n == 0 || m == 0 || matches!(self.value, Value::Pitch(_) | Value::IsRoot(false)) {
            return false;
        }
        let [a, b, n, m] = [a, b, n, m].map(|number| number as f64);
        let (apart, pooled) = (a / n - b / m, (a + b) / (n + m));
        let rest = match self.measure {
            Measure::Devices => 1.0,
            _ => 1.0 - pooled,
        };
        let by_chance = pooled * rest * (1.0 / n + 1.0 / m);
        apart * apart >= 0.03 * 0.03 && apart * apart > 4.0 * by_chance
    }

    /// How its size stands to another one's: exactly, by whole numbers.
    fn size(&self, other: &Self) -> Ordering {
        let apart = |difference: &Self| {
            let ((a, n), (b, m)) = (difference.here, difference.there);
            let [a, n, b, m] = [a, n, b, m].map(u128::from);
            ((a * m).abs_diff(b * n), n * m)
        };
        let ((size, whole), (other_size, other_whole)) = (apart(self), apart(other));
        // Of more notes than any file holds the products would run over; then they are equal.
        let cross = size.checked_mul(other_whole);
        cross.cmp(&other_size.checked_mul(whole))
    }
}
