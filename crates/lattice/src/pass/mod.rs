//! The backward pass: the value of every state's completions, layer by layer from the last.
//!
//! A state after layer `t` is the automaton's state, the last two candidates and an auxiliary state (see
//! [`Auxiliary`]). Its value combines all completions of the path from there, in the semiring that the question asks
//! for. Values at `t - 1` come from those at `t`: that step is the only inner loop, and has one kernel for each way the
//! auxiliary state can change. Dynamic programming in this generality: M. Mohri, "Semiring frameworks and algorithms for
//! shortest-distance problems", Journal of Automata, Languages and Combinatorics 7 (2002).

mod backward;
mod conditionals;
mod embedding;
mod kernels;
mod marginals;
mod repetition2;
mod repetition3;
mod values;

use std::sync::Arc;

use pulp::Simd;

pub(crate) use backward::Tables;
pub(crate) use embedding::Embedding;
use embedding::PrefixRows;
pub(crate) use values::{FOLDED_NO_MATCH, Values};

use crate::active::ActiveFactors;
use crate::auxiliary::{Auxiliary, LayerLayout, Layout, NO_MATCH2};
use crate::bits::Bits;
use crate::lattice::Lattice;
use crate::semiring::Semiring;
use crate::weight::CLASSES;

/// A state of the dynamic programme after some layer (from the second on).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct DpState {
    /// State of the automaton.
    pub(crate) state: usize,
    /// The last two candidates.
    pub(crate) pair: [usize; 2],
    /// The auxiliary state, a number that the layer's [`Auxiliary`] says how to read.
    pub(crate) aux: usize,
}

/// One semiring's pass over one lattice, in rows of `W` lanes.
pub(crate) struct Pass<S: Semiring, const W: usize> {
    pub(crate) ring: S,
    pub(crate) lattice: Lattice,
    pub(crate) layout: Arc<Layout>,
    pub(crate) embedding: Embedding<S, W>,
    /// Automaton states, 1 without an automaton.
    pub(crate) states: usize,
}

/// Rows that a step of the pass works in, kept between steps.
pub(crate) struct Scratch<V> {
    transitions: Vec<V>,
    transitions_after: Vec<V>,
    transposed: Vec<V>,
    rows: Vec<V>,
    /// Kept apart from `rows`, so that it is filled with zeros only once.
    blocks: Vec<V>,
    unfolded: Vec<V>,
}

impl<V> Default for Scratch<V> {
    fn default() -> Self {
        let [
            transitions,
            transitions_after,
            transposed,
            rows,
            blocks,
            unfolded,
        ] = [const { Vec::new() }; 6];
        Self {
            transitions,
            transitions_after,
            transposed,
            rows,
            blocks,
            unfolded,
        }
    }
}

impl<S: Semiring, const W: usize> Pass<S, W> {
    pub(crate) fn new(ring: S, lattice: &Lattice, layout: &Arc<Layout>) -> Self {
        Self {
            ring,
            lattice: lattice.clone(),
            layout: Arc::clone(layout),
            embedding: Embedding::new(ring, lattice, layout),
            states: lattice.automaton_states(),
        }
    }

    /// Makes other factors active; gives the first layer from which on backward tables stay as they are. The embedded
    /// tables serve on: they do not depend on auxiliary states.
    pub(crate) fn activate(&mut self, active: &ActiveFactors) -> usize {
        let layout = Arc::new(Layout::new(&self.lattice, active));
        let before = std::mem::replace(&mut self.layout, layout);
        let mut layers = before.layers.iter().zip(&self.layout.layers);
        let seen = |layer: &LayerLayout| (layer.aux, layer.repetition, layer.prefix4);
        let last = layers.rposition(|(a, b)| seen(a) != seen(b));
        last.map_or(0, |last| last + 1)
    }

    /// The active prefix factor of four classes whose scope ends at `t`: see [`Embedding::prefix_rows`].
    #[inline(always)]
    fn prefix_rows(&self, t: usize) -> Option<PrefixRows<'_, S::Value>> {
        let rows = self.embedding.prefix_rows(t);
        rows.filter(|_| self.layout.layers[t].prefix4)
    }

    /// A table of zeros for layer `t`.
    fn zeros(&self, t: usize, folded: bool) -> Values<S::Value> {
        let aux = self.layout.layers[t].aux;
        Values::new(
            self.ring.zero(),
            self.states,
            self.lattice.candidates,
            W,
            aux,
            folded,
        )
    }

    /// Whether the table at `t` is folded (see [`Values::folded`]): from the last candidate whose segment's classes are
    /// recorded until the second of the next segment.
    pub(crate) fn is_folded(&self, t: usize) -> bool {
        let aux = |t: usize| self.layout.layers.get(t).map(|layer| layer.aux);
        aux(t) == Some(Auxiliary::Expected2)
            || (aux(t) == Some(Auxiliary::Recorded2) && aux(t + 1) == Some(Auxiliary::Expected2))
    }

    /// Values after the last layer (which must not be the first).
    pub(crate) fn last_values(&self) -> Values<S::Value> {
        let mut values = self.zeros(self.lattice.len() - 1, false);
        debug_assert_eq!(
            values.aux,
            Auxiliary::Empty,
            "no auxiliary state is left at the end"
        );
        for state in (0..self.states).filter(|&state| self.lattice.accepts_in(state)) {
            for i in 0..self.lattice.candidates {
                for j in 0..self.lattice.candidates {
                    let at = values.index(state, i, j, 0);
                    values.data[at] = self.ring.one();
                }
            }
        }
        values
    }

    /// Values at `t - 1` from those of the layers from `t` on, of which there are three or all. `t` is at least 2.
    #[inline(always)]
    pub(crate) fn backward_step<D: Simd>(
        &self,
        simd: D,
        t: usize,
        later: [&Values<S::Value>; 3],
        scratch: &mut Scratch<S::Value>,
    ) -> Values<S::Value> {
        let next = later[0];
        let mut out = self.zeros(t - 1, self.is_folded(t - 1));
        self.embedding
            .transitions_into(simd, &self.lattice, t, &mut scratch.transitions);
        match (out.aux, next.aux) {
            (Auxiliary::Empty, Auxiliary::Empty) => {
                self.without_aux(simd, t, next, scratch, &mut out)
            }
            (Auxiliary::Empty | Auxiliary::Expected1, Auxiliary::Recorded1)
            | (Auxiliary::Expected1, Auxiliary::Empty) => {
                self.record_or_complete(simd, t, next, scratch, &mut out);
            }
            (Auxiliary::Expected2, Auxiliary::Expected1) => {
                self.match_second(simd, t, next, scratch, &mut out)
            }
            (Auxiliary::Recorded1, Auxiliary::Empty | Auxiliary::Recorded2) => {
                self.complete_prefix(simd, t, later, scratch, &mut out)
            }
            (Auxiliary::Recorded2, Auxiliary::Expected2) => {
                self.match_first(simd, t, next, scratch, &mut out)
            }
            (Auxiliary::Recorded2, Auxiliary::Recorded2) => {
                self.keep_record(simd, t, next, scratch, &mut out)
            }
            (Auxiliary::Recorded2, Auxiliary::Expected1) => {
                self.match_first_of_two(simd, t, next, scratch, &mut out)
            }
            _ => self.any_change(simd, t, next, scratch, &mut out),
        }
        out.exponent = next.exponent;
        if !out.folded {
            out.exponent += i64::from(self.ring.rescale(&mut out.data));
        }
        out
    }

    /// Weight of the extension from `(i, j)` to `k` at `t` (at least 2), apart from [`Pass::segment_weight`].
    #[inline(always)]
    pub(crate) fn weight(&self, t: usize, [i, j, k]: [usize; 3]) -> S::Value {
        let trigram = self.embedding.view(&self.lattice, t).at([i, j, k]);
        self.ring
            .product(trigram, self.embedding.transition(&self.lattice, t, j, k))
    }

    /// Weight of the factors that read the auxiliary state: the prefix factor of four classes, and the repetition factor
    /// where the segment `repeats` the one before.
    #[inline(always)]
    pub(crate) fn segment_weight(
        &self,
        t: usize,
        aux: usize,
        [i, j, k]: [usize; 3],
        repeats: bool,
    ) -> S::Value {
        let class = |t: usize, k: usize| self.lattice.class(t, k);
        let scopes = &self.layout.layers[t];
        let mut product = self.ring.weight_one();
        if scopes.prefix4 {
            product = self
                .embedding
                .prefix_weight(t, [aux, class(t - 2, i), class(t - 1, j), class(t, k)]);
        }
        match scopes.repetition {
            Some(weight) if repeats => self.ring.times(product, self.ring.embed(weight)),
            _ => product,
        }
    }

    /// Value of a state at layer `t`, worked out from later tables where its own is folded.
    #[inline(always)]
    pub(crate) fn value(&self, t: usize, later: [&Values<S::Value>; 3], at: DpState) -> S::Value {
        self.value_with(t, later, at, |t, j, k| {
            self.embedding.transition(&self.lattice, t, j, k)
        })
    }

    /// [`Pass::value`] with the transitions into later layers at hand.
    #[inline(always)]
    pub(crate) fn value_with(
        &self,
        t: usize,
        later: [&Values<S::Value>; 3],
        at: DpState,
        transition: impl Fn(usize, usize, usize) -> S::Value + Copy,
    ) -> S::Value {
        let values = later[0];
        let [i, j] = at.pair;
        match values.aux {
            Auxiliary::Recorded2 if values.folded => {
                let (first, second) = (at.aux / CLASSES, at.aux % CLASSES);
                let aux = self.lattice.class(t - 1, i) * CLASSES + second;
                let residue = self.residue(t + 1, first);
                let kept = values.at(at.state, i, j, first);
                self.combine_extensions(t + 1, at, residue, kept, transition, |state, k| {
                    let at = DpState {
                        state,
                        pair: [j, k],
                        aux,
                    };
                    self.expected_value(t + 1, later[1], later[2], at, transition)
                })
            }
            Auxiliary::Expected2 => self.expected_value(t, values, later[1], at, transition),
            _ => values.at(at.state, i, j, at.aux),
        }
    }

    /// Value of a state that expects two classes at `t`, from its folded table and the table after it.
    #[inline(always)]
    fn expected_value(
        &self,
        t: usize,
        values: &Values<S::Value>,
        next: &Values<S::Value>,
        at: DpState,
        transition: impl Fn(usize, usize, usize) -> S::Value,
    ) -> S::Value {
        let [i, j] = at.pair;
        if at.aux == NO_MATCH2 {
            return values.at(at.state, i, j, FOLDED_NO_MATCH);
        }
        let (later, sooner) = (at.aux / CLASSES, at.aux % CLASSES);
        let kept = values.at(at.state, i, j, sooner);
        let residue = self.residue(t + 1, sooner);
        self.combine_extensions(t + 1, at, residue, kept, transition, |state, k| {
            next.at(state, j, k, later)
        })
    }

    /// Combines `kept` with the extensions from `at` to the candidates of one residue at `t`.
    #[inline(always)]
    fn combine_extensions(
        &self,
        t: usize,
        at: DpState,
        residue: usize,
        kept: S::Value,
        transition: impl Fn(usize, usize, usize) -> S::Value,
        value: impl Fn(usize, usize) -> S::Value,
    ) -> S::Value {
        let ring = self.ring;
        let view = self.embedding.view(&self.lattice, t);
        let [i, j] = at.pair;
        let mut sum = kept;
        for k in (residue..self.lattice.candidates).step_by(CLASSES) {
            if let Some(state) = self.lattice.automaton_next(t, at.state, k) {
                let weight = ring.product(view.at([i, j, k]), transition(t, j, k));
                sum = ring.plus(sum, ring.times(weight, value(state, k)));
            }
        }
        ring.normalize(sum)
    }

    /// The state after taking `k` at `t` (at least 2) from `at`, with the whole weight of doing so; `None` when the
    /// automaton stops.
    #[inline(always)]
    pub(crate) fn follow(&self, t: usize, at: DpState, k: usize) -> Option<(DpState, S::Value)> {
        let [i, j] = at.pair;
        let state = self.lattice.automaton_next(t, at.state, k)?;
        let (aux, repeats) = self.layout.next_aux(&self.lattice, t, at.aux, [i, j, k]);
        let segment_weight = self.segment_weight(t, at.aux, [i, j, k], repeats);
        let weight = self.ring.product(self.weight(t, [i, j, k]), segment_weight);
        Some((
            DpState {
                state,
                pair: [j, k],
                aux,
            },
            weight,
        ))
    }

    /// Weight of a whole path `k` in a lattice of one layer.
    fn single_layer_weight(&self, k: usize) -> S::Value {
        match self
            .lattice
            .automaton_next(0, self.lattice.automaton_start(), k)
        {
            Some(state) if self.lattice.accepts_in(state) => {
                self.embedding.unary_weight(&self.lattice, 0, k)
            }
            _ => self.ring.zero(),
        }
    }

    /// The allowed paths of a lattice of one layer: candidates with their weights.
    pub(crate) fn single_layer_paths(&self) -> Vec<(u8, S::Value)> {
        let candidates = 0..self.lattice.candidates;
        candidates
            .map(|k| (k as u8, self.single_layer_weight(k)))
            .filter(|(_, weight)| *weight != self.ring.zero())
            .collect()
    }

    /// Calls `visit` for every state after the second layer, with the weight of the two layers, in the order of
    /// candidate indices; the lattice has at least two layers.
    pub(crate) fn initial_states(&self, mut visit: impl FnMut(DpState, S::Value)) {
        for i in Bits(self.embedding.live(0)) {
            let Some(state) = self
                .lattice
                .automaton_next(0, self.lattice.automaton_start(), i)
            else {
                continue;
            };
            let unary = self.embedding.unary_weight(&self.lattice, 0, i);
            for j in Bits(self.embedding.successors(&self.lattice, 1, i)) {
                if let Some(state) = self.lattice.automaton_next(1, state, j) {
                    let bigram = self.embedding.transition(&self.lattice, 1, i, j);
                    let at = DpState {
                        state,
                        pair: [i, j],
                        aux: 0,
                    };
                    visit(at, self.ring.product(unary, bigram));
                }
            }
        }
    }
}
