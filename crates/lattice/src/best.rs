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
use crate::pass::{Pass, Tables};
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
        let weight_of = |at: usize| self.segments[at].echo.map_or(0, |echo| echo.weight());
        let count = self.segments.len();
        let mut watched: Vec<bool> = if (0..count).any(|at| weight_of(at) > 0) {
            (0..count).map(|at| weight_of(at) != 0).collect()
        } else {
            vec![false; count]
        };
        for round in 0.. {
            let plan = Arc::new(Plan::new(self, |at| watched[at]));
            let Some(path) = self.best_under(&plan) else {
                return Err(self.dead_end());
            };
            let mut missed = false;
            for term in self
                .terms(&path)
                .iter()
                .filter(|term| term.source == Source::Echo && term.weight != 0)
            {
                let segment = plan.places[term.layer].segment;
                missed |= !std::mem::replace(&mut watched[segment], true);
            }
            if !missed {
                let score = self
                    .score(&path)
                    .expect("the search obeys the definition of the score");
                return Ok(Scored { path, score });
            }
            if round + 1 == ROUNDS {
                watched = (0..count).map(|at| weight_of(at) != 0).collect();
            }
        }
        unreachable!("every round ends the search or adds an echo, and there are finitely many")
    }

    /// Whether any path is allowed.
    pub fn is_feasible(&self) -> bool {
        self.best().is_ok()
    }

    fn best_under(&self, plan: &Arc<Plan>) -> Option<Vec<u8>> {
        if self.fits_in_32_bits() {
            with_lanes!(self.candidates, W => best_path::<_, W>(&Pass::new(Best32, self, plan)))
        } else {
            with_lanes!(self.candidates, W => best_path::<_, W>(&Pass::new(Best64, self, plan)))
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

fn best_path<S: Semiring, const W: usize>(pass: &Pass<S, W>) -> Option<Vec<u8>>
where
    S::Value: Ord,
{
    let (ring, n) = (pass.ring, pass.lattice.candidates);
    if pass.lattice.len() == 1 {
        let mut found = None;
        for k in 0..n {
            let note = pass.only_layer(k);
            if note != ring.zero() && found.is_none_or(|(best, _)| note > best) {
                found = Some((note, k));
            }
        }
        return found.map(|(_, k)| vec![k as u8]);
    }
    let mut path = Vec::with_capacity(pass.lattice.len());
    let mut at = None;
    pass.sweep_then_visit(|t, tables| {
        if t == 1 {
            let Some((state, [i, j])) = best_opening(pass, tables) else {
                return;
            };
            path.extend([i as u8, j as u8]);
            at = Some((state, [i, j], 0));
        } else if let Some((state, [i, j], memory)) = at {
            let (values, after) = tables.get(t);
            let mut found: Option<(S::Value, _)> = None;
            for k in 0..n {
                let Some((state, memory, weight)) = pass.follow(t, state, memory, [i, j, k]) else {
                    continue;
                };
                let value = pass.value(t, values, after, state, [j, k], memory);
                let value = ring.settle(ring.times(weight, value));
                if found.is_none_or(|(best, _)| value > best) {
                    found = Some((value, (state, [j, k], memory)));
                }
            }
            at = found.map(|(_, next)| next);
            path.extend(at.map(|(_, [_, k], _)| k as u8));
        }
    });
    (path.len() == pass.lattice.len()).then_some(path)
}

fn best_opening<S: Semiring, const W: usize>(
    pass: &Pass<S, W>,
    tables: &Tables<S::Value>,
) -> Option<(usize, [usize; 2])>
where
    S::Value: Ord,
{
    let (values, after) = tables.get(1);
    let mut best = pass.ring.zero();
    let mut found = None;
    pass.openings(|state, pair, weight| {
        let value = pass.value(1, values, after, state, pair, 0);
        let value = pass.ring.settle(pass.ring.times(weight, value));
        if value > best {
            best = value;
            found = Some((state, pair));
        }
    });
    found
}
