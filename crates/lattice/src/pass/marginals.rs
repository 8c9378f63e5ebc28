//! Posterior marginals of all candidates by the forward–backward algorithm: L. Rabiner, "A tutorial on hidden Markov
//! models and selected applications in speech recognition", Proceedings of the IEEE 77 (1989).
//!
//! A state's forward value is the total of all prefixes that lead to it, divided by the total of all paths; times
//! its backward value this is its marginal.

use pulp::Simd;

use crate::auxiliary::{Auxiliary, NO_MATCH1, NO_MATCH2};
use crate::semiring::{Semiring, SumProduct};
use crate::simd::{Work, dispatch};
use crate::weight::CLASSES;

use super::{DpState, Pass, Tables};

/// Forward values of the states of a layer: `[state][first][second][auxiliary]`.
struct ForwardValues {
    data: Vec<f64>,
    aux_states: usize,
    candidates: usize,
}

impl ForwardValues {
    fn new(states: usize, candidates: usize, aux: Auxiliary) -> Self {
        let aux_states = aux.states();
        Self {
            data: vec![0.0; states * candidates * candidates * aux_states],
            aux_states,
            candidates,
        }
    }

    #[inline(always)]
    fn of(&mut self, state: usize, [i, j]: [usize; 2]) -> &mut [f64] {
        let at = ((state * self.candidates + i) * self.candidates + j) * self.aux_states;
        &mut self.data[at..at + self.aux_states]
    }
}

/// The forward pass along the tables of a backward pass.
struct ForwardPass<'a, const W: usize> {
    pass: &'a Pass<SumProduct, W>,
    tables: &'a Tables<f64>,
    transitions: &'a [Vec<f64>],
    initial_states: &'a [(f64, DpState)],
}

impl<const W: usize> Work for ForwardPass<'_, W> {
    type Output = Vec<Vec<f64>>;

    #[inline(always)]
    fn run<D: Simd>(self, simd: D) -> Vec<Vec<f64>> {
        let pass = self.pass;
        let (n, length) = (pass.lattice.candidates, pass.lattice.len());
        let mut rows = vec![vec![0.0; n]; length];
        let total: f64 = self.initial_states.iter().map(|(weight, _)| weight).sum();
        let mut now = ForwardValues::new(pass.states, n, Auxiliary::Empty);
        for &(weight, at) in self.initial_states {
            let value = pass.value(1, self.tables.get(1), at);
            now.of(at.state, at.pair)[0] += weight / total / value;
        }
        for t in 1..length {
            if t > 1 {
                now = self.step(simd, t, &mut now);
            }
            let reads_before = t == 1 || pass.is_unwieldy(t - 1);
            let reads_here = !pass.is_unwieldy(t);
            if !(reads_before || reads_here) {
                continue;
            }
            for state in 0..pass.states {
                for i in 0..n {
                    for j in 0..n {
                        let marginal = self.marginal(t, state, [i, j], now.of(state, [i, j]));
                        if reads_before {
                            rows[t - 1][i] += marginal;
                        }
                        if reads_here {
                            rows[t][j] += marginal;
                        }
                    }
                }
            }
        }
        for row in &mut rows {
            let total: f64 = row.iter().sum();
            row.iter_mut().for_each(|marginal| *marginal /= total);
        }
        rows
    }
}

impl<const W: usize> ForwardPass<'_, W> {
    /// Probability of passing through `(i, j)` at `t`.
    #[inline(always)]
    fn marginal(&self, t: usize, state: usize, pair: [usize; 2], forward: &[f64]) -> f64 {
        let later = self.tables.get(t);
        let transition = |t: usize, j: usize, k: usize| self.transitions[t][j * W + k];
        let mut marginal = 0.0;
        for (aux, &forward) in forward.iter().enumerate() {
            if forward != 0.0 {
                let at = DpState { state, pair, aux };
                marginal += forward * self.pass.value_with(t, later, at, transition);
            }
        }
        marginal
    }

    /// Forward values at layer `t` from those at `t - 1`.
    #[inline(always)]
    fn step<D: Simd>(&self, simd: D, t: usize, now: &mut ForwardValues) -> ForwardValues {
        let pass = self.pass;
        let n = pass.lattice.candidates;
        let view = pass.embedding.view(&pass.lattice, t);
        let (before, after) = (pass.layout.layers[t - 1].aux, pass.layout.layers[t].aux);
        let mut next = ForwardValues::new(pass.states, n, after);
        // Backward values lose the powers of two that are taken out of their tables, and forward values gain them.
        let exponent = self.tables.get(t)[0].exponent - self.tables.get(t - 1)[0].exponent;
        let scale = libm::ldexp(1.0, exponent as i32);
        for state in 0..pass.states {
            for i in 0..n {
                for j in 0..n {
                    let forward = now.of(state, [i, j]);
                    if forward.iter().all(|&forward| forward == 0.0) {
                        continue;
                    }
                    let mut weights = view.along_last(simd, i, j);
                    let transitions = &self.transitions[t][j * W..(j + 1) * W];
                    for (weight, &transition) in weights.iter_mut().zip(transitions) {
                        *weight *= transition * scale;
                    }
                    let from = DpState {
                        state,
                        pair: [i, j],
                        aux: 0,
                    };
                    match (before, after) {
                        (Auxiliary::Recorded2, Auxiliary::Expected2)
                        | (Auxiliary::Expected2, Auxiliary::Expected1) => {
                            pass.forward_pair(t, from, forward, &weights, &mut next);
                        }
                        (Auxiliary::Expected1, Auxiliary::Recorded1 | Auxiliary::Empty) => {
                            pass.forward_last(t, from, forward, &weights, &mut next);
                        }
                        (Auxiliary::Recorded1, Auxiliary::Recorded2 | Auxiliary::Empty) => {
                            pass.forward_prefix(t, from, forward, &weights, &mut next);
                        }
                        _ => pass.forward_each(t, from, forward, &weights, &mut next),
                    }
                }
            }
        }
        next
    }
}

impl<const W: usize> Pass<SumProduct, W> {
    /// Posterior probability of each candidate at each layer, `[layer][candidate]`; `initial_states` are the values of
    /// the states after two layers, `transitions` as for [`Pass::conditionals`].
    pub(crate) fn marginals(
        &self,
        tables: &Tables<f64>,
        transitions: &[Vec<f64>],
        initial_states: &[(f64, DpState)],
    ) -> Vec<Vec<f64>> {
        dispatch(ForwardPass {
            pass: self,
            tables,
            transitions,
            initial_states,
        })
    }

    /// Whether the values at `t` are so costly that marginals are read off the next layer's states instead.
    fn is_unwieldy(&self, t: usize) -> bool {
        self.layout.layers[t].aux == Auxiliary::Recorded2 && t + 1 < self.lattice.len()
    }

    /// Any change of the auxiliary state, one state at a time.
    #[inline(always)]
    fn forward_each(
        &self,
        t: usize,
        from: DpState,
        forward: &[f64],
        weights: &[f64; W],
        next: &mut ForwardValues,
    ) {
        let [i, j] = from.pair;
        for (aux, &forward) in forward
            .iter()
            .enumerate()
            .filter(|&(_, &forward)| forward != 0.0)
        {
            for (k, &weight) in weights.iter().enumerate().take(self.lattice.candidates) {
                let Some(state) = self.lattice.automaton_next(t, from.state, k) else {
                    continue;
                };
                let (kept, repeats) = self.layout.next_aux(&self.lattice, t, aux, [i, j, k]);
                let extra = self.segment_weight(t, aux, [i, j, k], repeats);
                next.of(state, [j, k])[kept] += forward * (weight * extra);
            }
        }
    }

    /// Two classes of which the next candidate may match one: all states that it does not match go on as one.
    #[inline(always)]
    fn forward_pair(
        &self,
        t: usize,
        from: DpState,
        forward: &[f64],
        weights: &[f64; W],
        next: &mut ForwardValues,
    ) {
        let first = self.layout.layers[t].aux == Auxiliary::Expected2;
        let [i, j] = from.pair;
        let class_i = self.lattice.class(t - 2, i);
        // By the class that the next candidate may match, then by the other class.
        let mut by_class = [[0.0; CLASSES]; CLASSES];
        for upper in 0..CLASSES {
            for lower in 0..CLASSES {
                let value = forward[upper * CLASSES + lower];
                let to = if first {
                    &mut by_class[upper][lower]
                } else {
                    &mut by_class[lower][upper]
                };
                *to = value;
            }
        }
        let no_match = forward.get(NO_MATCH2).copied().unwrap_or(0.0);
        let unmatched = leave_one_out(&by_class.map(|row| row.iter().sum()), no_match);
        for (k, &weight) in weights.iter().enumerate().take(self.lattice.candidates) {
            let Some(state) = self
                .lattice
                .automaton_next(t, from.state, k)
                .filter(|_| weight != 0.0)
            else {
                continue;
            };
            let class = self.lattice.class(t, k);
            let to = next.of(state, [j, k]);
            to[if first { NO_MATCH2 } else { NO_MATCH1 }] += weight * unmatched[class];
            let base = if first { class_i * CLASSES } else { 0 };
            for (to, &matched) in to[base..base + CLASSES].iter_mut().zip(&by_class[class]) {
                *to += weight * matched;
            }
        }
    }

    /// The last class of a repetition: the auxiliary state that is left does not depend on it.
    #[inline(always)]
    fn forward_last(
        &self,
        t: usize,
        from: DpState,
        forward: &[f64],
        weights: &[f64; W],
        next: &mut ForwardValues,
    ) {
        let [i, j] = from.pair;
        let kept = if self.layout.layers[t].aux == Auxiliary::Recorded1 {
            self.lattice.class(t - 2, i)
        } else {
            0
        };
        let repetition = self.layout.layers[t]
            .repetition
            .map_or(1.0, |weight| self.ring.embed(weight));
        let mut by_class = [0.0; CLASSES];
        by_class.copy_from_slice(&forward[..CLASSES]);
        let mut totals = leave_one_out(&by_class, forward[NO_MATCH1]);
        for (total, &matched) in totals.iter_mut().zip(&by_class) {
            *total += repetition * matched;
        }
        for (k, &weight) in weights.iter().enumerate().take(self.lattice.candidates) {
            if let Some(state) = self.lattice.automaton_next(t, from.state, k) {
                next.of(state, [j, k])[kept] += weight * totals[self.lattice.class(t, k)];
            }
        }
    }

    /// The fourth candidate of a segment, which completes the scope of the prefix factor.
    #[inline(always)]
    fn forward_prefix(
        &self,
        t: usize,
        from: DpState,
        forward: &[f64],
        weights: &[f64; W],
        next: &mut ForwardValues,
    ) {
        let [i, j] = from.pair;
        let (second, third) = (self.lattice.class(t - 2, i), self.lattice.class(t - 1, j));
        let records = self.layout.layers[t].aux == Auxiliary::Recorded2;
        let prefix = self.prefix_rows(t);
        for (k, &weight) in weights.iter().enumerate().take(self.lattice.candidates) {
            let Some(state) = self
                .lattice
                .automaton_next(t, from.state, k)
                .filter(|_| weight != 0.0)
            else {
                continue;
            };
            let class = self.lattice.class(t, k);
            let prefix = prefix.map(|prefix| &prefix.row([second, third, class])[..CLASSES]);
            let to = next.of(state, [j, k]);
            for (first, &forward) in forward.iter().enumerate() {
                let weight = weight * prefix.map_or(1.0, |prefix| prefix[first]);
                to[if records { first * CLASSES + second } else { 0 }] += forward * weight;
            }
        }
    }
}

/// For every class the sum of `more` and all other classes.
#[inline(always)]
fn leave_one_out(by_class: &[f64; CLASSES], more: f64) -> [f64; CLASSES] {
    let mut others = [0.0; CLASSES];
    let mut running = more;
    for (other, &value) in others.iter_mut().zip(by_class) {
        *other = running;
        running += value;
    }
    running = 0.0;
    for (other, &value) in others.iter_mut().zip(by_class).rev() {
        *other += running;
        running += value;
    }
    others
}
