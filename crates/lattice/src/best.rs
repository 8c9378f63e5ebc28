//! The best path.
//!
//! Echoes make the search costly, and a best path seldom breaks any: so the search first leaves out every echo. As
//! long as no echo's weight is positive, leaving some out can only raise scores; so when the best path of such a
//! reduced lattice meets none of the echoes that were left out, its score is the same in the full lattice, and no
//! path there can beat it. (Ties, too: every path that is best in the full lattice then is best in the reduced one,
//! so the first of the reduced one, being best in the full one, is the first there.) Otherwise the echoes that it
//! met are put in, and the search runs again; after a few rounds all are.

use std::sync::Arc;

use crate::dead_end::DeadEnd;
use crate::lattice::Lattice;
use crate::memory::Plan;
use crate::pass::{At, Pass, Tables};
use crate::score::Source;
use crate::semiring::{Best32, Best64, Semiring};
use crate::weight::NEVER;
use crate::width::with_lanes;

/// Rounds in which echoes are put in one by one before all are.
const ROUNDS: usize = 4;

/// A path with its score.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scored {
    /// One candidate per layer.
    pub path: Vec<u8>,
    /// Sum of the path's weights, in thousandths.
    pub score: i64,
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
        let found = self.with_few_echoes(|plan| self.best_under(plan).into_iter().collect());
        found.into_iter().next().ok_or_else(|| self.dead_end())
    }

    /// Runs a search for the first few paths in rank with as few echoes watched as its answer allows: see the
    /// module's head. The argument there holds for any number of first paths.
    pub(crate) fn with_few_echoes(
        &self,
        search: impl Fn(&Arc<Plan>) -> Vec<Vec<u8>>,
    ) -> Vec<Scored> {
        let weight_of = |at: usize| self.segments[at].echo.map_or(0, |echo| echo.weight());
        let count = self.segments.len();
        let all = || (0..count).map(|at| weight_of(at) != 0).collect();
        let mut watched: Vec<bool> = if (0..count).any(|at| weight_of(at) > 0) {
            all()
        } else {
            vec![false; count]
        };
        let mut round = 0;
        loop {
            let plan = Arc::new(Plan::new(self, |at| watched[at]));
            let paths = search(&plan);
            let mut missed = false;
            for path in &paths {
                let terms = self.terms(path);
                for term in terms
                    .iter()
                    .filter(|term| term.source == Source::Echo && term.weight != 0)
                {
                    missed |=
                        !std::mem::replace(&mut watched[plan.places[term.layer].segment], true);
                }
            }
            if !missed {
                let score = |path: &[u8]| {
                    self.score(path)
                        .expect("the search obeys the definition of the score")
                };
                return paths
                    .into_iter()
                    .map(|path| Scored {
                        score: score(&path),
                        path,
                    })
                    .collect();
            }
            round += 1;
            if round == ROUNDS {
                watched = all();
            }
        }
    }

    /// Whether any path is allowed.
    pub fn is_feasible(&self) -> bool {
        self.best().is_ok()
    }

    fn best_under(&self, plan: &Arc<Plan>) -> Option<Vec<u8>> {
        if self.fits_in_32_bits() {
            with_lanes!(self.candidates, 48, W => best_path::<_, W>(&Pass::new(Best32, self, plan)))
        } else {
            best_path(&Pass::<_, 64>::new(Best64, self, plan))
        }
    }

    /// Whether every total of finite weights stays within [`Best32::BOUND`].
    pub(crate) fn fits_in_32_bits(&self) -> bool {
        let layers: i64 = self
            .layers
            .iter()
            .map(|layer| {
                crate::weight::largest(&layer.notes) + layer.step.largest() + layer.shape.largest()
            })
            .sum();
        let segments: i64 = self
            .segments
            .iter()
            .map(|segment| {
                let table = |table: &Option<Arc<crate::ClassTable>>| {
                    table.as_ref().map_or(0, |table| table.largest())
                };
                let echo = segment.echo.map_or(0, |echo| echo.weight());
                let echo = if echo == NEVER {
                    0
                } else {
                    i64::from(echo).abs()
                };
                table(&segment.head) + table(&segment.tail) + echo
            })
            .sum();
        layers + segments < Best32::BOUND
    }
}

/// The allowed candidates of a lattice of one layer, with their weights.
pub(crate) fn only_layer<S: Semiring, const W: usize>(pass: &Pass<S, W>) -> Vec<(u8, S::Value)> {
    let weights = (0..pass.lattice.candidates).map(|k| (k as u8, pass.only_layer(k)));
    weights
        .filter(|(_, weight)| *weight != pass.ring.zero())
        .collect()
}

fn best_path<S: Semiring, const W: usize>(pass: &Pass<S, W>) -> Option<Vec<u8>>
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
    pass.sweep_then_visit(|t, tables| {
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
    for k in 0..pass.lattice.candidates {
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
