//! Going forward through the tables: all ways on from one state with their values.

use pulp::Simd;

use crate::memory::{FREE1, FREE2, Memory};
use crate::semiring::Semiring;
use crate::weight::CLASSES;
use crate::wide::Rows;

use super::lifted::lanes;
use super::{At, FOLDED_FREE, Pass, Tables};

impl<S: Semiring, const W: usize> Pass<S, W> {
    /// Value of going on from `at` to each candidate of layer `t` (at least 2) and finishing from there; zero where
    /// there is no way. `moves` are those into every layer.
    #[inline(always)]
    pub(crate) fn shares<D: Simd>(
        &self,
        simd: D,
        t: usize,
        at: At,
        tables: &Tables<S::Value>,
        moves: &[Vec<S::Value>],
    ) -> [S::Value; W] {
        let ring = self.ring;
        let [i, j] = at.pair;
        let mut shares = self.lifted.view(&self.lattice, t).along_last(simd, i, j);
        let steps: &[S::Value; W] = lanes(&moves[t], j * W);
        let work = Rows { ring, simd };
        work.multiply(&mut shares, steps);
        S::settle_weights(ring, simd, &mut shares);
        match self.values_on(simd, t, at, tables, moves) {
            Some(values) => {
                work.multiply(&mut shares, &values);
                work.settle(&mut shares);
            }
            None => self.value_each(t, at, tables, moves, &mut shares),
        }
        shares
    }

    /// Takes the moves in `shares` times the values that follow, one candidate at a time: always right.
    #[inline(always)]
    fn value_each(
        &self,
        t: usize,
        at: At,
        tables: &Tables<S::Value>,
        moves: &[Vec<S::Value>],
        shares: &mut [S::Value; W],
    ) {
        let ring = self.ring;
        let [i, j] = at.pair;
        let ways_on = self.lifted.ways_on(&self.lattice, t, j);
        for (k, share) in shares.iter_mut().enumerate().take(self.lattice.candidates) {
            if ways_on >> k & 1 == 0 {
                *share = ring.zero();
                continue;
            }
            let Some(state) = self.go(t, at.state, k) else {
                *share = ring.zero();
                continue;
            };
            let (memory, echoes) = self.plan.advance(&self.lattice, t, at.memory, [i, j, k]);
            let extra = self.extra(t, at.memory, [i, j, k], echoes);
            let next = At {
                state,
                pair: [j, k],
                memory,
            };
            let value = self.value_with(t, tables.get(t), next, |t, k, l| moves[t][k * W + l]);
            *share = ring.settle(ring.times(ring.settle(ring.times(*share, extra)), value));
        }
    }

    /// The values that follow each candidate with what the memory adds, for the common changes of memory.
    #[inline(always)]
    fn values_on<D: Simd>(
        &self,
        simd: D,
        t: usize,
        at: At,
        tables: &Tables<S::Value>,
        moves: &[Vec<S::Value>],
    ) -> Option<[S::Value; W]> {
        if self.lattice.automaton.is_some() {
            return None;
        }
        let (ring, n) = (self.ring, self.lattice.candidates);
        let [i, j] = at.pair;
        let later = tables.get(t);
        let next = later[0];
        let place = &self.plan.places[t];
        let before = self.plan.places[t - 1].memory;
        let class_i = || self.lattice.class(t - 2, i);
        let mut values = [ring.zero(); W];
        let mut gather = |memory: usize| {
            let row = &next.data[next.index(0, j, 0, memory)..];
            for (value, &from) in values
                .iter_mut()
                .zip(row.iter().step_by(next.by_second))
                .take(n)
            {
                *value = from;
            }
        };
        match (before, next.memory) {
            (Memory::Nothing | Memory::Expect1 | Memory::Record1, Memory::Nothing) => gather(0),
            (Memory::Nothing | Memory::Expect1, Memory::Record1) => gather(class_i()),
            (Memory::Expect2, Memory::Expect1) => {
                gather(FREE1);
                if at.memory != FREE2 {
                    let (later, sooner) = (at.memory / CLASSES, at.memory % CLASSES);
                    for k in (self.residue(t, sooner)..n).step_by(CLASSES) {
                        values[k] = next.at(0, j, k, later);
                    }
                }
            }
            (Memory::Record2, Memory::Expect2) => {
                gather(FOLDED_FREE);
                let (first, second) = (at.memory / CLASSES, at.memory % CLASSES);
                let memory = class_i() * CLASSES + second;
                for k in (self.residue(t, first)..n).step_by(CLASSES) {
                    let next = At {
                        state: 0,
                        pair: [j, k],
                        memory,
                    };
                    values[k] = self.value_with(t, later, next, |t, k, l| moves[t][k * W + l]);
                }
            }
            (Memory::Record1, Memory::Record2) if next.folded => {
                values = self.unfold(simd, t, [j, at.memory, class_i()], tables, moves);
            }
            _ => return None,
        }
        if let Some(weight) = place.echo
            && before == Memory::Expect1
            && at.memory != FREE1
        {
            let echo = ring.lift(weight);
            for k in (self.residue(t, at.memory)..n).step_by(CLASSES) {
                values[k] = ring.settle(ring.times(echo, values[k]));
            }
        }
        if let Some(head) = self.head_rows(t) {
            let third = self.lattice.class(t - 1, j);
            let mut class = usize::from(self.lattice.layers[t].shift);
            for value in values.iter_mut().take(n) {
                let weight = head.row([class_i(), third, class])[at.memory];
                *value = ring.settle(ring.times(weight, *value));
                class = if class + 1 == CLASSES { 0 } else { class + 1 };
            }
        }
        Some(values)
    }

    /// Values of a folded record of the classes `first` and `second`, for the states `(j, k)` along `k`.
    #[inline(always)]
    fn unfold<D: Simd>(
        &self,
        simd: D,
        t: usize,
        [j, first, second]: [usize; 3],
        tables: &Tables<S::Value>,
        moves: &[Vec<S::Value>],
    ) -> [S::Value; W] {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let [kept, begun, compared] = tables.get(t);
        let work = Rows { ring, simd };
        let third = self.lattice.class(t - 1, j);
        let residue = self.residue(t + 1, first);
        let [view, view_after] = [t + 1, t + 2].map(|t| self.lifted.view(&self.lattice, t));
        let mut values = [ring.zero(); W];
        let row = kept.data[kept.index(0, j, 0, first)..]
            .iter()
            .step_by(kept.by_second);
        for (value, &from) in values.iter_mut().zip(row).take(n) {
            *value = from;
        }
        for l in (residue..n).step_by(CLASSES) {
            let mut behind = [ring.zero(); W];
            let row = begun.data[begun.index(0, 0, l, second)..]
                .iter()
                .step_by(begun.by_first);
            for (value, &from) in behind.iter_mut().zip(row).take(n) {
                *value = from;
            }
            for m in (self.residue(t + 2, second)..n).step_by(CLASSES) {
                let shapes = view_after.along_first(l, m);
                let value =
                    ring.settle(ring.times(moves[t + 2][l * W + m], compared.at(0, l, m, third)));
                work.add_weighted(
                    &mut behind,
                    0..1,
                    #[inline(always)]
                    |_| shapes,
                    #[inline(always)]
                    |_| value,
                );
            }
            let shapes = view.along_middle(simd, j, l);
            let mut steps = [ring.zero(); W];
            for (step, &from) in steps
                .iter_mut()
                .zip(moves[t + 1][l..].iter().step_by(W))
                .take(n)
            {
                *step = from;
            }
            work.settle(&mut behind);
            work.multiply(&mut steps, &shapes);
            work.add_products(
                &mut values,
                0..1,
                #[inline(always)]
                |_| &steps,
                #[inline(always)]
                |_| &behind,
            );
        }
        work.settle(&mut values);
        values
    }

    /// The state after taking `k` at `t` from `at`, when the automaton goes on.
    #[inline(always)]
    pub(crate) fn arrive(&self, t: usize, at: At, k: usize) -> Option<At> {
        let [i, j] = at.pair;
        let state = self.go(t, at.state, k)?;
        let (memory, _) = self.plan.advance(&self.lattice, t, at.memory, [i, j, k]);
        Some(At {
            state,
            pair: [j, k],
            memory,
        })
    }
}
