//! A layer's table of values, one for each state.

use crate::memory::Memory;
use crate::weight::CLASSES;

use crate::table::PAD;

/// Place of "no echo to continue" in a folded table of [`Memory::Expect2`].
pub(crate) const FOLDED_FREE: usize = CLASSES;

/// Values of all states after one layer: automaton state, last two candidates, memory.
#[derive(Debug, Clone)]
pub(crate) struct Values<V> {
    pub(crate) data: Vec<V>,
    pub(crate) memory: Memory,
    /// Distance between automaton states.
    pub(crate) by_state: usize,
    /// Distance between values of the earlier candidate.
    pub(crate) by_first: usize,
    /// Distance between values of the later candidate.
    pub(crate) by_second: usize,
    /// Distance between memories.
    pub(crate) by_memory: usize,
    /// Only a part that twelve or thirteen values describe is kept; the rest is worked out from later layers.
    ///
    /// Of [`Memory::Record2`] it is the ways on that begin no echo, by the class that would begin one; of [`Memory::Expect2`] the ways on that do not continue it, by the class that would, and
    /// then all ways on when there is no echo to continue.
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
        memory: Memory,
        folded: bool,
    ) -> Self {
        let count = memory.states();
        let (by_first, by_second, by_memory, by_state) = match memory {
            Memory::Nothing | Memory::Same => {
                (lanes, 1, candidates * lanes, count * candidates * lanes)
            }
            Memory::Expect1 => (1, count * lanes, lanes, candidates * count * lanes),
            Memory::Expect2 => {
                let count = if folded { CLASSES + 1 } else { count };
                (count * lanes, 1, lanes, candidates * count * lanes)
            }
            Memory::Record1 | Memory::Record2 => {
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
            memory,
            by_state,
            by_first,
            by_second,
            by_memory,
            folded,
            exponent: 0,
        }
    }

    #[inline(always)]
    pub(crate) fn index(&self, state: usize, first: usize, second: usize, memory: usize) -> usize {
        state * self.by_state
            + first * self.by_first
            + second * self.by_second
            + memory * self.by_memory
    }

    #[inline(always)]
    pub(crate) fn at(&self, state: usize, first: usize, second: usize, memory: usize) -> V {
        self.data[self.index(state, first, second, memory)]
    }
}
