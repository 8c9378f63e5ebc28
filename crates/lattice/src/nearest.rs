//! The allowed path nearest to a given one that scores enough.
//!
//! Let every change cost a price. The best path under a price changes, of all paths that score as much or more, the
//! fewest layers; and its value bounds what can be had for any number of changes. So a few prices, each found from the
//! answers to two others, leave two paths next to each other on the upper hull of (changes, score): one scores too
//! little, the other enough. Between them the hull bounds the number of changes from below and the second path from
//! above. Mostly nothing is left between; else what is left is searched best first under the price where both are
//! best, and a beginning is given up as soon as the hull rules it out.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::ahead::Ahead;
use crate::best::Sought;
use crate::dead_end::DeadEnd;
use crate::frontier::{Frontier, MOST_STEPS};
use crate::lattice::Lattice;
use crate::memory::Watched;
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

/// Searches near one path, each of which learns from those before it.
pub struct Near {
    lattice: Lattice,
    reference: Vec<u8>,
    /// The reference's own score, if it is allowed.
    score: Option<i64>,
    /// What the searches before had to watch.
    watched: Watched,
    /// The price under which the last search stood.
    price: i64,
    /// The best path under each price that was tried; 0 for the best of all.
    hull: BTreeMap<i64, Point>,
    /// The lattice solved under a price, with what was watched.
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

/// What is known of the answer.
struct Bracket {
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
        if let Some(score) = self.score.filter(|&score| score >= target) {
            return Ok(self.told(&self.point(self.reference.clone(), score)));
        }
        let at_least = self.at_least(target);
        if at_least > most && !self.hull.is_empty() {
            return Err(NotNear::TooFar { most, at_least });
        }
        let mut bracket = self.bracket(target, at_least)?;
        let price = self.narrow(&mut bracket, most);
        self.price = price;
        let at_least = bracket.at_least;
        if at_least > most {
            return Err(NotNear::TooFar { most, at_least });
        }
        if bracket.above.changes == at_least {
            return Ok(self.told(&bracket.above));
        }
        let steps = limits.most_steps.min(MOST_STEPS);
        match self.search(bracket, price, most, steps) {
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

    /// The same from the prices that were tried.
    fn at_least(&self, target: i64) -> usize {
        let needed = self.hull.iter().filter(|(price, _)| **price > 0);
        let needed = needed.map(|(&price, best)| best.needed(price, target));
        let reference_will_do = self.score.is_some_and(|score| score >= target);
        needed
            .max()
            .unwrap_or(0)
            .max(usize::from(!reference_will_do))
    }

    /// Of the allowed paths that score at least `target` and pass a test, one that changes the fewest layers of the
    /// reference. The test is asked of whole paths only, more or less the best first, at the price of [`Near::price`];
    /// where it has no answer, the search ends as if its steps were spent.
    ///
    /// # Errors
    /// When there is none with so few changes as allowed; or when the steps are spent before it is known.
    pub fn reaching_where(
        &mut self,
        target: i64,
        limits: NearestLimits,
        mut test: impl FnMut(&[u8]) -> Option<bool>,
    ) -> Result<Nearest, NotNear> {
        let price = self.price;
        let most_steps = limits.most_steps.min(MOST_STEPS);
        let least = self.at_least(target);
        let mut most = limits.most_changes.min(self.lattice.len());
        // What is not watched only makes values too high: more is looked at, nothing overlooked.
        let watched = self.watched.clone();
        let unseen = watched.most_unseen(&self.lattice);
        let mut frontier = Frontier::new(self.solved(price, &watched));
        let mut best: Option<Point> = None;
        let mut changes = vec![0];
        let mut path = Vec::new();
        let (mut steps, mut spent) = (0, false);
        while let Some(out) = frontier.pop().filter(|_| least <= most) {
            // No path that is left scores more with so many changes.
            if out.value + unseen + price * (most as i64) < target {
                break;
            }
            spent = steps == most_steps;
            if spent {
                break;
            }
            steps += 1;
            frontier.path(out, &mut path);
            let t = path.len() - 1;
            let now = changes[out.from as usize] + usize::from(path[t] != self.reference[t]);
            if now > most {
                continue;
            }
            if path.len() < self.lattice.len() {
                let state = frontier.state(out);
                frontier.extend(out, state);
                changes.push(now);
                continue;
            }
            let Some(score) = self.lattice.score(&path).filter(|&score| score >= target) else {
                continue;
            };
            let Some(passes) = test(&path) else {
                spent = true;
                break;
            };
            if passes {
                best = Some(self.point(path.clone(), score));
                most = match now.checked_sub(1) {
                    Some(fewer) => fewer,
                    None => break,
                };
            }
        }
        let found = best.map(|best| self.told(&best));
        if spent {
            return Err(NotNear::StepsSpent {
                at_least: least,
                found,
            });
        }
        found.ok_or(NotNear::TooFar {
            most,
            at_least: most + 1,
        })
    }

    /// The lattice solved under a price.
    fn solved(&mut self, price: i64, watched: &Watched) -> Arc<dyn Ahead> {
        let same = |known: &&(i64, Watched, _)| (known.0, &known.1) == (price, watched);
        if let Some((.., solved)) = self.solved.as_ref().filter(same) {
            return Arc::clone(solved);
        }
        let solved = self.priced(price).look_ahead(watched);
        self.solved = Some((price, watched.clone(), Arc::clone(&solved)));
        solved
    }

    /// The price of a change at which the last answer stands: about what the last of its changes brings. 1 before
    /// there is any.
    pub fn price(&self) -> i64 {
        self.price
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

    /// The edge of the hull that crosses the target, as far as the prices that were tried show it.
    fn bracket(&mut self, target: i64, at_least: usize) -> Result<Bracket, NotNear> {
        let enough = |known: &&Point| known.score >= target;
        let above = self.hull.values().filter(enough);
        let above = above.reduce(|one, other| if other.precedes(one) { other } else { one });
        // Else lower prices, until one is low enough: paths far from the reference take longer to find.
        let mut above = above.cloned();
        let mut price = self.hull.keys().next().copied().unwrap_or(0);
        while above.is_none() && price > 0 {
            price /= 2;
            above = Some(self.best_under(price)?).filter(|found| found.score >= target);
        }
        let above = match above {
            Some(above) => above,
            None => self.best_under(0)?,
        };
        if above.score < target {
            return Err(NotNear::TooHigh {
                target,
                best: above.score,
            });
        }
        let reference = self
            .score
            .map(|score| self.point(self.reference.clone(), score));
        let below = self.hull.values().filter(|known| !enough(known));
        let below = below.max_by_key(|known| known.score).cloned();
        Ok(Bracket {
            target,
            below: below.or(reference),
            above,
            at_least,
        })
    }

    /// Narrows the hull down to the edge that crosses the target, or until that decides; the last price.
    fn narrow(&mut self, bracket: &mut Bracket, most: usize) -> i64 {
        let target = bracket.target;
        loop {
            let (above, below) = (&bracket.above, bracket.below.as_ref());
            let price = match below {
                // So high that no path which scores enough is worth a change more than another.
                None => above.score.saturating_sub(target).saturating_add(1),
                Some(below) => (above.score - below.score) / (above.changes - below.changes) as i64,
            };
            let price = price.clamp(1, MOST_PRICE);
            let found = self.best_under(price).expect("some path is allowed");
            let needed = found.needed(price, target);
            let is_no_better = |known: &Point| found.value(price) <= known.value(price);
            let is_edge = is_no_better(above) || below.is_some_and(is_no_better);
            bracket.at_least = bracket.at_least.max(needed);
            if found.score < target {
                let first = bracket.below.is_none();
                bracket.below = Some(found);
                if first {
                    continue;
                }
            } else if found.precedes(&bracket.above) {
                bracket.above = found;
            }
            let enough = bracket.above.changes.min(most + 1);
            if is_edge || bracket.at_least >= enough || bracket.below.is_none() {
                return price;
            }
        }
    }

    /// The lattice in which every change costs a price.
    fn priced(&self, price: i64) -> Lattice {
        let mut layers = self.lattice.layers.as_ref().clone();
        for (layer, &stay) in layers.iter_mut().zip(&self.reference) {
            for (k, weight) in layer.notes.iter_mut().enumerate() {
                if k != usize::from(stay) && *weight != NEVER {
                    *weight -= price as i32;
                }
            }
        }
        Lattice {
            layers: Arc::new(layers),
            ..self.lattice.clone()
        }
    }

    /// The best path when every change costs a price.
    fn best_under(&mut self, price: i64) -> Result<Point, DeadEnd> {
        if let Some(known) = self.hull.get(&price) {
            return Ok(known.clone());
        }
        let priced = self.priced(price);
        let found = priced.first_in_rank(Sought::Best, &mut self.watched);
        let Some(found) = found.into_iter().next() else {
            return Err(self.lattice.dead_end());
        };
        let score = self.lattice.score(&found.path);
        let score = score.expect("prices allow nothing that is forbidden");
        let found = self.point(found.path, score);
        self.hull.insert(price, found.clone());
        Ok(found)
    }

    /// Searches what the bracket leaves open, under a price: the nearest path found, and whether all was searched.
    fn search(
        &mut self,
        bracket: Bracket,
        price: i64,
        most: usize,
        most_steps: usize,
    ) -> (Option<Point>, bool) {
        let target = bracket.target;
        let mut best = (bracket.above.changes <= most).then_some(bracket.above);
        if most_steps == 0 {
            return (best, false);
        }
        let watched = Watched::all(&self.lattice);
        let mut frontier = Frontier::new(self.solved(price, &watched));
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
                    with(best.changes) <= best.score && with(best.changes - 1) < target,
                ),
                None => (most, with(most) < target),
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
                let found = self.point(path.clone(), with(now));
                let better = best.as_ref().is_none_or(|best| found.precedes(best));
                if found.score >= target && better {
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
