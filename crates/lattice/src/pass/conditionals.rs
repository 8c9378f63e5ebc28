//! Conditionals: the values of all extensions of one state, from the backward tables. Divided by their sum they are
//! the probabilities of the next candidate, given the state.

use pulp::Simd;

use crate::auxiliary::{Auxiliary, NO_MATCH1, NO_MATCH2};
use crate::semiring::Semiring;
use crate::simd::Rows;
use crate::weight::CLASSES;

use super::embedding::lanes;
use super::{DpState, FOLDED_NO_MATCH, Pass, Tables};

impl<S: Semiring, const W: usize> Pass<S, W> {
    /// Value of extending `at` by each candidate of layer `t` (at least 2), with all completions from there; zero where
    /// there is none. `transitions` are those into every layer.
    #[inline(always)]
    pub(crate) fn conditionals<D: Simd>(
        &self,
        simd: D,
        t: usize,
        at: DpState,
        tables: &Tables<S::Value>,
        transitions: &[Vec<S::Value>],
    ) -> [S::Value; W] {
        let ring = self.ring;
        let [i, j] = at.pair;
        let mut conditionals = self.embedding.view(&self.lattice, t).along_last(simd, i, j);
        let transition: &[S::Value; W] = lanes(&transitions[t], j * W);
        let work = Rows::new(ring, simd);
        work.multiply(&mut conditionals, transition);
        S::normalize_weights(ring, simd, &mut conditionals);
        match self.values_on(simd, t, at, tables, transitions) {
            Some(values) => {
                work.multiply(&mut conditionals, &values);
                work.normalize(&mut conditionals);
            }
            None => self.value_each(t, at, tables, transitions, &mut conditionals),
        }
        conditionals
    }

    /// Multiplies the transitions in `conditionals` by the values that they lead to, one candidate at a time: in any
    /// change of the auxiliary state.
    #[inline(always)]
    fn value_each(
        &self,
        t: usize,
        at: DpState,
        tables: &Tables<S::Value>,
        transitions: &[Vec<S::Value>],
        conditionals: &mut [S::Value; W],
    ) {
        let ring = self.ring;
        let [i, j] = at.pair;
        let successors = self.embedding.successors(&self.lattice, t, j);
        for (k, conditional) in conditionals
            .iter_mut()
            .enumerate()
            .take(self.lattice.candidates)
        {
            if successors >> k & 1 == 0 {
                *conditional = ring.zero();
                continue;
            }
            let Some(state) = self.lattice.automaton_next(t, at.state, k) else {
                *conditional = ring.zero();
                continue;
            };
            let (aux, repeats) = self.layout.next_aux(&self.lattice, t, at.aux, [i, j, k]);
            let extra = self.segment_weight(t, at.aux, [i, j, k], repeats);
            let next = DpState {
                state,
                pair: [j, k],
                aux,
            };
            let value =
                self.value_with(t, tables.get(t), next, |t, k, l| transitions[t][k * W + l]);
            *conditional = ring.product(ring.product(*conditional, extra), value);
        }
    }

    /// The values behind each candidate, times the factors that read the auxiliary state, for its common changes.
    #[inline(always)]
    fn values_on<D: Simd>(
        &self,
        simd: D,
        t: usize,
        at: DpState,
        tables: &Tables<S::Value>,
        transitions: &[Vec<S::Value>],
    ) -> Option<[S::Value; W]> {
        if self.lattice.automaton.is_some() {
            return None;
        }
        let (ring, n) = (self.ring, self.lattice.candidates);
        let [i, j] = at.pair;
        let later = tables.get(t);
        let next = later[0];
        let scopes = &self.layout.layers[t];
        let before = self.layout.layers[t - 1].aux;
        let class_i = || self.lattice.class(t - 2, i);
        let mut values = [ring.zero(); W];
        let mut gather = |aux: usize| {
            let row = &next.data[next.index(0, j, 0, aux)..];
            for (value, &from) in values
                .iter_mut()
                .zip(row.iter().step_by(next.by_second))
                .take(n)
            {
                *value = from;
            }
        };
        match (before, next.aux) {
            (Auxiliary::Empty | Auxiliary::Expected1 | Auxiliary::Recorded1, Auxiliary::Empty) => {
                gather(0)
            }
            (Auxiliary::Empty | Auxiliary::Expected1, Auxiliary::Recorded1) => gather(class_i()),
            (Auxiliary::Expected2, Auxiliary::Expected1) => {
                gather(NO_MATCH1);
                if at.aux != NO_MATCH2 {
                    let (later, sooner) = (at.aux / CLASSES, at.aux % CLASSES);
                    for k in (self.residue(t, sooner)..n).step_by(CLASSES) {
                        values[k] = next.at(0, j, k, later);
                    }
                }
            }
            (Auxiliary::Recorded2, Auxiliary::Expected2) => {
                gather(FOLDED_NO_MATCH);
                let (first, second) = (at.aux / CLASSES, at.aux % CLASSES);
                let aux = class_i() * CLASSES + second;
                for k in (self.residue(t, first)..n).step_by(CLASSES) {
                    let next = DpState {
                        state: 0,
                        pair: [j, k],
                        aux,
                    };
                    values[k] =
                        self.value_with(t, later, next, |t, k, l| transitions[t][k * W + l]);
                }
            }
            (Auxiliary::Recorded1, Auxiliary::Recorded2) if next.folded => {
                values = self.unfolded_values(simd, t, [j, at.aux, class_i()], tables, transitions);
            }
            _ => return None,
        }
        if let Some(weight) = scopes.repetition
            && before == Auxiliary::Expected1
            && at.aux != NO_MATCH1
        {
            let repetition = ring.embed(weight);
            for k in (self.residue(t, at.aux)..n).step_by(CLASSES) {
                values[k] = ring.product(repetition, values[k]);
            }
        }
        if let Some(prefix) = self.prefix_rows(t) {
            let third = self.lattice.class(t - 1, j);
            let mut class = usize::from(self.lattice.layers[t].shift);
            for value in values.iter_mut().take(n) {
                let weight = prefix.row([class_i(), third, class])[at.aux];
                *value = ring.product(weight, *value);
                class = if class + 1 == CLASSES { 0 } else { class + 1 };
            }
        }
        Some(values)
    }

    /// Values of a folded table of the recorded classes `first` and `second`, for the states `(j, k)` along `k`.
    #[inline(always)]
    fn unfolded_values<D: Simd>(
        &self,
        simd: D,
        t: usize,
        [j, first, second]: [usize; 3],
        tables: &Tables<S::Value>,
        transitions: &[Vec<S::Value>],
    ) -> [S::Value; W] {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let [kept, begun, compared] = tables.get(t);
        let work = Rows::new(ring, simd);
        let third = self.lattice.class(t - 1, j);
        let residue = self.residue(t + 1, first);
        let [view, view_after] = [t + 1, t + 2].map(|t| self.embedding.view(&self.lattice, t));
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
                let trigrams = view_after.along_first(l, m);
                let value =
                    ring.product(transitions[t + 2][l * W + m], compared.at(0, l, m, third));
                work.add_weighted(
                    &mut behind,
                    0..1,
                    #[inline(always)]
                    |_| trigrams,
                    #[inline(always)]
                    |_| value,
                );
            }
            let trigrams = view.along_middle(simd, j, l);
            let mut transition = [ring.zero(); W];
            for (transition, &from) in transition
                .iter_mut()
                .zip(transitions[t + 1][l..].iter().step_by(W))
                .take(n)
            {
                *transition = from;
            }
            work.normalize(&mut behind);
            work.multiply(&mut transition, &trigrams);
            work.add_products(
                &mut values,
                0..1,
                #[inline(always)]
                |_| &transition,
                #[inline(always)]
                |_| &behind,
            );
        }
        work.normalize(&mut values);
        values
    }

    /// The state after taking `k` at `t` from `at`; `None` when the automaton stops.
    #[inline(always)]
    pub(crate) fn next_state(&self, t: usize, at: DpState, k: usize) -> Option<DpState> {
        let [i, j] = at.pair;
        let state = self.lattice.automaton_next(t, at.state, k)?;
        let (aux, _) = self.layout.next_aux(&self.lattice, t, at.aux, [i, j, k]);
        Some(DpState {
            state,
            pair: [j, k],
            aux,
        })
    }
}
