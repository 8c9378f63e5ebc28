//! Running a pass from the last layer to the first, with all tables kept or only some.
//!
//! Where they do not all fit, only checkpoints are kept and the tables between worked out a second time: J. Grice,
//! R. Hughey, D. Speck, "Reduced space sequence alignment", Computer Applications in the Biosciences 13 (1997). From
//! memory.

use std::collections::VecDeque;

use pulp::Simd;

use super::{Pass, Scratch, Values};
use crate::auxiliary::Auxiliary;
use crate::semiring::Semiring;
use crate::simd::{Work, dispatch};

/// Memory up to which all tables of a search for the best path are kept, in bytes.
const KEEP_ALL: usize = 32 << 20;

/// A run of neighbouring layers' tables.
pub(crate) struct Tables<V> {
    /// Layer of the first table.
    first: usize,
    tables: Vec<Values<V>>,
}

impl<V> Tables<V> {
    /// Tables of layer `t` and the two after it; the last one stands in for those that there are not.
    #[inline(always)]
    pub(crate) fn get(&self, t: usize) -> [&Values<V>; 3] {
        let last = self.tables.len() - 1;
        [0, 1, 2].map(|ahead| &self.tables[(t - self.first + ahead).min(last)])
    }

    /// Forgets the tables before layer `t`.
    pub(crate) fn keep_from(&mut self, t: usize) {
        let count = t.saturating_sub(self.first).min(self.tables.len());
        self.tables.drain(..count);
        self.first += count;
    }
}

/// One step of the backward pass.
struct BackwardStep<'a, S: Semiring, const W: usize> {
    pass: &'a Pass<S, W>,
    t: usize,
    later: [&'a Values<S::Value>; 3],
    scratch: &'a mut Scratch<S::Value>,
}

impl<S: Semiring, const W: usize> Work for BackwardStep<'_, S, W> {
    type Output = Values<S::Value>;

    #[inline(always)]
    fn run<D: Simd>(self, simd: D) -> Values<S::Value> {
        self.pass
            .backward_step(simd, self.t, self.later, self.scratch)
    }
}

impl<S: Semiring, const W: usize> Pass<S, W> {
    /// Values at `t - 1` from those of later layers, nearest first.
    fn step<'v>(
        &self,
        t: usize,
        later: impl Iterator<Item = &'v Values<S::Value>>,
        scratch: &mut Scratch<S::Value>,
    ) -> Values<S::Value>
    where
        S::Value: 'v,
    {
        let mut later = later.fuse();
        let next = later.next().expect("a step back starts from a table");
        let after = later.next().unwrap_or(next);
        let later = [next, after, later.next().unwrap_or(after)];
        dispatch(BackwardStep {
            pass: self,
            t,
            later,
            scratch,
        })
    }

    /// All tables from layer `first` (at least 1) on, given those of some later layers.
    fn back_to(&self, first: usize, later: Tables<S::Value>) -> Tables<S::Value> {
        let mut scratch = Scratch::default();
        let mut tables = later.tables;
        tables.reverse();
        for t in (first + 1..=later.first).rev() {
            let values = self.step(t, tables.iter().rev(), &mut scratch);
            tables.push(values);
        }
        tables.reverse();
        Tables { first, tables }
    }

    /// All tables from layer 1 on; the lattice has at least two layers. Those of later layers that are known are
    /// taken over.
    pub(crate) fn backward_tables(&self, known: Option<Tables<S::Value>>) -> Tables<S::Value> {
        let known = known.filter(|known| !known.tables.is_empty());
        self.back_to(1, known.unwrap_or_else(|| self.end()))
    }

    /// The table of the last layer, which must not be the first.
    fn end(&self) -> Tables<S::Value> {
        Tables {
            first: self.lattice.len() - 1,
            tables: vec![self.last_values()],
        }
    }

    /// The table of layer 1 alone; the lattice has at least two layers.
    pub(crate) fn first_table(&self) -> Values<S::Value> {
        self.tables_at(|_| false).1
    }

    /// The tables for which `mark` is true, from the last layer to the first, and the table of layer 1.
    fn tables_at(&self, mark: impl Fn(usize) -> bool) -> (Vec<Values<S::Value>>, Values<S::Value>) {
        let mut scratch = Scratch::default();
        let mut marked = Vec::new();
        // The tables nearest to the front, the nearest first.
        let mut later = VecDeque::from([self.last_values()]);
        for t in (2..self.lattice.len()).rev() {
            let values = self.step(t, later.iter(), &mut scratch);
            if mark(t) {
                marked.push(later[0].clone());
            }
            later.push_front(values);
            later.truncate(3);
        }
        (
            marked,
            later
                .swap_remove_front(0)
                .expect("there is a table of layer 1"),
        )
    }

    fn table_bytes(&self, t: usize) -> usize {
        let aux = if self.is_folded(t) {
            Auxiliary::Expected1
        } else {
            self.layout.layers[t].aux
        };
        aux.states() * self.states * self.lattice.candidates * W * size_of::<S::Value>()
    }

    /// The backward pass, and then `visit` for the layers from 1 to the last with that layer's tables: all at once when
    /// they fit in memory, else one run of layers at a time, worked out again from the checkpoints at run ends.
    ///
    /// When they do fit, tables that are known are taken over, and all are given back. When not, time is at most
    /// doubled; memory grows with the square root of the number of layers.
    pub(crate) fn backward_then_forward(
        &self,
        known: Option<Tables<S::Value>>,
        mut visit: impl FnMut(usize, &Tables<S::Value>),
    ) -> Option<Tables<S::Value>> {
        let last = self.lattice.len() - 1;
        let total: usize = (1..=last).map(|t| self.table_bytes(t)).sum();
        if total <= KEEP_ALL {
            let tables = self.backward_tables(known);
            (1..=last).for_each(|t| visit(t, &tables));
            return Some(tables);
        }
        // Runs of about the square root of the number of layers, that end where a table stands alone.
        let length = (last as f64).sqrt() as usize + 1;
        let mut ends = Vec::new();
        let mut begun = 1;
        for t in 1..=last {
            if t == last || (t + 1 - begun >= length && !self.is_folded(t)) {
                ends.push(t);
                begun = t + 1;
            }
        }
        let (mut marked, _) = self.tables_at(|t| t != last && ends.binary_search(&t).is_ok());
        let mut begun = 1;
        for end in ends {
            let later = match marked.pop() {
                Some(values) => Tables {
                    first: end,
                    tables: vec![values],
                },
                None => self.end(),
            };
            // The next run's first table is needed only when this run's last is folded, which it never is.
            let tables = self.back_to(begun, later);
            (begun..=end).for_each(|t| visit(t, &tables));
            begun = end + 1;
        }
        None
    }
}
