//! Paths in rank order, guided by a predicate on their beginnings.

use crate::best::Scored;
use crate::frontier::{Frontier, MOST_STEPS};
use crate::lattice::Lattice;
use crate::memory::Watched;

/// The allowed paths whose every beginning is admitted, in rank order; made by [`Lattice::ranked_where`].
///
/// Ends with `None` when there are no more, or with one error when the steps are spent.
pub struct Ranked<F> {
    frontier: Frontier,
    admits: F,
    layers: usize,
    steps: usize,
    most_steps: usize,
    ended: bool,
    path: Vec<u8>,
}

/// The search ended before its answer was known: it may look at no more beginnings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the search ended after {steps} beginnings; allow more steps, or admit fewer beginnings")]
pub struct StepsSpent {
    /// Number of beginnings looked at.
    pub steps: usize,
}

impl Lattice {
    /// The allowed paths of which `admits` holds for every beginning (from the first candidate alone to the whole
    /// path), one after another in rank order: highest score first, equals in the order of candidate indices. The
    /// first is the best under the predicate, exactly.
    ///
    /// `admits` must be closed under beginnings: where it refuses one, every longer one counts as refused. It is asked
    /// about each beginning at most once, and best first: only about those whose best completion ranks before the path
    /// that comes out next. It may therefore have a memory, but must not change its mind.
    ///
    /// `most_steps` (at most 2^25) bounds the beginnings that are looked at in the whole life of the iterator. When they are spent
    /// before the next path is known, the iterator gives [`StepsSpent`] once and ends: that is not to say that there
    /// are no more paths.
    ///
    /// All tables are made first, as for [`Lattice::k_best`]; pinned layers cost little. Then every step looks at one
    /// beginning, in time proportional to the number of candidates, and keeps at most about 1 KB of it. The steps that
    /// a path takes depend on the predicate: as many as there are layers, when nothing is refused.
    ///
    /// ```
    /// # use std::sync::Arc;
    /// # use linewright_lattice::{LatticeBuilder, Layer, Segment, ShapeTable, StepTable};
    /// # let step = Arc::new(StepTable::from_fn(3, |_, _| 0)?);
    /// # let shape = Arc::new(ShapeTable::from_fn(3, |_, _, _, _| 0)?);
    /// # let mut builder = LatticeBuilder::new(3);
    /// # for _ in 0..3 {
    /// #     let (step, shape) = (Arc::clone(&step), Arc::clone(&shape));
    /// #     builder.layer(Layer { notes: vec![30, 20, 10], shift: 0, gate: 0, step, shape });
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
    pub fn ranked_where<F: FnMut(&[u8]) -> bool>(&self, admits: F, most_steps: usize) -> Ranked<F> {
        Ranked {
            frontier: Frontier::new(self.look_ahead(&Watched::all(self))),
            admits,
            layers: self.len(),
            steps: 0,
            most_steps: most_steps.min(MOST_STEPS),
            ended: false,
            path: Vec::with_capacity(self.len()),
        }
    }
}

impl<F> Ranked<F> {
    /// Number of beginnings looked at so far.
    pub fn steps(&self) -> usize {
        self.steps
    }
}

impl<F: FnMut(&[u8]) -> bool> Iterator for Ranked<F> {
    type Item = Result<Scored, StepsSpent>;

    fn next(&mut self) -> Option<Self::Item> {
        while !self.ended {
            let Some(out) = self.frontier.pop() else {
                break;
            };
            if self.steps == self.most_steps {
                self.ended = true;
                return Some(Err(StepsSpent { steps: self.steps }));
            }
            self.steps += 1;
            self.frontier.path(out, &mut self.path);
            if !(self.admits)(&self.path) {
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
            self.frontier.extend(out, state);
        }
        self.ended = true;
        None
    }
}

impl<F> std::iter::FusedIterator for Ranked<F> where F: FnMut(&[u8]) -> bool {}

impl<F> std::fmt::Debug for Ranked<F> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Ranked")
            .field("steps", &self.steps)
            .finish_non_exhaustive()
    }
}
