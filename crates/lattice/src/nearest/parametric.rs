//! Parametric search over the Lagrange multiplier: the upper hull of the points (changes, score), as far as the
//! multipliers that were tried have shown it.
//!
//! The next multiplier is the slope between the two points that enclose the answer, as M. Eisner and D. Severance uncover
//! the breakpoints of a parametric problem in "Mathematical techniques for efficient record segmentation in large shared
//! databases", Journal of the ACM 23 (1976; from memory).

use super::{MAX_MULTIPLIER, NearestError, Point, Relaxation};
use crate::dead_end::DeadEnd;
use crate::lattice::Lattice;
use crate::weight::NEVER;

/// What is known of the answer.
pub(super) struct Bracket {
    pub(super) target: i64,
    /// A path that scores too little: one on the hull, or else the reference.
    below: Option<Point>,
    /// A path on the hull that scores enough.
    pub(super) above: Point,
    /// A multiplier under which that is the best.
    multiplier: i64,
    /// The answer changes at least so many layers.
    pub(super) at_least: usize,
}

impl Bracket {
    /// The slope of the line from one path to the other: under it as a multiplier both are worth the same.
    fn slope(&self) -> i64 {
        let above = &self.above;
        let slope = match &self.below {
            // So high that no path which scores enough is worth a change more than another.
            None => above.score.saturating_sub(self.target).saturating_add(1),
            Some(below) => (above.score - below.score) / (above.changes - below.changes) as i64,
        };
        slope.clamp(1, MAX_MULTIPLIER)
    }

    /// Whether its ends are no further apart, and what is left between them is soon searched.
    fn is_narrow(&self, most: usize, apart: usize) -> bool {
        let (multiplier, best) = (self.multiplier, &self.above);
        let enough = best.changes.min(most + 1);
        // How much more than the target a path between them could score.
        let room = || best.value(multiplier) + multiplier * (enough as i64 - 1) - self.target;
        self.at_least >= enough || (self.at_least + apart >= enough && room() < multiplier / 2)
    }
}

/// A multiplier higher or lower by a twentieth, compounded so many times: slopes of the hull are often not far apart.
fn moved(mut multiplier: i64, times: usize, up: bool) -> i64 {
    for _ in 0..times.min(64) {
        let by = (multiplier / 20).max(1);
        multiplier += if up { by } else { -by };
    }
    multiplier.clamp(0, MAX_MULTIPLIER)
}

impl Relaxation {
    /// How many layers a path that scores so much changes at least, by the multipliers that were tried.
    pub(super) fn at_least(&self, target: i64) -> usize {
        let needed = self
            .solutions
            .iter()
            .filter(|(multiplier, _)| **multiplier > 0);
        let needed = needed.map(|(&multiplier, best)| best.needed(multiplier, target));
        let reference_if_enough = self.score.is_some_and(|score| score >= target);
        needed
            .max()
            .unwrap_or(0)
            .max(usize::from(!reference_if_enough))
    }

    /// The multiplier, of those that were tried, whose dual bound is tightest on the score of a path with so many changes;
    /// or one about as good whose completion bounds are at hand.
    pub(super) fn tightest_multiplier(&self, target: i64, changes: usize) -> i64 {
        let room = |multiplier: i64, best: &Point| {
            best.value(multiplier) + multiplier * changes as i64 - target
        };
        let tried = self
            .solutions
            .iter()
            .filter(|(multiplier, _)| **multiplier > 0);
        let rooms = tried.map(|(&multiplier, best)| (room(multiplier, best), multiplier));
        let Some((least, closest)) = rooms.min() else {
            return 1;
        };
        let solved = self.bounds.as_ref().map(|(multiplier, ..)| *multiplier);
        let solved =
            solved.and_then(|multiplier| Some((multiplier, self.solutions.get(&multiplier)?)));
        let as_good =
            solved.filter(|(multiplier, best)| room(*multiplier, best) <= least + multiplier / 8);
        as_good.map_or(closest, |(multiplier, _)| multiplier)
    }

    /// The hull narrowed down to the edge that crosses the target, or until its ends are no further apart; the last
    /// multiplier is then that of the answer.
    pub(super) fn narrowed(
        &mut self,
        target: i64,
        most: usize,
        apart: usize,
    ) -> Result<Bracket, NearestError> {
        let at_least = self.at_least(target);
        if at_least > most && !self.solutions.is_empty() {
            return Err(NearestError::TooFar { most, at_least });
        }
        let mut bracket = self.bracket(target, at_least)?;
        self.multiplier = self.narrow(&mut bracket, most, apart);
        let at_least = bracket.at_least;
        if at_least > most {
            return Err(NearestError::TooFar { most, at_least });
        }
        Ok(bracket)
    }

    /// The edge of the hull that crosses the target, as far as the multipliers that were tried show it.
    fn bracket(&mut self, target: i64, at_least: usize) -> Result<Bracket, NearestError> {
        let enough = |known: &Point| known.score >= target;
        let above = self.solutions.iter().filter(|(_, known)| enough(known));
        let nearer = |one, other| match other {
            (_, other_path) if Point::precedes(other_path, &self.solutions[one]) => other,
            _ => (one, &self.solutions[one]),
        };
        let above = above.reduce(|(one, _), other| nearer(one, other));
        let mut above = above.map(|(&multiplier, known)| (multiplier, known.clone()));
        // Else lower multipliers, the lower the more is missing, until one is low enough: paths far from the reference take
        // longer to find.
        let lowest = self.solutions.first_key_value();
        let mut lowest = lowest.map(|(&multiplier, best)| (multiplier, best.clone()));
        let mut times = 1;
        while let Some((multiplier, best)) =
            lowest.filter(|(multiplier, _)| *multiplier > 0 && above.is_none())
        {
            let missing = best.needed(multiplier, target) - best.changes;
            let multiplier = moved(multiplier, times * missing, false);
            let found = self.best_at(multiplier)?;
            above = enough(&found).then(|| (multiplier, found.clone()));
            lowest = Some((multiplier, found));
            times *= 2;
        }
        let (multiplier, above) = match above {
            Some(above) => above,
            None => (0, self.best_at(0)?),
        };
        if above.score < target {
            return Err(NearestError::TooHigh {
                target,
                best: above.score,
            });
        }
        let reference = self
            .score
            .map(|score| self.point(self.reference.clone(), score));
        let below = self.solutions.values().filter(|known| !enough(known));
        let below = below.max_by_key(|known| known.score).cloned();
        Ok(Bracket {
            target,
            below: below.or(reference),
            above,
            multiplier,
            at_least,
        })
    }

    /// Narrows a bracket; gives the last multiplier.
    fn narrow(&mut self, bracket: &mut Bracket, most: usize, apart: usize) -> i64 {
        let target = bracket.target;
        let mut multiplier = bracket.multiplier;
        let mut times = 1;
        while !bracket.is_narrow(most, apart) {
            let is_first = bracket.below.is_none();
            // The line from the reference, which is seldom on the hull, leads too far at first.
            let from_reference = bracket
                .below
                .as_ref()
                .is_some_and(|below| below.changes == 0);
            let slope = bracket.slope();
            let much = (bracket.above.score - target) / bracket.multiplier.max(1);
            let much = usize::try_from(much).unwrap_or(0).max(1);
            let near = moved(bracket.multiplier, times * much + 1, true);
            let is_near = from_reference
                && bracket.multiplier > 0
                && near < slope
                && !self.solutions.contains_key(&near);
            multiplier = if is_near { near } else { slope };
            times *= 2;
            let found = self.best_at(multiplier).expect("some path is allowed");
            let is_no_better = |known: &Point| found.value(multiplier) <= known.value(multiplier);
            let below = bracket.below.as_ref();
            let is_edge = is_no_better(&bracket.above) || below.is_some_and(is_no_better);
            bracket.at_least = bracket.at_least.max(found.needed(multiplier, target));
            if found.score < target {
                bracket.below = Some(found);
            } else if found.precedes(&bracket.above) {
                bracket.above = found;
                bracket.multiplier = multiplier;
            }
            let is_edge = is_edge && !is_near && !is_first;
            if is_edge || bracket.below.is_none() {
                break;
            }
        }
        multiplier
    }

    /// The relaxed problem: the lattice in which every change costs the multiplier.
    pub(super) fn relaxed(&self, multiplier: i64) -> Lattice {
        self.lattice.with_layers(|layers| {
            for (layer, &stay) in layers.iter_mut().zip(&self.reference) {
                for (k, weight) in layer.unary.iter_mut().enumerate() {
                    if k != usize::from(stay) && *weight != NEVER {
                        *weight -= multiplier as i32;
                    }
                }
            }
        })
    }

    /// The best path of the relaxed problem.
    pub(super) fn best_at(&mut self, multiplier: i64) -> Result<Point, DeadEnd> {
        if let Some(known) = self.solutions.get(&multiplier) {
            return Ok(known.clone());
        }
        // Makes room.
        self.bounds = None;
        let relaxed = self.relaxed(multiplier);
        let (found, bounds) = relaxed.best_and_bounds(&mut self.active);
        let Some(found) = found else {
            return Err(self.lattice.dead_end());
        };
        self.bounds = bounds.map(|bounds| (multiplier, self.active.clone(), bounds));
        let score = self.lattice.score(&found.path);
        let score = score.expect("multipliers allow nothing that is forbidden");
        let found = self.point(found.path, score);
        self.solutions.insert(multiplier, found.clone());
        Ok(found)
    }
}
