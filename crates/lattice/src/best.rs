//! The best path.
//!
//! Echoes make the search costly, and a best path seldom breaks any: so the search first leaves out every echo. As
//! long as no echo's weight is positive, leaving some out can only raise scores; so when the best path of such a
//! reduced lattice meets none of the echoes that were left out, its score is the same in the full lattice, and no
//! path there can beat it. (Ties, too: every path that is best in the full lattice then is best in the reduced one,
//! so the first of the reduced one, being best in the full one, is the first there.) Otherwise the echoes that it
//! met are put in, and the search runs again; after a few rounds all are. A four-class head in which most runs weigh
//! as much as any is left out likewise, as if all did: then what it takes from the others is left out.

use std::sync::Arc;

use crate::ahead::{Ahead, Solved};
use crate::bits::Bits;
use crate::dead_end::DeadEnd;
use crate::k_best::first_paths;
use crate::lattice::Lattice;
use crate::memory::{Plan, Watched};
use crate::pass::{At, Pass, Tables};
use crate::score::Source;
use crate::semiring::{Best32, Best64, Semiring};
use crate::width::with_lanes;

/// Rounds in which echoes, and heads, are put in one by one before all are.
const ROUNDS: [usize; 2] = [4, 12];

/// A path with its score.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scored {
    /// One candidate per layer.
    pub path: Vec<u8>,
    /// Sum of the path's weights, in thousandths.
    pub score: i64,
}

/// Which of the first paths in rank are sought.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Sought {
    /// The best one, in little memory.
    Best,
    /// So many, or all when there are fewer.
    First(usize),
}

impl Lattice {
    /// The path with the highest score; among equals the one that is first in the order of candidate indices,
    /// compared layer by layer from the first.
    ///
    /// Time is linear in the number of layers, memory at most proportional to its square root beyond 32 MB.
    ///
    /// # Errors
    /// When no path is allowed: where the layers run dry, and why.
    pub fn best(&self) -> Result<Scored, DeadEnd> {
        let found = self.first_in_rank(Sought::Best, &mut Watched::few(self));
        found.into_iter().next().ok_or_else(|| self.dead_end())
    }

    /// The first paths in rank, found with little more watched than was before: see the module's head. The argument
    /// there holds for any number of first paths.
    pub(crate) fn first_in_rank(&self, sought: Sought, watched: &mut Watched) -> Vec<Scored> {
        let plan = Arc::new(Plan::new(self, watched));
        if self.fits_in_32_bits() {
            with_lanes!(self.candidates, 48, W => {
                watching_few(&mut Pass::<_, W>::new(Best32, self, &plan), &mut None, sought, watched)
            })
        } else {
            watching_few(
                &mut Pass::<_, 64>::new(Best64, self, &plan),
                &mut None,
                sought,
                watched,
            )
        }
    }

    /// The best path as [`Lattice::best`] finds it, with little more watched than was before; and the lattice solved
    /// with that, if its tables fit in memory.
    pub(crate) fn best_and_solved(
        &self,
        watched: &mut Watched,
    ) -> (Option<Scored>, Option<Arc<dyn Ahead>>) {
        let plan = Arc::new(Plan::new(self, watched));
        if self.fits_in_32_bits() {
            with_lanes!(self.candidates, 48, W => {
                best_and_solved(Pass::<_, W>::new(Best32, self, &plan), watched)
            })
        } else {
            best_and_solved(Pass::<_, 64>::new(Best64, self, &plan), watched)
        }
    }

    /// Whether any path is allowed.
    pub fn is_feasible(&self) -> bool {
        self.best().is_ok()
    }

    /// Whether every total of finite weights stays within [`Best32::BOUND`].
    pub(crate) fn fits_in_32_bits(&self) -> bool {
        let layers: i64 = self.largest_by_layer().sum();
        let segments: i64 = self.largest_by_segment().sum();
        layers + segments < Best32::BOUND
    }
}

/// Searches with those echoes and heads watched that `pass` watches, and again with those besides that its answer met,
/// and after a few rounds with all of them. What the pass lifted once serves every round, and so do the tables behind
/// the last one that is put in.
fn watching_few<S: Semiring, const W: usize>(
    pass: &mut Pass<S, W>,
    tables: &mut Option<Tables<S::Value>>,
    sought: Sought,
    watched: &mut Watched,
) -> Vec<Scored>
where
    S::Value: Ord,
{
    for round in 1.. {
        let paths = match sought {
            Sought::Best => best_path(pass, tables).into_iter().collect(),
            Sought::First(k) => first_paths(pass, tables, k),
        };
        let mut missed = false;
        for path in &paths {
            for term in pass.lattice.terms(path) {
                let segment = pass.plan.places[term.layer].segment;
                let head = pass.lattice.segments[segment].head.as_ref();
                let seen = match term.source {
                    Source::Echo if term.weight != 0 => &mut watched.echoes[segment],
                    Source::Head if head.is_some_and(|head| term.weight != head.most()) => {
                        &mut watched.heads[segment]
                    }
                    _ => continue,
                };
                missed |= !std::mem::replace(seen, true);
            }
        }
        if !missed {
            let scored = |path: Vec<u8>| {
                let score = pass.lattice.score(&path);
                let score = score.expect("the search obeys the definition of the score");
                Scored { path, score }
            };
            return paths.into_iter().map(scored).collect();
        }
        if round == ROUNDS[0] {
            watched.echoes = Watched::all(&pass.lattice).echoes;
        }
        if round == ROUNDS[1] {
            watched.heads = Watched::all(&pass.lattice).heads;
        }
        let from = pass.watch(watched);
        if let Some(tables) = tables {
            tables.keep_from(from);
        }
    }
    unreachable!("every echo is watched in the end, and then none is missed")
}

/// The best path, and the lattice solved.
fn best_and_solved<S: Semiring + 'static, const W: usize>(
    mut pass: Pass<S, W>,
    watched: &mut Watched,
) -> (Option<Scored>, Option<Arc<dyn Ahead>>)
where
    S::Value: Ord + Into<i64>,
{
    let mut tables = None;
    let found = watching_few(&mut pass, &mut tables, Sought::Best, watched);
    let solved = tables.map(|tables| Arc::new(Solved::of(pass, tables)) as Arc<dyn Ahead>);
    (found.into_iter().next(), solved)
}

/// The allowed candidates of a lattice of one layer, with their weights.
pub(crate) fn only_layer<S: Semiring, const W: usize>(pass: &Pass<S, W>) -> Vec<(u8, S::Value)> {
    let weights = (0..pass.lattice.candidates).map(|k| (k as u8, pass.only_layer(k)));
    weights
        .filter(|(_, weight)| *weight != pass.ring.zero())
        .collect()
}

/// The best path of the echoes that are watched. Tables that are known are taken over, and all are left in their
/// place, if they fit in memory.
fn best_path<S: Semiring, const W: usize>(
    pass: &Pass<S, W>,
    known: &mut Option<Tables<S::Value>>,
) -> Option<Vec<u8>>
where
    S::Value: Ord,
{
    if pass.lattice.len() == 1 {
        let ways = only_layer(pass);
        let best = ways.iter().map(|&(_, weight)| weight).max()?;
        return ways
            .iter()
            .find(|&&(_, weight)| weight == best)
            .map(|&(k, _)| vec![k]);
    }
    let mut path = Vec::with_capacity(pass.lattice.len());
    let mut at = None;
    *known = pass.sweep_then_visit(known.take(), |t, tables| {
        if t == 1 {
            at = best_opening(pass, tables);
            path.extend(at.iter().flat_map(|at: &At| at.pair.map(|k| k as u8)));
        } else if let Some(from) = at {
            at = best_way_on(pass, t, tables, from);
            path.extend(at.map(|at| at.pair[1] as u8));
        }
    });
    (path.len() == pass.lattice.len()).then_some(path)
}

/// The first of the best states after two layers.
fn best_opening<S: Semiring, const W: usize>(
    pass: &Pass<S, W>,
    tables: &Tables<S::Value>,
) -> Option<At>
where
    S::Value: Ord,
{
    let mut best = pass.ring.zero();
    let mut found = None;
    pass.openings(|at, weight| {
        let value = pass
            .ring
            .settle(pass.ring.times(weight, pass.value(1, tables.get(1), at)));
        if value > best {
            best = value;
            found = Some(at);
        }
    });
    found
}

/// The first of the best states after layer `t` that follow `from`.
pub(crate) fn best_way_on<S: Semiring, const W: usize>(
    pass: &Pass<S, W>,
    t: usize,
    tables: &Tables<S::Value>,
    from: At,
) -> Option<At>
where
    S::Value: Ord,
{
    let mut best = pass.ring.zero();
    let mut found = None;
    for k in Bits(pass.lifted.ways_on(&pass.lattice, t, from.pair[1])) {
        let Some((at, weight)) = pass.follow(t, from, k) else {
            continue;
        };
        let value = pass
            .ring
            .settle(pass.ring.times(weight, pass.value(t, tables.get(t), at)));
        if value > best {
            best = value;
            found = Some(at);
        }
    }
    found
}
