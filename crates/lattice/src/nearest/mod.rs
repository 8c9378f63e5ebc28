//! The allowed path nearest to a given one that scores enough.
//!
//! A constrained shortest path: the fewest changes subject to a score. It is solved by Lagrangian relaxation and branch
//! and bound, as G. Handler and I. Zang do in "A dual algorithm for the constrained shortest path problem", Networks 10
//! (1980; from memory).
//!
//! Let every change cost a Lagrange multiplier. The best path under a multiplier changes, of all paths that score as much
//! or more, the fewest layers; and its value bounds what can be had for any number of changes. So a few multipliers,
//! each found from the answers to two others (parametric search), leave two paths next to each other on the upper hull
//! of the points (changes, score): one scores too little, the other enough. Between them the hull bounds the number of
//! changes from below and the second path from above. Mostly nothing is left between, and there is no duality gap; else
//! it is closed by branch and bound under the multiplier for which both paths are best.

mod branch_and_bound;
mod parametric;

use std::cmp::Reverse;
use std::collections::BTreeMap;
use std::sync::Arc;

pub use branch_and_bound::PenaltyOracle;

use crate::active::ActiveFactors;
use crate::completion::CompletionBounds;
use crate::dead_end::DeadEnd;
use crate::frontier::MAX_EXPANSIONS;
use crate::lattice::Lattice;

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
    /// Prefixes looked at where relaxation leaves something open, at most: half a kilobyte and a few microseconds each.
    /// By default 2^18, some ten times what lattices of usual size and weights have been seen to need.
    pub max_expansions: usize,
}

impl Default for NearestLimits {
    fn default() -> Self {
        Self {
            most_changes: usize::MAX,
            max_expansions: 1 << 18,
        }
    }
}

/// Why there is no path near enough, or none is known.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NearestError {
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
    /// The limit of expansions was reached before the nearest path was known.
    #[error(
        "the search ended before the nearest path was known; at least {at_least} layers must change. \
         Allow more expansions, or pin more layers"
    )]
    ExpansionLimit {
        /// Number of changes that are certainly needed.
        at_least: usize,
        /// The nearest path found that scores enough, if one within the allowed changes was found.
        found: Option<Nearest>,
    },
}

/// How many changes a path needs that scores enough.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bounds {
    /// So many are certainly needed.
    pub at_least: usize,
    /// A path that scores enough, if one was found within the allowed changes.
    pub found: Option<Nearest>,
}

/// The Lagrangian relaxation of searches near one path. Each search uses what those before it found.
pub struct Relaxation {
    lattice: Lattice,
    reference: Vec<u8>,
    /// The reference's own score, if it is allowed.
    score: Option<i64>,
    /// The factors that the searches before had to make active.
    active: ActiveFactors,
    /// The multiplier under which the last answer stood.
    multiplier: i64,
    /// The best path under each multiplier that was tried; 0 for the best of all. These are points of the hull.
    solutions: BTreeMap<i64, Point>,
    /// The latest completion bounds: under a multiplier, by the factors that were active.
    bounds: Option<(i64, ActiveFactors, Arc<dyn CompletionBounds>)>,
}

impl Lattice {
    /// Prepares searches near a path, which need not be allowed itself. Linear in the number of layers.
    ///
    /// # Errors
    /// When the reference has not one existing candidate per layer.
    pub fn relaxation(&self, reference: &[u8]) -> Result<Relaxation, NearestError> {
        let largest = reference.iter().copied().max().unwrap_or(0);
        if reference.len() != self.len() || usize::from(largest) >= self.candidates {
            return Err(NearestError::Reference {
                given: reference.len(),
                largest,
                layers: self.len(),
                candidates: self.candidates,
            });
        }
        Ok(Relaxation {
            lattice: self.clone(),
            reference: reference.to_vec(),
            score: self.score(reference),
            active: ActiveFactors::few(self),
            multiplier: 1,
            solutions: BTreeMap::new(),
            bounds: None,
        })
    }

    /// Among the allowed paths that score at least `target` the one that changes the fewest layers of `reference`:
    /// [`Relaxation::nearest`] for a single target, where the complexity is told.
    ///
    /// # Errors
    /// As [`Lattice::relaxation`] and [`Relaxation::nearest`].
    pub fn nearest(
        &self,
        reference: &[u8],
        target: i64,
        limits: NearestLimits,
    ) -> Result<Nearest, NearestError> {
        self.relaxation(reference)?.nearest(target, limits)
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
    /// The Lagrangian: the score less what the changes cost.
    fn value(&self, multiplier: i64) -> i64 {
        self.score - multiplier * self.changes as i64
    }

    /// How many layers a path that scores so much changes at least, where this one is the best under a multiplier: none
    /// scores more than its value and what its own changes cost.
    fn needed(&self, multiplier: i64, target: i64) -> usize {
        let missing = target.saturating_sub(self.value(multiplier)).max(0);
        (missing as u64).div_ceil(multiplier as u64) as usize
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

/// Largest multiplier: it stays within 32 bits with any weight.
const MAX_MULTIPLIER: i64 = 1 << 30;

impl Relaxation {
    /// Among the allowed paths that score at least `target` the one that changes the fewest layers of the reference;
    /// among those the one with the highest score, and then the first in the order of candidate indices.
    ///
    /// The reference itself need not be allowed; when it is and scores enough, it is the answer. Pin the layers that
    /// must not change at all: the fewer are free, the quicker the answer.
    ///
    /// A search as that of [`Lattice::best`] for each of a few multipliers, at most about as many as the logarithm of the
    /// number of changes; and where that does not settle it, all tables as for [`Lattice::k_best`] and a search over
    /// what the multipliers leave open, within the limit of expansions. Multipliers that were tried before are not
    /// tried again.
    ///
    /// # Errors
    /// When no path is allowed, none scores enough, or all that do change more layers than allowed (which may be said
    /// of none, too, after searches before); or when the limit of expansions is reached before the answer is known.
    pub fn nearest(&mut self, target: i64, limits: NearestLimits) -> Result<Nearest, NearestError> {
        let most = limits.most_changes.min(self.lattice.len());
        if let Some(reference) = self.reference_if_enough(target) {
            return Ok(reference);
        }
        let bracket = self.narrowed(target, most, 0)?;
        let at_least = bracket.at_least;
        if bracket.above.changes == at_least {
            return Ok(self.answer(&bracket.above));
        }
        let expansions = limits.max_expansions.min(MAX_EXPANSIONS);
        match self.search(bracket, self.multiplier, most, expansions) {
            (found, false) => Err(NearestError::ExpansionLimit {
                at_least,
                found: found.map(|found| self.answer(&found)),
            }),
            (Some(found), true) => Ok(self.answer(&found)),
            (None, true) => Err(NearestError::TooFar {
                most,
                at_least: most + 1,
            }),
        }
    }

    /// Bounds of the number of changes: how many layers a path changes at least that scores at least `target`, and a path
    /// that does and changes at most `apart` more. Where there is a duality gap, the two may be further apart.
    ///
    /// A search as that of [`Lattice::best`] for each of a few multipliers, the fewer the further the bounds may be apart.
    ///
    /// # Errors
    /// As [`Relaxation::nearest`], but for the limit of expansions.
    pub fn bounds(
        &mut self,
        target: i64,
        most_changes: usize,
        apart: usize,
    ) -> Result<Bounds, NearestError> {
        let most = most_changes.min(self.lattice.len());
        if let Some(reference) = self.reference_if_enough(target) {
            let (at_least, found) = (0, Some(reference));
            return Ok(Bounds { at_least, found });
        }
        let bracket = self.narrowed(target, most, apart)?;
        let found = (bracket.above.changes <= most).then(|| self.answer(&bracket.above));
        Ok(Bounds {
            at_least: bracket.at_least,
            found,
        })
    }

    /// A lower bound of the number of layers that a path changes which scores at least `target`: the dual bound of one
    /// multiplier, and of those tried before. The nearer the multiplier is to what the last of the changes brings, the
    /// tighter.
    ///
    /// One search as that of [`Lattice::best`], where this multiplier was not tried before.
    ///
    /// # Errors
    /// When no path is allowed.
    pub fn lower_bound_at(&mut self, target: i64, multiplier: i64) -> Result<usize, NearestError> {
        self.best_at(multiplier.clamp(1, MAX_MULTIPLIER))?;
        Ok(self.at_least(target))
    }

    /// The multiplier at which the last answer was found: about what the last of its changes brings. 1 before
    /// there is any.
    pub fn multiplier(&self) -> i64 {
        self.multiplier
    }

    /// The reference, where it is allowed and scores enough.
    fn reference_if_enough(&self, target: i64) -> Option<Nearest> {
        let score = self.score.filter(|&score| score >= target)?;
        Some(self.answer(&self.point(self.reference.clone(), score)))
    }

    fn answer(&self, found: &Point) -> Nearest {
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
