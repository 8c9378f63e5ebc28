//! The allowed path nearest to a given one that scores enough.
//!
//! Let every change cost a price. The best path under a price changes, of all paths that score as much or more, the
//! fewest layers; and its value bounds what can be had for any number of changes. So a few prices, each found from the
//! answers to two others, leave two paths next to each other on the upper hull of (changes, score): one scores too
//! little, the other enough. Between them the hull bounds the number of changes from below and the second path from
//! above. Mostly nothing is left between; else what is left is searched best first under the price where both are
//! best, and a beginning is given up as soon as the hull rules it out.

use std::cmp::Reverse;
use std::collections::BTreeSet;
use std::sync::Arc;

use crate::best::Scored;
use crate::dead_end::DeadEnd;
use crate::frontier::{Frontier, MOST_STEPS};
use crate::lattice::Lattice;
use crate::pass::At;
use crate::weight::NEVER;

/// A path near another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Nearest {
    /// One candidate per layer.
    pub path: Vec<u8>,
    /// Sum of the path's weights, in thousandths.
    pub score: i64,
    /// The layers in which it differs, ascending.
    pub changed: Vec<usize>,
}

/// How far and how long [`Lattice::nearest`] searches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NearestLimits {
    /// No more than so many layers may change; by default any number.
    pub most_changes: usize,
    /// Beginnings looked at where prices leave something open, at most: half a kilobyte and a few microseconds each.
    /// By default 2^18, some ten times what lattices of usual size and weights have been seen to need.
    pub most_steps: usize,
}

impl Default for NearestLimits {
    fn default() -> Self {
        Self {
            most_changes: usize::MAX,
            most_steps: 1 << 18,
        }
    }
}

/// Why there is no path near enough, or none is known.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotNear {
    /// What was given is no path: it has another length than the lattice, or an unknown candidate.
    #[error(
        "the path to stay near has {given} candidates, the largest {largest}; write one of 0 to {} for each of {layers} layers",
        .candidates - 1
    )]
    Reference {
        /// Number of candidates given.
        given: usize,
        /// The largest of them, 0 when there is none.
        largest: u8,
        /// Layers of the lattice.
        layers: usize,
        /// Candidates a layer.
        candidates: usize,
    },
    /// No path is allowed.
    #[error(transparent)]
    DeadEnd(#[from] DeadEnd),
    /// No path scores enough, however far away.
    #[error("no path scores {target}; the best scores {best}")]
    TooHigh {
        /// The score asked for.
        target: i64,
        /// The best score that there is.
        best: i64,
    },
    /// Paths score enough, but all of them need more changes than allowed.
    #[error("at least {at_least} layers must change to score enough; at most {most} may")]
    TooFar {
        /// Number of changes that are allowed.
        most: usize,
        /// Number of changes that are certainly needed; it may be that more are.
        at_least: usize,
    },
    /// The steps were spent before the nearest path was known.
    #[error(
        "the search ended before the nearest path was known; at least {at_least} layers must change. \
         Allow more steps, or pin more layers"
    )]
    StepsSpent {
        /// Number of changes that are certainly needed.
        at_least: usize,
        /// The nearest path found that scores enough, if one within the allowed changes was found.
        found: Option<Nearest>,
    },
}

impl Lattice {
    /// Among the allowed paths that score at least `target` the one that changes the fewest layers of `reference`;
    /// among those the one with the highest score, and then the first in the order of candidate indices.
    ///
    /// The reference itself need not be allowed; when it is and scores enough, it is the answer. Pin the layers that
    /// must not change at all: the fewer are free, the quicker the answer.
    ///
    /// A search as that of [`Lattice::best`] for each of a few prices, at most about as many as the logarithm of the
    /// number of changes; and where that does not settle it, all tables as for [`Lattice::k_best`] and a search over
    /// what the prices leave open, within the limit of steps.
    ///
    /// # Errors
    /// When no path is allowed, none scores enough, or all that do change more layers than allowed; when the steps are
    /// spent before the answer is known; or when the reference has not one existing candidate per layer.
    pub fn nearest(
        &self,
        reference: &[u8],
        target: i64,
        limits: NearestLimits,
    ) -> Result<Nearest, NotNear> {
        let most = limits.most_changes.min(self.len());
        let largest = reference.iter().copied().max().unwrap_or(0);
        if reference.len() != self.len() || usize::from(largest) >= self.candidates {
            return Err(NotNear::Reference {
                given: reference.len(),
                largest,
                layers: self.len(),
                candidates: self.candidates,
            });
        }
        let near = |found: &Point| Nearest {
            path: found.path.clone(),
            score: found.score,
            changed: changed(&found.path, reference),
        };
        let score = self.score(reference);
        if let Some(score) = score.filter(|&score| score >= target) {
            return Ok(near(&Point::new(reference.to_vec(), score, reference)));
        }
        let best = Point::of(self.best()?, reference);
        if best.score < target {
            return Err(NotNear::TooHigh {
                target,
                best: best.score,
            });
        }
        let mut bracket = Bracket {
            lattice: self,
            reference,
            target,
            below: score.map(|score| Point::new(reference.to_vec(), score, reference)),
            above: best,
            at_least: 1,
        };
        let price = bracket.narrow(most);
        if bracket.at_least > most {
            return Err(NotNear::TooFar {
                most,
                at_least: bracket.at_least,
            });
        }
        if bracket.above.changes == bracket.at_least {
            return Ok(near(&bracket.above));
        }
        let at_least = bracket.at_least;
        let steps = limits.most_steps.min(MOST_STEPS);
        match bracket.search(price, most, steps) {
            (found, false) => Err(NotNear::StepsSpent {
                at_least,
                found: found.as_ref().map(near),
            }),
            (Some(found), true) => Ok(near(&found)),
            (None, true) => Err(NotNear::TooFar {
                most,
                at_least: most + 1,
            }),
        }
    }

    /// The same lattice, in which every candidate that is not the reference's costs `price` more.
    fn priced(&self, reference: &[u8], price: i32) -> Self {
        let mut layers = self.layers.as_ref().clone();
        for (layer, &stay) in layers.iter_mut().zip(reference) {
            for (k, weight) in layer.notes.iter_mut().enumerate() {
                if k != usize::from(stay) && *weight != NEVER {
                    *weight -= price;
                }
            }
        }
        Self {
            layers: Arc::new(layers),
            ..self.clone()
        }
    }
}

/// The layers in which two paths differ.
fn changed(path: &[u8], reference: &[u8]) -> Vec<usize> {
    (0..path.len())
        .filter(|&t| path[t] != reference[t])
        .collect()
}

/// A path as a point on the plane of changes and scores.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Point {
    path: Vec<u8>,
    score: i64,
    changes: usize,
}

impl Point {
    fn new(path: Vec<u8>, score: i64, reference: &[u8]) -> Self {
        let changes = changed(&path, reference).len();
        Self {
            path,
            score,
            changes,
        }
    }

    fn of(found: Scored, reference: &[u8]) -> Self {
        Self::new(found.path, found.score, reference)
    }

    /// Score less the price of the changes.
    fn value(&self, price: i64) -> i64 {
        self.score - price * self.changes as i64
    }

    /// Whether this one is the nearer, better or earlier.
    fn precedes(&self, other: &Self) -> bool {
        let rank = |point: &Self| (point.changes, Reverse(point.score));
        rank(self)
            .cmp(&rank(other))
            .then_with(|| self.path.cmp(&other.path))
            .is_lt()
    }
}

/// What is known of the answer.
struct Bracket<'a> {
    lattice: &'a Lattice,
    reference: &'a [u8],
    target: i64,
    /// A path on the hull that scores too little.
    below: Option<Point>,
    /// A path on the hull that scores enough.
    above: Point,
    /// The answer changes at least so many layers.
    at_least: usize,
}

/// Largest price: it stays within 32 bits with any weight.
const MOST_PRICE: i64 = 1 << 30;

impl Bracket<'_> {
    /// Narrows the hull down to the edge that crosses the target, or until that decides; the last price.
    fn narrow(&mut self, most: usize) -> i64 {
        loop {
            let price = match &self.below {
                // So high that no path which scores enough is worth a change more than another.
                None => self
                    .above
                    .score
                    .saturating_sub(self.target)
                    .saturating_add(1),
                Some(below) => {
                    let rise = self.above.score - below.score;
                    rise / (self.above.changes - below.changes) as i64
                }
            };
            let price = price.clamp(1, MOST_PRICE);
            let found = self.best_under(price);
            // No path scores more than this value and the price of its changes.
            let missing = self.target.saturating_sub(found.value(price));
            if missing > 0 {
                let needed = (missing as u64).div_ceil(price as u64);
                self.at_least = self.at_least.max(needed as usize);
            }
            let known = [Some(&self.above), self.below.as_ref()];
            let is_edge = known
                .into_iter()
                .flatten()
                .any(|known| found.value(price) <= known.value(price));
            if found.score < self.target {
                let first = self.below.is_none();
                self.below = Some(found);
                if first {
                    continue;
                }
            } else if found.precedes(&self.above) {
                self.above = found;
            }
            if is_edge || self.at_least >= self.above.changes.min(most + 1) || self.below.is_none()
            {
                return price;
            }
        }
    }

    /// The best path when every change costs a price.
    fn best_under(&self, price: i64) -> Point {
        let priced = self.lattice.priced(self.reference, price as i32);
        let found = priced.best().expect("prices forbid nothing").path;
        let score = self.lattice.score(&found).expect("prices allow nothing");
        Point::new(found, score, self.reference)
    }

    /// Searches what the bracket leaves open, under a price: the nearest path found, and whether all was searched.
    fn search(self, price: i64, most: usize, most_steps: usize) -> (Option<Point>, bool) {
        let priced = self.lattice.priced(self.reference, price as i32);
        let mut frontier = Frontier::new(priced.look_ahead());
        let mut best = (self.above.changes <= most).then_some(self.above);
        // Changes of each beginning that was extended, and what has been extended.
        let mut changes = vec![0];
        let mut done: BTreeSet<(usize, At, usize)> = BTreeSet::new();
        let mut path = Vec::new();
        let mut steps = 0;
        while let Some(out) = frontier.pop() {
            // What a path may score that ends with so many changes.
            let with = |changes: usize| out.value + price * changes as i64;
            // Of paths that change and score the same, the first comes first.
            let (limit, closed) = match &best {
                Some(best) => (
                    best.changes,
                    with(best.changes) <= best.score && with(best.changes - 1) < self.target,
                ),
                None => (most, with(most) < self.target),
            };
            if closed {
                break;
            }
            if steps == most_steps {
                return (best, false);
            }
            steps += 1;
            frontier.path(out, &mut path);
            let t = path.len() - 1;
            let now = changes[out.from as usize] + usize::from(path[t] != self.reference[t]);
            let late = |best: &Point| now == limit && with(limit) <= best.score;
            if now > limit || best.as_ref().is_some_and(late) {
                continue;
            }
            if path.len() == self.lattice.len() {
                let found = Point::new(path.clone(), with(now), self.reference);
                let better = best.as_ref().is_none_or(|best| found.precedes(best));
                if found.score >= self.target && better {
                    best = Some(found);
                }
                continue;
            }
            let state = frontier.state(out);
            if done.insert((t, state.0, now)) {
                frontier.extend(out, state);
                changes.push(now);
            }
        }
        (best, true)
    }
}
