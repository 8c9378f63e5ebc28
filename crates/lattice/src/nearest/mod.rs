//! The allowed path nearest to a given one that scores enough.
//!
//! Let every change cost a price. The best path under a price changes, of all paths that score as much or more, the
//! fewest layers; and its value bounds what can be had for any number of changes. So a few prices, each found from the
//! answers to two others, leave two paths next to each other on the upper hull of (changes, score): one scores too
//! little, the other enough. Between them the hull bounds the number of changes from below and the second path from
//! above. Mostly nothing is left between; else what is left is searched best first under the price where both are
//! best, and a beginning is given up as soon as the hull rules it out.

mod hull;
mod search;

use std::cmp::Reverse;
use std::collections::BTreeMap;
use std::sync::Arc;

pub use search::Truth;

use crate::ahead::Ahead;
use crate::dead_end::DeadEnd;
use crate::frontier::MOST_STEPS;
use crate::lattice::Lattice;
use crate::memory::Watched;

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

/// What the changes are that a path needs which scores enough.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bounds {
    /// So many are certainly needed.
    pub at_least: usize,
    /// A path that scores enough, if one was found within the allowed changes.
    pub found: Option<Nearest>,
}

/// Searches near one path, each of which learns from those before it.
pub struct Near {
    lattice: Lattice,
    reference: Vec<u8>,
    /// The reference's own score, if it is allowed.
    score: Option<i64>,
    /// What the searches before had to watch.
    watched: Watched,
    /// The price under which the last answer stood.
    price: i64,
    /// The best path under each price that was tried; 0 for the best of all.
    hull: BTreeMap<i64, Point>,
    /// The lattice as it was solved last: under a price, with what was watched.
    solved: Option<(i64, Watched, Arc<dyn Ahead>)>,
}

impl Lattice {
    /// Searches near a path, which need not be allowed itself.
    ///
    /// # Errors
    /// When the reference has not one existing candidate per layer, or no path is allowed.
    pub fn near(&self, reference: &[u8]) -> Result<Near, NotNear> {
        let largest = reference.iter().copied().max().unwrap_or(0);
        if reference.len() != self.len() || usize::from(largest) >= self.candidates {
            return Err(NotNear::Reference {
                given: reference.len(),
                largest,
                layers: self.len(),
                candidates: self.candidates,
            });
        }
        Ok(Near {
            lattice: self.clone(),
            reference: reference.to_vec(),
            score: self.score(reference),
            watched: Watched::few(self),
            price: 1,
            hull: BTreeMap::new(),
            solved: None,
        })
    }

    /// Among the allowed paths that score at least `target` the one that changes the fewest layers of `reference`:
    /// [`Near::reaching`] for a single target.
    ///
    /// # Errors
    /// As [`Lattice::near`] and [`Near::reaching`].
    pub fn nearest(
        &self,
        reference: &[u8],
        target: i64,
        limits: NearestLimits,
    ) -> Result<Nearest, NotNear> {
        self.near(reference)?.reaching(target, limits)
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
    /// Score less the price of the changes.
    fn value(&self, price: i64) -> i64 {
        self.score - price * self.changes as i64
    }

    /// How many layers a path that scores so much changes at least, where this one is the best under a price: none
    /// scores more than its value and the price of its own changes.
    fn needed(&self, price: i64, target: i64) -> usize {
        let missing = target.saturating_sub(self.value(price)).max(0);
        (missing as u64).div_ceil(price as u64) as usize
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

/// Largest price: it stays within 32 bits with any weight.
const MOST_PRICE: i64 = 1 << 30;

impl Near {
    /// Among the allowed paths that score at least `target` the one that changes the fewest layers of the reference;
    /// among those the one with the highest score, and then the first in the order of candidate indices.
    ///
    /// The reference itself need not be allowed; when it is and scores enough, it is the answer. Pin the layers that
    /// must not change at all: the fewer are free, the quicker the answer.
    ///
    /// A search as that of [`Lattice::best`] for each of a few prices, at most about as many as the logarithm of the
    /// number of changes; and where that does not settle it, all tables as for [`Lattice::k_best`] and a search over
    /// what the prices leave open, within the limit of steps. Prices that were tried before are not tried again.
    ///
    /// # Errors
    /// When no path is allowed, none scores enough, or all that do change more layers than allowed (which may be said
    /// of none, too, after searches before); or when the steps are spent before the answer is known.
    pub fn reaching(&mut self, target: i64, limits: NearestLimits) -> Result<Nearest, NotNear> {
        let most = limits.most_changes.min(self.lattice.len());
        if let Some(reference) = self.reference_will_do(target) {
            return Ok(reference);
        }
        let bracket = self.narrowed(target, most, 0)?;
        let at_least = bracket.at_least;
        if bracket.above.changes == at_least {
            return Ok(self.told(&bracket.above));
        }
        let steps = limits.most_steps.min(MOST_STEPS);
        match self.search(bracket, self.price, most, steps) {
            (found, false) => Err(NotNear::StepsSpent {
                at_least,
                found: found.map(|found| self.told(&found)),
            }),
            (Some(found), true) => Ok(self.told(&found)),
            (None, true) => Err(NotNear::TooFar {
                most,
                at_least: most + 1,
            }),
        }
    }

    /// How many layers a path changes at least that scores at least `target`, and one that does and changes at most
    /// `apart` more, as far as prices tell: where they leave more than that between the two, so it is.
    ///
    /// A search as that of [`Lattice::best`] for each of a few prices, the fewer the further the bounds may be apart.
    ///
    /// # Errors
    /// As [`Near::reaching`], but for spent steps.
    pub fn bounds(
        &mut self,
        target: i64,
        most_changes: usize,
        apart: usize,
    ) -> Result<Bounds, NotNear> {
        let most = most_changes.min(self.lattice.len());
        if let Some(reference) = self.reference_will_do(target) {
            let (at_least, found) = (0, Some(reference));
            return Ok(Bounds { at_least, found });
        }
        let bracket = self.narrowed(target, most, apart)?;
        let found = (bracket.above.changes <= most).then(|| self.told(&bracket.above));
        Ok(Bounds {
            at_least: bracket.at_least,
            found,
        })
    }

    /// How many layers a path that scores at least `target` changes at least, as far as a search under one price of
    /// a change tells, and those before it. Where the price is what the last of the changes brings, the answer is
    /// about exact; else it is less.
    ///
    /// One search as that of [`Lattice::best`], where this price was not tried before.
    ///
    /// # Errors
    /// When no path is allowed.
    pub fn at_least_under(&mut self, target: i64, price: i64) -> Result<usize, NotNear> {
        self.best_under(price.clamp(1, MOST_PRICE))?;
        Ok(self.at_least(target))
    }

    /// The price of a change at which the last answer stands: about what the last of its changes brings. 1 before
    /// there is any.
    pub fn price(&self) -> i64 {
        self.price
    }

    /// The reference, where it is allowed and scores enough.
    fn reference_will_do(&self, target: i64) -> Option<Nearest> {
        let score = self.score.filter(|&score| score >= target)?;
        Some(self.told(&self.point(self.reference.clone(), score)))
    }

    fn told(&self, found: &Point) -> Nearest {
        Nearest {
            path: found.path.clone(),
            score: found.score,
            changed: changed(&found.path, &self.reference),
        }
    }

    fn point(&self, path: Vec<u8>, score: i64) -> Point {
        let changes = changed(&path, &self.reference).len();
        Point {
            path,
            score,
            changes,
        }
    }
}
