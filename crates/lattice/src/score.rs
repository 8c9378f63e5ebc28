//! Paths with their scores, and the score of a given path, factor by factor: the definition that every search is held
//! against.

use crate::lattice::{Lattice, Repetition};
use crate::weight::NEVER;

/// A path with its score.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scored {
    /// One candidate per layer.
    pub path: Vec<u8>,
    /// Sum of the path's weights, in thousandths.
    pub score: i64,
}

/// The kinds of factors, by their scopes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Factor {
    /// One candidate.
    Unary,
    /// A candidate and the one before.
    Bigram,
    /// A candidate and the two before.
    Trigram,
    /// The first classes of a segment.
    Prefix,
    /// The last classes of a segment.
    Suffix,
    /// The first candidates of a segment and of the one before.
    Repetition,
}

/// What one factor contributes to a path's score.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Term {
    /// The last layer of its scope.
    pub layer: usize,
    /// Its kind.
    pub factor: Factor,
    /// Its weight, or [`NEVER`].
    pub weight: i32,
}

impl Lattice {
    /// Score of a path, straight from the definition, or `None` when something in it is forbidden.
    ///
    /// A path of the wrong length, with an unknown candidate, that a pin excludes or that the automaton does not
    /// accept is forbidden too. Linear in the number of layers.
    pub fn score(&self, path: &[u8]) -> Option<i64> {
        let fits = path.len() == self.len()
            && path.iter().enumerate().all(|(layer, &k)| {
                usize::from(k) < self.candidates && self.is_allowed(layer, usize::from(k))
            });
        if !fits
            || self
                .automaton
                .as_ref()
                .is_some_and(|automaton| !automaton.accepts(path))
        {
            return None;
        }
        self.terms(path).iter().try_fold(0i64, |sum, term| {
            (term.weight != NEVER).then(|| sum + i64::from(term.weight))
        })
    }

    /// Every contribution to the path's score, layer by layer, forbidden ones included.
    ///
    /// A layer has its unary factor, its bigram factor (from the second layer), its trigram factor (from the third), and
    /// the prefix, suffix and repetition factors whose scope ends there, the last only where it applies. Without a
    /// [`NEVER`] among them the weights add up to [`Lattice::score`]. Linear in the number of layers.
    ///
    /// # Panics
    /// When the path has not one existing candidate per layer.
    pub fn terms(&self, path: &[u8]) -> Vec<Term> {
        assert_eq!(path.len(), self.len(), "a path has one candidate per layer");
        let x = |layer: usize| i32::from(path[layer]);
        let class = |layer: usize| self.class(layer, usize::from(path[layer]));
        let has_feature = |layer: usize| self.has_feature(layer, usize::from(path[layer]));
        let mut terms = Vec::with_capacity(4 * path.len());
        let starts = self.segments.iter().zip(self.starts.iter());
        for (number, (segment, &start)) in starts.enumerate() {
            let end = start + segment.len;
            for t in start..end {
                let layer = &self.layers[t];
                let mut add = |factor, weight| {
                    terms.push(Term {
                        layer: t,
                        factor,
                        weight,
                    })
                };
                add(Factor::Unary, layer.unary[usize::from(path[t])]);
                if t >= 1 {
                    add(
                        Factor::Bigram,
                        layer.bigram.weight(class(t - 1), x(t) - x(t - 1)),
                    );
                }
                if t >= 2 {
                    let (first, second) = (x(t - 1) - x(t - 2), x(t) - x(t - 1));
                    add(
                        Factor::Trigram,
                        layer
                            .trigram
                            .weight(has_feature(t - 1), has_feature(t), first, second),
                    );
                }
                if let Some(weight) = self.prefix_at(number, path, t) {
                    add(Factor::Prefix, weight);
                }
                if let Some(suffix) = segment.suffix.as_ref().filter(|_| t + 1 == end) {
                    add(
                        Factor::Suffix,
                        suffix.weight(&(end - suffix.len()..end).map(class).collect::<Vec<_>>()),
                    );
                }
                if let Some(weight) = self.repetition_at(number, path, t) {
                    add(Factor::Repetition, weight);
                }
            }
        }
        terms
    }

    /// Weight of the prefix factor of a segment, where its scope ends at layer `t` of a path or of its beginning.
    pub(crate) fn prefix_at(&self, segment: usize, path: &[u8], t: usize) -> Option<i32> {
        let (start, prefix) = (
            self.starts[segment],
            self.segments[segment].prefix.as_ref()?,
        );
        let class = |layer: usize| self.class(layer, usize::from(path[layer]));
        let run = || (start..=t).map(class).collect::<Vec<_>>();
        (start + prefix.len() == t + 1).then(|| prefix.weight(&run()))
    }

    /// Weight of the repetition factor of a segment, where it applies and its scope ends at layer `t`.
    pub(crate) fn repetition_at(&self, segment: usize, path: &[u8], t: usize) -> Option<i32> {
        let (start, len) = (self.starts[segment], self.segments[segment].len);
        let class = |layer: usize| self.class(layer, usize::from(path[layer]));
        match self.segments[segment].repetition? {
            Repetition::Classes { count, weight } if t + 1 == start + usize::from(count) => (start
                ..=t)
                .all(|at| class(at) == class(at - len))
                .then_some(weight),
            Repetition::Candidates { weight } if t == start + 1 => (start..=t)
                .all(|at| path[at] == path[at - len])
                .then_some(weight),
            _ => None,
        }
    }
}
