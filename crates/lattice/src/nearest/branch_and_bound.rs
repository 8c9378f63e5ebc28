//! Branch and bound for the gap that Lagrangian relaxation leaves open.
//!
//! A. Land, A. Doig, "An automatic method of solving discrete programming problems", Econometrica 28 (1960). Prefixes are
//! branched best first by their Lagrangian bound, the value of the best completion under one multiplier; they are cut
//! off when that bound, or the number of changes, rules them out, or when a state with as many changes was expanded
//! before (dominance).

use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

use super::parametric::Bracket;
use super::{Nearest, NearestError, NearestLimits, Point, Relaxation};
use crate::active::ActiveFactors;
use crate::completion::CompletionBounds;
use crate::frontier::{Frontier, MAX_EXPANSIONS};
use crate::lattice::Repetition;
use crate::pass::DpState;

/// An oracle of penalties that no factor of the lattice expresses: by how much the worth of a path falls short of its
/// score. Penalties add up along a path and are asked for prefix by prefix.
pub trait PenaltyOracle {
    /// What the last candidate of `prefix` adds to the penalty of all paths that begin so, at least; of a whole path, all
    /// that is left. In thousandths, not negative, and not much larger than scores are, so that sums stay in range.
    /// Asked once for every prefix that is looked at, after the prefix that is one candidate shorter.
    fn penalty(&mut self, prefix: &[u8]) -> i64;

    /// The first layer in the scope of the penalties of all prefixes longer than `length`: candidates before it do not
    /// change them. The last two candidates always count as in scope.
    fn scope_start(&self, length: usize) -> usize;
}

/// All that the worth of the completions of a prefix depends on.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
struct Signature {
    length: usize,
    changes: usize,
    at: DpState,
    /// Candidates from some layer on.
    candidates: u128,
}

impl Signature {
    /// `None` where too many candidates matter.
    fn new(at: DpState, changes: usize, path: &[u8], from: usize) -> Option<Self> {
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

impl Relaxation {
    /// Of the allowed paths whose score less their penalty is at least `target`, one that changes the fewest layers of
    /// the reference.
    ///
    /// Branch and bound under that multiplier of those tried so far (see [`Relaxation::bounds`]) whose bound is tightest. In
    /// the worst case every prefix is looked at, within the limit of expansions.
    ///
    /// # Errors
    /// When there is none with so few changes as allowed; or when the limit of expansions is reached before it is known.
    pub fn nearest_penalized(
        &mut self,
        target: i64,
        limits: NearestLimits,
        oracle: &mut impl PenaltyOracle,
    ) -> Result<Nearest, NearestError> {
        let mut most = limits.most_changes.min(self.lattice.len());
        let multiplier = self.tightest_multiplier(target, most);
        let max_expansions = limits.max_expansions.min(MAX_EXPANSIONS);
        let least = self.at_least(target);
        // Factors that are not active only make bounds too high; their slack is taken off when their scope ends.
        let active = self.active.clone();
        let inactive = active.most_inactive(&self.lattice);
        let mut frontier = Frontier::new(self.bounds_at(multiplier, &active));
        let lattice = &self.lattice;
        let segments: Vec<usize> = (lattice.segments.iter().enumerate())
            .flat_map(|(number, segment)| std::iter::repeat_n(number, segment.len))
            .collect();
        let mut best: Option<Point> = None;
        // Of each prefix that was expanded, its changes, and its penalty with the slack of factors that are not active.
        let mut known = vec![(0, 0)];
        // By all that its completions depend on, the most that a prefix was worth.
        let mut seen: HashMap<Signature, i64> = HashMap::new();
        let mut path = Vec::new();
        let (mut expansions, mut spent) = (0, false);
        while let Some(out) = frontier.pop().filter(|_| least <= most) {
            // No path that is left scores more with so many changes.
            let might = out.value + inactive + multiplier * (most as i64);
            if might < target {
                break;
            }
            spent = expansions == max_expansions;
            if spent {
                break;
            }
            expansions += 1;
            let t = frontier.depth(out) - 1;
            let (changes, short) = known[out.from as usize];
            let changes = changes + usize::from(out.candidate != self.reference[t]);
            if changes > most || might - short < target {
                continue;
            }
            frontier.path(out, &mut path);
            let Some(slack_here) = active.inactive_slack(lattice, segments[t], &path, t) else {
                continue;
            };
            let short = short + slack_here + oracle.penalty(&path);
            if might - short < target {
                continue;
            }
            if path.len() == lattice.len() {
                let score = lattice.score(&path);
                let score = score.expect("what is forbidden was left out");
                if might - short - multiplier * (most - changes) as i64 >= target {
                    best = Some(self.point(path.clone(), score));
                    most = match changes.checked_sub(1) {
                        Some(fewer) => fewer,
                        None => break,
                    };
                }
                continue;
            }
            let state = frontier.state(out);
            let from = oracle.scope_start(path.len());
            let from = from.min(self.inactive_from(segments[t], path.len()));
            if let Some(signature) = Signature::new(state.0, changes, &path, from) {
                let worth = seen.entry(signature).or_insert(i64::MIN);
                if state.1 - short <= *worth {
                    continue;
                }
                *worth = state.1 - short;
            }
            frontier.expand(out, state);
            known.push((changes, short));
        }
        let found = best.map(|best| self.answer(&best));
        if spent {
            return Err(NearestError::ExpansionLimit {
                at_least: least,
                found,
            });
        }
        found.ok_or(NearestError::TooFar {
            most,
            at_least: most + 1,
        })
    }

    /// The first layer in the scope of prefix and repetition factors that are not active and end behind so many layers,
    /// the last of them in a segment.
    fn inactive_from(&self, segment: usize, length: usize) -> usize {
        let lattice = &self.lattice;
        let start = lattice.starts[segment];
        let count = match lattice.segments[segment].repetition {
            Some(Repetition::Classes { count, .. }) => usize::from(count),
            Some(Repetition::Candidates { .. }) => 2,
            None => 0,
        };
        match (length < start + count, segment.checked_sub(1)) {
            (true, Some(before)) => lattice.starts[before],
            _ => start,
        }
    }

    /// The completion bounds under a multiplier.
    fn bounds_at(&mut self, multiplier: i64, active: &ActiveFactors) -> Arc<dyn CompletionBounds> {
        let same = |known: &&(i64, ActiveFactors, _)| (known.0, &known.1) == (multiplier, active);
        if let Some((.., solved)) = self.bounds.as_ref().filter(same) {
            return Arc::clone(solved);
        }
        let solved = self.relaxed(multiplier).completion_bounds(active);
        self.bounds = Some((multiplier, active.clone(), Arc::clone(&solved)));
        solved
    }

    /// Branch and bound over what the bracket leaves open, under a multiplier: the nearest path found, and whether all
    /// was searched.
    pub(super) fn search(
        &mut self,
        bracket: Bracket,
        multiplier: i64,
        most: usize,
        max_expansions: usize,
    ) -> (Option<Point>, bool) {
        let target = bracket.target;
        let mut best = (bracket.above.changes <= most).then_some(bracket.above);
        if max_expansions == 0 {
            return (best, false);
        }
        let active = ActiveFactors::all(&self.lattice);
        let mut frontier = Frontier::new(self.bounds_at(multiplier, &active));
        // Changes of each prefix that was expanded, and what has been expanded.
        let mut changes = vec![0];
        let mut done: BTreeSet<(usize, DpState, usize)> = BTreeSet::new();
        let mut path = Vec::new();
        let mut expansions = 0;
        while let Some(out) = frontier.pop() {
            // What a path may score that ends with so many changes.
            let with = |changes: usize| out.value + multiplier * changes as i64;
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
            if expansions == max_expansions {
                return (best, false);
            }
            expansions += 1;
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
                frontier.expand(out, state);
                changes.push(now);
            }
        }
        (best, true)
    }
}
