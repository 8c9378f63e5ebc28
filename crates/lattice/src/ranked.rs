//! Paths in rank order under a predicate on their prefixes: A* with an exact heuristic.
//!
//! P. Hart, N. Nilsson, B. Raphael, "A formal basis for the heuristic determination of minimum cost paths", IEEE
//! Transactions on Systems Science and Cybernetics 4 (1968). The heuristic is the value of the best completion, exact
//! without the predicate; so no prefix is looked at whose best completion ranks behind the next answer.

use crate::active::ActiveFactors;
use crate::frontier::{Frontier, MAX_EXPANSIONS};
use crate::lattice::Lattice;
use crate::score::Scored;

/// The allowed paths whose every prefix is admitted, in rank order; made by [`Lattice::ranked_where`].
///
/// Ends with `None` when there are no more, or with one error when the limit of expansions is reached.
pub struct Ranked<F> {
    frontier: Frontier,
    predicate: F,
    layers: usize,
    expansions: usize,
    max_expansions: usize,
    ended: bool,
    path: Vec<u8>,
}

/// The search ended before its answer was known: it may look at no more prefixes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "the search ended after {expansions} prefixes; allow more expansions, or admit fewer prefixes"
)]
pub struct ExpansionLimit {
    /// Number of prefixes looked at.
    pub expansions: usize,
}

impl Lattice {
    /// The allowed paths of which `predicate` holds for every prefix (from the first candidate alone to the whole
    /// path), one after another in rank order: highest score first, equals in the order of candidate indices. The
    /// first is the best under the predicate, exactly.
    ///
    /// `predicate` must be closed under prefixes: where it refuses one, every longer one counts as refused. It is asked
    /// about each prefix at most once, and best first: only about those whose best completion ranks before the path
    /// that comes out next. It may therefore have a memory, but must not change its mind.
    ///
    /// `max_expansions` (at most 2^25) bounds the prefixes that are looked at in the whole life of the iterator. When it
    /// is reached before the next path is known, the iterator gives [`ExpansionLimit`] once and ends: that is not to say
    /// that there are no more paths.
    ///
    /// All tables are made first, as for [`Lattice::k_best`]; pinned layers cost little. Then every expansion looks at
    /// one prefix, in time proportional to the number of candidates, and keeps at most about 1 KB of it. The expansions
    /// that a path takes depend on the predicate: as many as there are layers, when nothing is refused.
    ///
    /// ```
    /// # use std::sync::Arc;
    /// # use linewright_lattice::{BigramTable, LatticeBuilder, Layer, Segment, TrigramTable};
    /// # let bigram = Arc::new(BigramTable::from_fn(3, |_, _| 0)?);
    /// # let trigram = Arc::new(TrigramTable::from_fn(3, |_, _, _, _| 0)?);
    /// # let mut builder = LatticeBuilder::new(3);
    /// # for _ in 0..3 {
    /// #     let (bigram, trigram) = (Arc::clone(&bigram), Arc::clone(&trigram));
    /// #     builder.layer(Layer { unary: vec![30, 20, 10], shift: 0, feature: 0, bigram, trigram });
    /// # }
    /// # builder.segment(Segment { len: 3, ..Segment::default() });
    /// # let lattice = builder.build()?;
    /// // No candidate twice.
    /// let fresh = |path: &[u8]| path.split_last().is_none_or(|(last, before)| !before.contains(last));
    /// let found: Result<Vec<_>, _> = lattice.ranked_where(fresh, 1_000).take(2).collect();
    /// let found = found?;
    /// assert_eq!((&found[0].path[..], &found[1].path[..]), (&[0, 1, 2][..], &[0, 2, 1][..]));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn ranked_where<F: FnMut(&[u8]) -> bool>(
        &self,
        predicate: F,
        max_expansions: usize,
    ) -> Ranked<F> {
        Ranked {
            frontier: Frontier::new(self.completion_bounds(&ActiveFactors::all(self))),
            predicate,
            layers: self.len(),
            expansions: 0,
            max_expansions: max_expansions.min(MAX_EXPANSIONS),
            ended: false,
            path: Vec::with_capacity(self.len()),
        }
    }
}

impl<F> Ranked<F> {
    /// Number of prefixes looked at so far.
    pub fn expansions(&self) -> usize {
        self.expansions
    }
}

impl<F: FnMut(&[u8]) -> bool> Iterator for Ranked<F> {
    type Item = Result<Scored, ExpansionLimit>;

    fn next(&mut self) -> Option<Self::Item> {
        while !self.ended {
            let Some(out) = self.frontier.pop() else {
                break;
            };
            if self.expansions == self.max_expansions {
                self.ended = true;
                return Some(Err(ExpansionLimit {
                    expansions: self.expansions,
                }));
            }
            self.expansions += 1;
            self.frontier.path(out, &mut self.path);
            if !(self.predicate)(&self.path) {
                continue;
            }
            if self.path.len() == self.layers {
                let path = self.path.clone();
                return Some(Ok(Scored {
                    path,
                    score: out.value,
                }));
            }
            let state = self.frontier.state(out);
            self.frontier.expand(out, state);
        }
        self.ended = true;
        None
    }
}

impl<F> std::iter::FusedIterator for Ranked<F> where F: FnMut(&[u8]) -> bool {}

impl<F> std::fmt::Debug for Ranked<F> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Ranked")
            .field("expansions", &self.expansions)
            .finish_non_exhaustive()
    }
}
