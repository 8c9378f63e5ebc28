//! A layer's table of backward values, one for each state.

use crate::auxiliary::Auxiliary;
use crate::weight::CLASSES;

use crate::table::PAD;

/// The column of [`NO_MATCH2`](crate::auxiliary::NO_MATCH2) in a folded table of [`Auxiliary::Expected2`].
pub(crate) const FOLDED_NO_MATCH: usize = CLASSES;

/// Values of all states after one layer: automaton state, last two candidates, auxiliary state.
#[derive(Debug, Clone)]
pub(crate) struct Values<V> {
    pub(crate) data: Vec<V>,
    pub(crate) aux: Auxiliary,
    /// Distance between automaton states.
    pub(crate) by_state: usize,
    /// Distance between values of the earlier candidate.
    pub(crate) by_first: usize,
    /// Distance between values of the later candidate.
    pub(crate) by_second: usize,
    /// Distance between auxiliary states.
    pub(crate) by_aux: usize,
    /// Whether twelve or thirteen columns are kept in place of 144 or 145 auxiliary states; values are then worked out
    /// from those and later tables ([`Pass::value`](super::Pass::value)).
    ///
    /// Of [`Auxiliary::Recorded2`], column `c` combines the extensions to all classes but `c`: those that do not repeat
    /// a first class `c`. Of [`Auxiliary::Expected2`], column `c` does the same for the next expected class, and the last
    /// combines all extensions.
    pub(crate) folded: bool,
    /// Power of two that was taken out of all values from here to the end.
    pub(crate) exponent: i64,
}

impl<V: Copy> Values<V> {
    pub(crate) fn new(
        zero: V,
        states: usize,
        candidates: usize,
        lanes: usize,
        aux: Auxiliary,
        folded: bool,
    ) -> Self {
        let count = aux.states();
        let (by_first, by_second, by_aux, by_state) = match aux {
            Auxiliary::Empty | Auxiliary::SameFirst => {
                (lanes, 1, candidates * lanes, count * candidates * lanes)
            }
            Auxiliary::Expected1 => (1, count * lanes, lanes, candidates * count * lanes),
            Auxiliary::Expected2 => {
                let count = if folded { CLASSES + 1 } else { count };
                (count * lanes, 1, lanes, candidates * count * lanes)
            }
            Auxiliary::Recorded1 | Auxiliary::Recorded2 => {
                let count = if folded { CLASSES } else { count };
                (
                    candidates * count,
                    count,
                    1,
                    candidates * candidates * count,
                )
            }
        };
        let data = vec![zero; states * by_state + PAD];
        Self {
            data,
            aux,
            by_state,
            by_first,
            by_second,
            by_aux,
            folded,
            exponent: 0,
        }
    }

    #[inline(always)]
    pub(crate) fn index(&self, state: usize, first: usize, second: usize, aux: usize) -> usize {
        state * self.by_state + first * self.by_first + second * self.by_second + aux * self.by_aux
    }

    #[inline(always)]
    pub(crate) fn at(&self, state: usize, first: usize, second: usize, aux: usize) -> V {
        self.data[self.index(state, first, second, aux)]
    }
}
