//! The best path and the k best, with costly factors put in only where they matter.
//!
//! Repetition factors and four-class prefix factors multiply the states of the dynamic programme, and the best path
//! seldom meets them. So they are lazy constraints: a search begins without them and puts in those that its answer
//! meets, until it meets none that is missing (cutting planes: G. Dantzig, R. Fulkerson, S. Johnson, "Solution of a
//! large-scale traveling-salesman problem", Operations Research 2, 1954; in dynamic programming: G. Righini, M. Salani,
//! "New dynamic programming algorithms for the resource constrained elementary shortest path problem", Networks 51,
//! 2008, who call it decremental state space relaxation. From memory).
//!
//! Why the answer is exact: as long as no repetition's weight is positive, leaving some out can only raise scores. So
//! when the best path of such a relaxed lattice meets none of those that were left out, its score is the same in the full
//! lattice, and no path there can beat it. Ties too: every path that is best in the full lattice then is best in the
//! relaxed one, so the first of the relaxed one, being best in the full one, is the first there. A four-class prefix
//! factor in which most runs weigh as much as any is left out likewise, as if all did: then what it takes from the
//! others is left out. The argument holds for any number of first paths.

use std::sync::Arc;

use crate::active::ActiveFactors;
use crate::auxiliary::Layout;
use crate::completion::{BackwardValues, CompletionBounds};
use crate::dead_end::DeadEnd;
use crate::k_best::first_paths;
use crate::lattice::Lattice;
use crate::pass::{Pass, Tables};
use crate::score::{Factor, Scored};
use crate::semiring::{MaxPlus32, MaxPlus64, Semiring};
use crate::viterbi::best_path;
use crate::width::with_lanes;

/// Rounds in which repetition factors, and prefix factors, are put in one by one before all are.
const ROUNDS: [usize; 2] = [4, 12];

/// Which of the first paths in rank are sought.
#[derive(Debug, Clone, Copy)]
enum Sought {
    /// The best one, in little memory.
    Best,
    /// So many, or all when there are fewer.
    First(usize),
}

impl Lattice {
    /// The path with the highest score; among equals the one that is first in the order of candidate indices,
    /// compared layer by layer from the first.
    ///
    /// Time is linear in the number of layers `T`. A layer takes a number of operations cubic in the number of
    /// candidates; where factors with longer scopes end, twelve times as many (one for each class); an automaton
    /// multiplies them by its states. Memory is at most proportional to `sqrt(T)` beyond 32 MB.
    ///
    /// # Errors
    /// When no path is allowed: where the layers run dry, and why. That takes a forward pass over all reachable states.
    pub fn best(&self) -> Result<Scored, DeadEnd> {
        let found = self.first_in_rank(Sought::Best);
        found.into_iter().next().ok_or_else(|| self.dead_end())
    }

    /// The `k` best paths, or all when there are fewer: highest score first, equals in the order of candidate
    /// indices compared layer by layer from the first. The first is that of [`Lattice::best`].
    ///
    /// All tables are kept: about 1 MB per four layers at most without an automaton. Beyond them, time and memory are
    /// in `O(k T)` for `T` layers, with a factor for the candidates.
    ///
    /// # Errors
    /// When no path is allowed.
    pub fn k_best(&self, k: usize) -> Result<Vec<Scored>, DeadEnd> {
        let found = self.first_in_rank(Sought::First(k.max(1)));
        if found.is_empty() {
            return Err(self.dead_end());
        }
        Ok(found.into_iter().take(k).collect())
    }

    fn first_in_rank(&self, sought: Sought) -> Vec<Scored> {
        let mut active = ActiveFactors::few(self);
        let layout = Arc::new(Layout::new(self, &active));
        if self.fits_in_32_bits() {
            with_lanes!(self.candidates, 48, W => {
                let mut pass = Pass::<_, W>::new(MaxPlus32, self, &layout);
                solve_lazily(&mut pass, &mut None, sought, &mut active)
            })
        } else {
            let mut pass = Pass::<_, 64>::new(MaxPlus64, self, &layout);
            solve_lazily(&mut pass, &mut None, sought, &mut active)
        }
    }

    /// The best path as [`Lattice::best`] finds it, with little more active than was before; and the completion bounds
    /// of the lattice with what is active in the end, if its tables fit in memory.
    pub(crate) fn best_and_bounds(
        &self,
        active: &mut ActiveFactors,
    ) -> (Option<Scored>, Option<Arc<dyn CompletionBounds>>) {
        let layout = Arc::new(Layout::new(self, active));
        if self.fits_in_32_bits() {
            with_lanes!(self.candidates, 48, W => {
                best_and_bounds(Pass::<_, W>::new(MaxPlus32, self, &layout), active)
            })
        } else {
            best_and_bounds(Pass::<_, 64>::new(MaxPlus64, self, &layout), active)
        }
    }
}

/// Searches with the factors that are active, and again with those besides that the answer met, and after a few rounds
/// with all of them. The pass's embedded tables serve every round, and so do the backward tables behind the last factor
/// that is put in.
fn solve_lazily<S: Semiring, const W: usize>(
    pass: &mut Pass<S, W>,
    tables: &mut Option<Tables<S::Value>>,
    sought: Sought,
    active: &mut ActiveFactors,
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
                let segment = pass.layout.layers[term.layer].segment;
                let prefix = pass.lattice.segments[segment].prefix.as_ref();
                let is_active = match term.factor {
                    Factor::Repetition if term.weight != 0 => &mut active.repetitions[segment],
                    Factor::Prefix if prefix.is_some_and(|prefix| term.weight != prefix.most()) => {
                        &mut active.prefixes[segment]
                    }
                    _ => continue,
                };
                missed |= !std::mem::replace(is_active, true);
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
            active.repetitions = ActiveFactors::all(&pass.lattice).repetitions;
        }
        if round == ROUNDS[1] {
            active.prefixes = ActiveFactors::all(&pass.lattice).prefixes;
        }
        let from = pass.activate(active);
        if let Some(tables) = tables {
            tables.keep_from(from);
        }
    }
    unreachable!("every factor is active in the end, and then none is missed")
}

/// The best path, and the completion bounds.
fn best_and_bounds<S: Semiring + 'static, const W: usize>(
    mut pass: Pass<S, W>,
    active: &mut ActiveFactors,
) -> (Option<Scored>, Option<Arc<dyn CompletionBounds>>)
where
    S::Value: Ord + Into<i64>,
{
    let mut tables = None;
    let found = solve_lazily(&mut pass, &mut tables, Sought::Best, active);
    let bounds = tables.map(|tables| {
        let bounds: Arc<dyn CompletionBounds> = Arc::new(BackwardValues::of(pass, tables));
        bounds
    });
    (found.into_iter().next(), bounds)
}
