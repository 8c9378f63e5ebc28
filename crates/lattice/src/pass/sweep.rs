//! Running a pass from the last layer to the first, with all tables kept or only some.

use super::{Pass, Scratch, Values};
use crate::semiring::Semiring;

/// Memory up to which all tables of a sweep for the best path are kept, in bytes.
const KEEP_ALL: usize = 32 << 20;

/// A run of neighbouring layers' tables.
pub(crate) struct Tables<V> {
    /// Layer of the first table.
    first: usize,
    tables: Vec<Values<V>>,
}

impl<V> Tables<V> {
    /// Table of layer `t`, with that of the next layer when it is kept.
    #[inline(always)]
    pub(crate) fn get(&self, t: usize) -> (&Values<V>, Option<&Values<V>>) {
        (
            &self.tables[t - self.first],
            self.tables.get(t + 1 - self.first),
        )
    }
}

impl<S: Semiring, const W: usize> Pass<S, W> {
    fn step(
        &self,
        t: usize,
        next: &Values<S::Value>,
        after: Option<&Values<S::Value>>,
        scratch: &mut Scratch<S::Value>,
    ) -> Values<S::Value> {
        pulp::Arch::new().dispatch(
            #[inline(always)]
            || self.back(t, next, after, scratch),
        )
    }

    /// All tables from layer `first` (at least 1) to the layer of `last`.
    fn back_to(&self, first: usize, last_layer: usize, last: Values<S::Value>) -> Tables<S::Value> {
        let mut scratch = Scratch::default();
        let mut tables = vec![last];
        for t in (first + 1..=last_layer).rev() {
            let (next, after) = (
                &tables[tables.len() - 1],
                tables.len().checked_sub(2).map(|at| &tables[at]),
            );
            tables.push(self.step(t, next, after, &mut scratch));
        }
        tables.reverse();
        Tables { first, tables }
    }

    /// All tables from layer 1 on; the lattice has at least two layers.
    pub(crate) fn sweep(&self) -> Tables<S::Value> {
        self.back_to(1, self.lattice.len() - 1, self.last_values())
    }

    /// The table of layer 1 alone; the lattice has at least two layers.
    pub(crate) fn sweep_through(&self) -> Values<S::Value> {
        self.sweep_marking(|_| false).1
    }

    /// The tables for which `mark` is true, from the last layer to the first, and the table of layer 1.
    fn sweep_marking(
        &self,
        mark: impl Fn(usize) -> bool,
    ) -> (Vec<(usize, Values<S::Value>)>, Values<S::Value>) {
        let mut scratch = Scratch::default();
        let mut marked = Vec::new();
        let mut next = self.last_values();
        let mut after: Option<Values<S::Value>> = None;
        for t in (2..self.lattice.len()).rev() {
            let values = self.step(t, &next, after.as_ref(), &mut scratch);
            if mark(t) {
                marked.push((t, next.clone()));
            }
            after = Some(std::mem::replace(&mut next, values));
        }
        (marked, next)
    }

    fn table_bytes(&self, t: usize) -> usize {
        let values = self.plan.places[t].memory.states() * self.states;
        values * self.lattice.candidates * W * size_of::<S::Value>()
    }

    /// Sweeps, then calls `visit` for the layers from 1 to the last with that layer's tables: all at once when they
    /// fit in memory, else one run of layers at a time, worked out again from the tables kept at run ends.
    ///
    /// Time is at most doubled; memory grows with the square root of the number of layers.
    pub(crate) fn sweep_then_visit(&self, mut visit: impl FnMut(usize, &Tables<S::Value>)) {
        let last = self.lattice.len() - 1;
        let total: usize = (1..=last).map(|t| self.table_bytes(t)).sum();
        if total <= KEEP_ALL {
            let tables = self.sweep();
            (1..=last).for_each(|t| visit(t, &tables));
            return;
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
        let (mut marked, _) = self.sweep_marking(|t| t != last && ends.binary_search(&t).is_ok());
        let mut begun = 1;
        for end in ends {
            let values = match marked.pop() {
                Some((_, values)) => values,
                None => self.last_values(),
            };
            // The next run's first table is needed only when this run's last is folded, which it never is.
            let tables = self.back_to(begun, end, values);
            (begun..=end).for_each(|t| visit(t, &tables));
            begun = end + 1;
        }
    }
}
