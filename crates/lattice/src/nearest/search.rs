//! Searches from the front for what prices leave open.

use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

use super::hull::Bracket;
use super::{Near, Nearest, NearestLimits, NotNear, Point};
use crate::ahead::Ahead;
use crate::frontier::{Frontier, MOST_STEPS};
use crate::lattice::Echo;
use crate::memory::Watched;
use crate::pass::At;

/// How far the truth of paths falls short of their score. What it tells adds up along a path.
pub trait Truth {
    /// By how much more, at least, the paths that begin so fall short than is known of the beginning that is one
    /// candidate shorter; of a whole path, all that is left. In thousandths, not negative. Not much more than scores
    /// are, if they shall be comparable.
    fn shortfall(&mut self, beginning: &[u8]) -> i64;

    /// The first layer on which what is told of longer beginnings can hang, where they begin with so many candidates.
    /// The last two are always looked at.
    fn hangs_on(&self, length: usize) -> usize;
}

/// All that the worth of what follows a beginning can hang on.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
struct Ending {
    length: usize,
    changes: usize,
    at: At,
    /// Candidates from some layer on.
    candidates: u128,
}

impl Ending {
    /// `None` where too many candidates matter.
    fn new(at: At, changes: usize, path: &[u8], from: usize) -> Option<Self> {
        const BITS: usize = 6;
        let matter = &path[from.min(path.len())..];
        let fits = matter.len() <= u128::BITS as usize / BITS;
        let candidates = || {
            let more = |all: u128, &k: &u8| all << BITS | u128::from(k);
            matter.iter().fold(0, more)
        };
        fits.then(|| Self {
            length: path.len(),
            changes,
            at,
            candidates: candidates(),
        })
    }
}

impl Near {
    /// Of the allowed paths that truly score at least `target` one that changes the fewest layers of the reference.
    ///
    /// A search from the front under the price that tells most of those that were tried, after [`Near::bounds`].
    ///
    /// # Errors
    /// When there is none with so few changes as allowed; or when the steps are spent before it is known.
    pub fn reaching_truly(
        &mut self,
        target: i64,
        limits: NearestLimits,
        truth: &mut impl Truth,
    ) -> Result<Nearest, NotNear> {
        let mut most = limits.most_changes.min(self.lattice.len());
        let price = self.closest_price(target, most);
        let most_steps = limits.most_steps.min(MOST_STEPS);
        let least = self.at_least(target);
        // What is not watched only makes values too high, and what is too much is told as soon as it is known.
        let watched = self.watched.clone();
        let unseen = watched.most_unseen(&self.lattice);
        let mut frontier = Frontier::new(self.solved(price, &watched));
        let lattice = &self.lattice;
        let segments: Vec<usize> = (lattice.segments.iter().enumerate())
            .flat_map(|(number, segment)| std::iter::repeat_n(number, segment.len))
            .collect();
        let mut best: Option<Point> = None;
        // Of each beginning that was extended, its changes and by how much it falls short.
        let mut known = vec![(0, 0)];
        // By all that what follows hangs on, the most that a beginning was worth.
        let mut seen: HashMap<Ending, i64> = HashMap::new();
        let mut path = Vec::new();
        let (mut steps, mut spent) = (0, false);
        while let Some(out) = frontier.pop().filter(|_| least <= most) {
            // No path that is left scores more with so many changes.
            let might = out.value + unseen + price * (most as i64);
            if might < target {
                break;
            }
            spent = steps == most_steps;
            if spent {
                break;
            }
            steps += 1;
            let t = frontier.depth(out) - 1;
            let (changes, short) = known[out.from as usize];
            let changes = changes + usize::from(out.candidate != self.reference[t]);
            if changes > most || might - short < target {
                continue;
            }
            frontier.path(out, &mut path);
            let Some(unseen_here) = watched.less_unseen(lattice, segments[t], &path, t) else {
                continue;
            };
            let short = short + unseen_here + truth.shortfall(&path);
            if might - short < target {
                continue;
            }
            if path.len() == lattice.len() {
                let score = lattice.score(&path);
                let score = score.expect("what is forbidden was left out");
                if might - short - price * (most - changes) as i64 >= target {
                    best = Some(self.point(path.clone(), score));
                    most = match changes.checked_sub(1) {
                        Some(fewer) => fewer,
                        None => break,
                    };
                }
                continue;
            }
            let state = frontier.state(out);
            let from = truth.hangs_on(path.len());
            let from = from.min(self.unseen_from(segments[t], path.len()));
            if let Some(ending) = Ending::new(state.0, changes, &path, from) {
                let worth = seen.entry(ending).or_insert(i64::MIN);
                if state.1 - short <= *worth {
                    continue;
                }
                *worth = state.1 - short;
            }
            frontier.extend(out, state);
            known.push((changes, short));
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

    /// The first layer on which what comes after a beginning of so many layers, the last of them in a segment, can
    /// hang in heads and echoes that are not watched.
    fn unseen_from(&self, segment: usize, length: usize) -> usize {
        let lattice = &self.lattice;
        let start = lattice.starts[segment];
        let count = match lattice.segments[segment].echo {
            Some(Echo::Classes { count, .. }) => usize::from(count),
            Some(Echo::Same { .. }) => 2,
            None => 0,
        };
        match (length < start + count, segment.checked_sub(1)) {
            (true, Some(before)) => lattice.starts[before],
            _ => start,
        }
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

    /// Searches what the bracket leaves open, under a price: the nearest path found, and whether all was searched.
    pub(super) fn search(
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
