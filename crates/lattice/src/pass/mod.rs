//! The backward pass: the value of every state's completions, layer by layer from the last.
//!
//! A state after layer `t` is the automaton's state, the last two candidates and a [`Memory`]. Its value combines
//! all ways to finish the path from there. Values at `t - 1` come from those at `t`: that step is the engine's only
//! inner loop, and has one kernel for each way the memory can change.

mod draw;
mod kernels;
mod lifted;
mod sweep;
mod values;

use std::sync::Arc;

pub(crate) use lifted::Lifted;
pub(crate) use sweep::Tables;
pub(crate) use values::Values;

use crate::lattice::Lattice;
use crate::memory::{Memory, Plan};
use crate::semiring::Semiring;
use crate::weight::CLASSES;

/// A state after some layer (from the second on).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct At {
    /// State of the automaton.
    pub(crate) state: usize,
    /// The last two candidates.
    pub(crate) pair: [usize; 2],
    /// Memory, as the layer's kind reads it.
    pub(crate) memory: usize,
}

/// One semiring's pass over one lattice, in rows of `W` lanes.
pub(crate) struct Pass<S: Semiring, const W: usize> {
    pub(crate) ring: S,
    pub(crate) lattice: Lattice,
    pub(crate) plan: Arc<Plan>,
    pub(crate) lifted: Lifted<S, W>,
    /// Automaton states, 1 without an automaton.
    pub(crate) states: usize,
}

/// Rows that a step of the pass works in, kept between steps.
pub(crate) struct Scratch<V> {
    moves: Vec<V>,
    moves_after: Vec<V>,
    rows: Vec<V>,
}

impl<V> Default for Scratch<V> {
    fn default() -> Self {
        Self {
            moves: Vec::new(),
            moves_after: Vec::new(),
            rows: Vec::new(),
        }
    }
}

impl<S: Semiring, const W: usize> Pass<S, W> {
    pub(crate) fn new(ring: S, lattice: &Lattice, plan: &Arc<Plan>) -> Self {
        Self {
            ring,
            lattice: lattice.clone(),
            plan: Arc::clone(plan),
            lifted: Lifted::new(ring, lattice, plan),
            states: lattice
                .automaton
                .as_ref()
                .map_or(1, |automaton| automaton.states()),
        }
    }

    /// The automaton's move; without one there is a single state that never stops.
    #[inline(always)]
    pub(crate) fn go(&self, t: usize, state: usize, candidate: usize) -> Option<usize> {
        match &self.lattice.automaton {
            None => Some(0),
            Some(automaton) => automaton.next(t, state, candidate),
        }
    }

    /// State of the automaton before the first layer.
    pub(crate) fn start(&self) -> usize {
        self.lattice
            .automaton
            .as_ref()
            .map_or(0, |automaton| automaton.start())
    }

    pub(crate) fn accepts_in(&self, state: usize) -> bool {
        self.lattice
            .automaton
            .as_ref()
            .is_none_or(|automaton| automaton.accepts_in(state))
    }

    fn empty(&self, t: usize, folded: bool) -> Values<S::Value> {
        let memory = self.plan.places[t].memory;
        Values::new(
            self.ring.zero(),
            self.states,
            self.lattice.candidates,
            W,
            memory,
            folded,
        )
    }

    /// Whether the values at `t` are kept folded: those between a record of two classes and the comparison with it.
    pub(crate) fn is_folded(&self, t: usize) -> bool {
        self.plan.places[t].memory == Memory::Record2
            && self
                .plan
                .places
                .get(t + 1)
                .is_some_and(|next| next.memory == Memory::Expect2)
    }

    /// Values after the last layer (which must not be the first).
    pub(crate) fn last_values(&self) -> Values<S::Value> {
        let mut values = self.empty(self.lattice.len() - 1, false);
        debug_assert_eq!(
            values.memory,
            Memory::Nothing,
            "nothing is remembered at the end"
        );
        for state in (0..self.states).filter(|&state| self.accepts_in(state)) {
            for i in 0..self.lattice.candidates {
                for j in 0..self.lattice.candidates {
                    let at = values.index(state, i, j, 0);
                    values.data[at] = self.ring.path();
                }
            }
        }
        values
    }

    /// Values at `t - 1` from those at `t` (and at `t + 1`, when those at `t` are folded). `t` is at least 2.
    #[inline(always)]
    pub(crate) fn back(
        &self,
        t: usize,
        next: &Values<S::Value>,
        after: Option<&Values<S::Value>>,
        scratch: &mut Scratch<S::Value>,
    ) -> Values<S::Value> {
        let mut out = self.empty(t - 1, self.is_folded(t - 1));
        self.lifted.moves_into(&self.lattice, t, &mut scratch.moves);
        match (out.memory, next.memory) {
            (Memory::Nothing, Memory::Nothing) => self.plain(t, next, scratch, &mut out),
            (Memory::Nothing | Memory::Expect1, Memory::Record1)
            | (Memory::Expect1, Memory::Nothing) => {
                self.decide(t, next, scratch, &mut out);
            }
            (Memory::Expect2, Memory::Expect1) => self.compare(t, next, scratch, &mut out),
            (Memory::Record1, Memory::Nothing | Memory::Record2) => {
                self.recall(t, next, after, scratch, &mut out)
            }
            (Memory::Record2, Memory::Expect2) => self.enter(t, next, scratch, &mut out),
            _ => self.any(t, next, scratch, &mut out),
        }
        out.exponent = next.exponent;
        if !out.folded {
            out.exponent += i64::from(self.ring.rescale(&mut out.data));
        }
        out
    }

    /// Weight of going on from `(i, j)` to `k` at `t`, apart from the memory's share; `t` is at least 2.
    #[inline(always)]
    pub(crate) fn weight(&self, t: usize, [i, j, k]: [usize; 3]) -> S::Value {
        let shape = self.lifted.shape(&self.lattice, t, [i, j, k]);
        self.ring.settle(
            self.ring
                .times(shape, self.lifted.move_into(&self.lattice, t, j, k)),
        )
    }

    /// What the memory adds to a move: the four-class head, and the echo when it applies.
    #[inline(always)]
    pub(crate) fn extra(
        &self,
        t: usize,
        memory: usize,
        [i, j, k]: [usize; 3],
        echoes: bool,
    ) -> S::Value {
        let class = |t: usize, k: usize| self.lattice.class(t, k);
        let place = &self.plan.places[t];
        let mut extra = self.ring.neutral();
        if place.head4 {
            extra = self
                .lifted
                .head(t, [memory, class(t - 2, i), class(t - 1, j), class(t, k)]);
        }
        match place.echo {
            Some(weight) if echoes => self.ring.times(extra, self.ring.lift(weight)),
            _ => extra,
        }
    }

    /// Value of a state at layer `t`, worked out from the next layer's table when its own is folded.
    #[inline(always)]
    pub(crate) fn value(&self, t: usize, tables: &Tables<S::Value>, at: At) -> S::Value {
        let (values, after) = tables.get(t);
        if !values.folded {
            return values.at(at.state, at.pair[0], at.pair[1], at.memory);
        }
        let after = after.expect("a folded table is read along with the next one");
        self.unfold_with(t, values, after, at, |k, l| {
            self.lifted.move_into(&self.lattice, t + 1, k, l)
        })
    }

    /// [`Pass::value`] in a folded table, with the rows of moves into the next layer at hand.
    #[inline(always)]
    pub(crate) fn unfolded(
        &self,
        t: usize,
        values: &Values<S::Value>,
        after: &Values<S::Value>,
        moves_after: &[S::Value],
        at: At,
    ) -> S::Value {
        self.unfold_with(t, values, after, at, |k, l| moves_after[k * W + l])
    }

    #[inline(always)]
    fn unfold_with(
        &self,
        t: usize,
        values: &Values<S::Value>,
        after: &Values<S::Value>,
        at: At,
        move_into: impl Fn(usize, usize) -> S::Value,
    ) -> S::Value {
        let ring = self.ring;
        let [j, k] = at.pair;
        let (first, second) = (at.memory / CLASSES, at.memory % CLASSES);
        let residue = (first + CLASSES - usize::from(self.lattice.layers[t + 1].shift)) % CLASSES;
        let expected = self.lattice.class(t - 1, j) * CLASSES + second;
        let mut sum = values.at(at.state, j, k, residue);
        for l in (residue..self.lattice.candidates).step_by(CLASSES) {
            if let Some(state) = self.go(t + 1, at.state, l) {
                let weight = ring.times(
                    self.lifted.shape(&self.lattice, t + 1, [j, k, l]),
                    move_into(k, l),
                );
                sum = ring.plus(
                    sum,
                    ring.times(ring.settle(weight), after.at(state, k, l, expected)),
                );
            }
        }
        ring.settle(sum)
    }

    /// The state after taking `k` at `t` (at least 2) from `at`, with the whole weight of doing so; `None` when the
    /// automaton stops.
    #[inline(always)]
    pub(crate) fn follow(&self, t: usize, at: At, k: usize) -> Option<(At, S::Value)> {
        let [i, j] = at.pair;
        let state = self.go(t, at.state, k)?;
        let (memory, echoes) = self.plan.advance(&self.lattice, t, at.memory, [i, j, k]);
        let extra = self.extra(t, at.memory, [i, j, k], echoes);
        let weight = self
            .ring
            .settle(self.ring.times(self.weight(t, [i, j, k]), extra));
        Some((
            At {
                state,
                pair: [j, k],
                memory,
            },
            weight,
        ))
    }

    /// Weight of a whole path `k` in a lattice of one layer.
    pub(crate) fn only_layer(&self, k: usize) -> S::Value {
        match self.go(0, self.start(), k) {
            Some(state) if self.accepts_in(state) => self.lifted.note(&self.lattice, 0, k),
            _ => self.ring.zero(),
        }
    }

    /// Calls `visit` for every state after the first two layers, with the weight of the two, in the order of
    /// candidate indices; the lattice has at least two layers.
    pub(crate) fn openings(&self, mut visit: impl FnMut(At, S::Value)) {
        for i in 0..self.lattice.candidates {
            let Some(state) = self.go(0, self.start(), i) else {
                continue;
            };
            let note = self.lifted.note(&self.lattice, 0, i);
            for j in 0..self.lattice.candidates {
                if let Some(state) = self.go(1, state, j) {
                    let step = self.lifted.move_into(&self.lattice, 1, i, j);
                    let at = At {
                        state,
                        pair: [i, j],
                        memory: 0,
                    };
                    visit(at, self.ring.settle(self.ring.times(note, step)));
                }
            }
        }
    }
}
