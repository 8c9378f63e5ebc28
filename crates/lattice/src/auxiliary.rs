//! Auxiliary states: what the dynamic programme must remember at a layer beyond the last two candidates.
//!
//! Factors with a scope of up to three neighbouring layers are read off the last two candidates and the next. A prefix
//! factor of four classes reaches one layer further back, so the class of its first candidate is carried along; a
//! repetition factor reaches into the segment before, so the first classes of that are. Both are short queues of
//! classes, states of a small automaton multiplied into the lattice. They are never needed at once with a comparison
//! that is under way: that ends before the first class of its segment has left the last two candidates.

use crate::active::ActiveFactors;
use crate::lattice::{Lattice, Repetition};
use crate::weight::CLASSES;

/// Kind of auxiliary state after a layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Auxiliary {
    /// Nothing.
    Empty,
    /// Whether the first candidate equals that of the segment before (1) or not (0).
    SameFirst,
    /// The class that would complete a repetition, or [`NO_MATCH1`].
    Expected1,
    /// The two classes that would complete a repetition, `later * 12 + sooner`, or [`NO_MATCH2`].
    Expected2,
    /// The class of the segment's first candidate.
    Recorded1,
    /// The classes of the segment's first two candidates, `first * 12 + second`.
    Recorded2,
}

/// The segment cannot repeat the one before any more, in [`Auxiliary::Expected1`].
pub(crate) const NO_MATCH1: usize = CLASSES;
/// The segment cannot repeat the one before any more, in [`Auxiliary::Expected2`].
pub(crate) const NO_MATCH2: usize = CLASSES * CLASSES;

impl Auxiliary {
    /// Number of states.
    pub(crate) fn states(self) -> usize {
        match self {
            Self::Empty => 1,
            Self::SameFirst => 2,
            Self::Expected1 => NO_MATCH1 + 1,
            Self::Expected2 => NO_MATCH2 + 1,
            Self::Recorded1 => CLASSES,
            Self::Recorded2 => CLASSES * CLASSES,
        }
    }
}

/// Which factors have a scope that ends at a layer, and what is remembered after it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LayerLayout {
    /// Kind of auxiliary state after the layer.
    pub(crate) aux: Auxiliary,
    /// Place in its segment, from 1.
    pub(crate) nth: usize,
    /// The segment.
    pub(crate) segment: usize,
    /// Whether the scope of an active prefix factor of four classes ends here.
    pub(crate) prefix4: bool,
    /// Length of the run of one to three classes whose prefix or suffix factor ends here, 0 for none.
    pub(crate) run: usize,
    /// Whether that is the prefix factor rather than the suffix factor.
    pub(crate) run_is_prefix: bool,
    /// Weight of the repetition factor that ends here.
    pub(crate) repetition: Option<i32>,
}

/// The scopes and auxiliary states of all layers, for one choice of active factors.
#[derive(Debug, Clone)]
pub(crate) struct Layout {
    pub(crate) layers: Vec<LayerLayout>,
}

fn compared_classes(repetition: Option<Repetition>) -> usize {
    match repetition {
        Some(Repetition::Classes { count, .. }) => usize::from(count),
        _ => 0,
    }
}

impl Layout {
    /// Lays out the auxiliary states that the active factors need; linear in the number of layers.
    pub(crate) fn new(lattice: &Lattice, active: &ActiveFactors) -> Self {
        let segments = &lattice.segments;
        let repetition_of = |at: usize| {
            segments
                .get(at)
                .and_then(|segment| segment.repetition)
                .filter(|_| active.repetitions[at])
        };
        let mut layers = Vec::with_capacity(lattice.len());
        for (at, segment) in segments.iter().enumerate() {
            let prefix = segment.prefix.as_ref().map_or(0, |table| table.len());
            let prefix4 = active.prefixes[at] && prefix == 4;
            let suffix = segment.suffix.as_ref().map_or(0, |table| table.len());
            let repetition_in = repetition_of(at);
            let repetition_out = compared_classes(repetition_of(at + 1));
            for nth in 1..=segment.len {
                let (aux, decided) = match repetition_in {
                    Some(Repetition::Candidates { .. }) if nth == 1 => {
                        (Some(Auxiliary::SameFirst), false)
                    }
                    Some(Repetition::Candidates { .. }) => (None, nth == 2),
                    Some(Repetition::Classes { count, .. }) => {
                        match usize::from(count).checked_sub(nth) {
                            Some(2) => (Some(Auxiliary::Expected2), false),
                            Some(1) => (Some(Auxiliary::Expected1), false),
                            Some(_) => (None, true),
                            None => (None, false),
                        }
                    }
                    None => (None, false),
                };
                let recorded = repetition_out
                    .max(usize::from(prefix4 && nth == 3))
                    .min(nth.saturating_sub(2));
                let aux = aux.unwrap_or(match recorded {
                    0 => Auxiliary::Empty,
                    1 => Auxiliary::Recorded1,
                    _ => Auxiliary::Recorded2,
                });
                let run_is_prefix = nth == prefix && prefix < 4;
                let run = if run_is_prefix {
                    prefix
                } else if nth == segment.len {
                    suffix
                } else {
                    0
                };
                layers.push(LayerLayout {
                    aux,
                    nth,
                    segment: at,
                    prefix4: prefix4 && nth == 4,
                    run,
                    run_is_prefix,
                    repetition: repetition_in
                        .filter(|_| decided)
                        .map(|repetition| repetition.weight()),
                });
            }
        }
        Self { layers }
    }

    /// The auxiliary state after layer `t` (at least 2), from that before, when the candidates `i` and another came
    /// before and `k` is taken; and whether a repetition factor that ends at `t` applies.
    #[inline]
    pub(crate) fn next_aux(
        &self,
        lattice: &Lattice,
        t: usize,
        aux: usize,
        [i, _, k]: [usize; 3],
    ) -> (usize, bool) {
        let class_i = || lattice.class(t - 2, i);
        let class_k = || lattice.class(t, k);
        let (before, after) = (self.layers[t - 1].aux, self.layers[t].aux);
        if self.layers[t].nth == 1 {
            let next = match after {
                Auxiliary::SameFirst => usize::from(i == k),
                Auxiliary::Expected1 => {
                    let (first, second) = match before {
                        Auxiliary::Recorded2 => (aux / CLASSES, aux % CLASSES),
                        _ => (aux, class_i()),
                    };
                    if class_k() == first {
                        second
                    } else {
                        NO_MATCH1
                    }
                }
                Auxiliary::Expected2 if class_k() == aux / CLASSES => {
                    class_i() * CLASSES + aux % CLASSES
                }
                Auxiliary::Expected2 => NO_MATCH2,
                _ => 0,
            };
            return (next, false);
        }
        let matched = match before {
            Auxiliary::SameFirst => aux == 1 && i == k,
            Auxiliary::Expected1 => aux != NO_MATCH1 && class_k() == aux,
            _ => false,
        };
        let next = match after {
            Auxiliary::Expected1 if aux != NO_MATCH2 && class_k() == aux % CLASSES => aux / CLASSES,
            Auxiliary::Expected1 => NO_MATCH1,
            Auxiliary::Recorded1 => class_i(),
            Auxiliary::Recorded2 if before == Auxiliary::Recorded1 => aux * CLASSES + class_i(),
            Auxiliary::Recorded2 => aux,
            _ => 0,
        };
        (next, matched)
    }
}
