//! The score of a given path, term by term: the definition that every search is held against.

use crate::lattice::{Echo, Lattice};
use crate::weight::NEVER;

/// Where a weight of a path comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Source {
    /// The candidate itself.
    Note,
    /// The step into the candidate.
    Step,
    /// The step into the candidate together with the step before.
    Shape,
    /// The classes at the head of the segment that ends its head here.
    Head,
    /// The classes at the tail of the segment that ends here.
    Tail,
    /// The likeness of this segment's beginning to that of the segment before, complete here.
    Echo,
}

/// One contribution to a path's score.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Term {
    /// The layer at which the contribution is complete.
    pub layer: usize,
    /// Where it comes from.
    pub source: Source,
    /// Its weight, or [`NEVER`].
    pub weight: i32,
}

impl Lattice {
    /// Score of a path, straight from the definition, or `None` when something in it is forbidden.
    ///
    /// A path of the wrong length, with an unknown candidate, that a pin excludes or that the automaton does not
    /// accept is forbidden too.
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
    /// A layer has its note, its step (from the second layer), its shape (from the third), the head or tail table
    /// that is complete there, and the echo when it applies. Absent tables and echoes that do not apply give no
    /// term. Without a [`NEVER`] among them the weights add up to [`Lattice::score`].
    ///
    /// # Panics
    /// When the path has not one existing candidate per layer.
    pub fn terms(&self, path: &[u8]) -> Vec<Term> {
        assert_eq!(path.len(), self.len(), "a path has one candidate per layer");
        let x = |layer: usize| i32::from(path[layer]);
        let class = |layer: usize| self.class(layer, usize::from(path[layer]));
        let gate = |layer: usize| self.gate(layer, usize::from(path[layer]));
        let mut terms = Vec::with_capacity(4 * path.len());
        let starts = self.segments.iter().zip(self.starts.iter());
        for (number, (segment, &start)) in starts.enumerate() {
            let end = start + segment.len;
            for t in start..end {
                let layer = &self.layers[t];
                let mut add = |source, weight| {
                    terms.push(Term {
                        layer: t,
                        source,
                        weight,
                    })
                };
                add(Source::Note, layer.notes[usize::from(path[t])]);
                if t >= 1 {
                    add(
                        Source::Step,
                        layer.step.weight(class(t - 1), x(t) - x(t - 1)),
                    );
                }
                if t >= 2 {
                    let (first, second) = (x(t - 1) - x(t - 2), x(t) - x(t - 1));
                    add(
                        Source::Shape,
                        layer.shape.weight(gate(t - 1), gate(t), first, second),
                    );
                }
                if let Some(weight) = self.head_at(number, path, t) {
                    add(Source::Head, weight);
                }
                if let Some(tail) = segment.tail.as_ref().filter(|_| t + 1 == end) {
                    add(
                        Source::Tail,
                        tail.weight(&(end - tail.len()..end).map(class).collect::<Vec<_>>()),
                    );
                }
                if let Some(weight) = self.echo_at(number, path, t) {
                    add(Source::Echo, weight);
                }
            }
        }
        terms
    }

    /// Weight of the head of a segment, where it is complete at layer `t` of a path or of its beginning.
    pub(crate) fn head_at(&self, segment: usize, path: &[u8], t: usize) -> Option<i32> {
        let (start, head) = (self.starts[segment], self.segments[segment].head.as_ref()?);
        let class = |layer: usize| self.class(layer, usize::from(path[layer]));
        let run = || (start..=t).map(class).collect::<Vec<_>>();
        (start + head.len() == t + 1).then(|| head.weight(&run()))
    }

    /// Weight of the echo of a segment, where it applies and is complete at layer `t`.
    pub(crate) fn echo_at(&self, segment: usize, path: &[u8], t: usize) -> Option<i32> {
        let (start, len) = (self.starts[segment], self.segments[segment].len);
        let class = |layer: usize| self.class(layer, usize::from(path[layer]));
        match self.segments[segment].echo? {
            Echo::Classes { count, weight } if t + 1 == start + usize::from(count) => (start..=t)
                .all(|at| class(at) == class(at - len))
                .then_some(weight),
            Echo::Same { weight } if t == start + 1 => (start..=t)
                .all(|at| path[at] == path[at - len])
                .then_some(weight),
            _ => None,
        }
    }
}
