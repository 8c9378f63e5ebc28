//! The backward pass: the value of every state's completions, layer by layer from the last.
//!
//! A state after layer `t` is the automaton's state, the last two candidates and a [`Memory`]. Its value combines
//! all ways to finish the path from there. Values at `t - 1` come from those at `t`: that step is the engine's only
//! inner loop, and has one kernel for each way the memory can change.

mod chances;
mod echo;
mod kernels;
mod lifted;
mod long;
mod shares;
mod sweep;
mod values;

use std::sync::Arc;

use pulp::Simd;

use lifted::HeadRows;
pub(crate) use lifted::Lifted;
pub(crate) use sweep::Tables;
pub(crate) use values::{FOLDED_FREE, Values};

use crate::bits::Bits;
use crate::lattice::Lattice;
use crate::memory::{FREE2, Memory, Place, Plan, Watched};
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
    turned: Vec<V>,
    rows: Vec<V>,
    /// Kept apart from `rows`, so that it is filled with zeros only once.
    blocks: Vec<V>,
    ways: Vec<V>,
}

impl<V> Default for Scratch<V> {
    fn default() -> Self {
        let [moves, moves_after, turned, rows, blocks, ways] = [const { Vec::new() }; 6];
        Self {
            moves,
            moves_after,
            turned,
            rows,
            blocks,
            ways,
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

    /// Watches other echoes and heads from now on; gives the first layer from which on tables stay as they are. What is
    /// lifted serves on: it depends on the segments and their tables, not on what is remembered of them.
    pub(crate) fn watch(&mut self, watched: &Watched) -> usize {
        let plan = Arc::new(Plan::new(&self.lattice, watched));
        let before = std::mem::replace(&mut self.plan, plan);
        let mut places = before.places.iter().zip(&self.plan.places);
        let seen = |place: &Place| (place.memory, place.echo, place.head4);
        let last = places.rposition(|(a, b)| seen(a) != seen(b));
        last.map_or(0, |last| last + 1)
    }

    /// The four-class head that is complete at `t`, where it is watched: see [`Lifted::head_rows`].
    #[inline(always)]
    fn head_rows(&self, t: usize) -> Option<HeadRows<'_, S::Value>> {
        let rows = self.lifted.head_rows(t);
        rows.filter(|_| self.plan.places[t].head4)
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
        let memory = |t: usize| self.plan.places.get(t).map(|place| place.memory);
        memory(t) == Some(Memory::Expect2)
            || (memory(t) == Some(Memory::Record2) && memory(t + 1) == Some(Memory::Expect2))
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

    /// Values at `t - 1` from those of the layers from `t` on, of which there are three or all. `t` is at least 2.
    #[inline(always)]
    pub(crate) fn back<D: Simd>(
        &self,
        simd: D,
        t: usize,
        later: [&Values<S::Value>; 3],
        scratch: &mut Scratch<S::Value>,
    ) -> Values<S::Value> {
        let next = later[0];
        let mut out = self.empty(t - 1, self.is_folded(t - 1));
        self.lifted
            .moves_into(simd, &self.lattice, t, &mut scratch.moves);
        match (out.memory, next.memory) {
            (Memory::Nothing, Memory::Nothing) => self.plain(simd, t, next, scratch, &mut out),
            (Memory::Nothing | Memory::Expect1, Memory::Record1)
            | (Memory::Expect1, Memory::Nothing) => {
                self.decide(simd, t, next, scratch, &mut out);
            }
            (Memory::Expect2, Memory::Expect1) => self.compare(simd, t, next, scratch, &mut out),
            (Memory::Record1, Memory::Nothing | Memory::Record2) => {
                self.recall(simd, t, later, scratch, &mut out)
            }
            (Memory::Record2, Memory::Expect2) => self.enter(simd, t, next, scratch, &mut out),
            (Memory::Record2, Memory::Record2) => self.carry(simd, t, next, scratch, &mut out),
            (Memory::Record2, Memory::Expect1) => self.begin(simd, t, next, scratch, &mut out),
            _ => self.any(simd, t, next, scratch, &mut out),
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
        let shape = self.lifted.view(&self.lattice, t).at([i, j, k]);
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

    /// Value of a state at layer `t`, worked out from later tables when its own is folded.
    #[inline(always)]
    pub(crate) fn value(&self, t: usize, later: [&Values<S::Value>; 3], at: At) -> S::Value {
        self.value_with(t, later, at, |t, j, k| {
            self.lifted.move_into(&self.lattice, t, j, k)
        })
    }

    /// [`Pass::value`] with the moves into later layers at hand.
    #[inline(always)]
    pub(crate) fn value_with(
        &self,
        t: usize,
        later: [&Values<S::Value>; 3],
        at: At,
        move_into: impl Fn(usize, usize, usize) -> S::Value + Copy,
    ) -> S::Value {
        let values = later[0];
        let [i, j] = at.pair;
        match values.memory {
            Memory::Record2 if values.folded => {
                let (first, second) = (at.memory / CLASSES, at.memory % CLASSES);
                let memory = self.lattice.class(t - 1, i) * CLASSES + second;
                let residue = self.residue(t + 1, first);
                let kept = values.at(at.state, i, j, first);
                self.ways_on(t + 1, at, residue, kept, move_into, |state, k| {
                    let at = At {
                        state,
                        pair: [j, k],
                        memory,
                    };
                    self.echo_value(t + 1, later[1], later[2], at, move_into)
                })
            }
            Memory::Expect2 => self.echo_value(t, values, later[1], at, move_into),
            _ => values.at(at.state, i, j, at.memory),
        }
    }

    /// Value of a state with two classes to come at `t`, from its folded table and the table after it.
    #[inline(always)]
    fn echo_value(
        &self,
        t: usize,
        values: &Values<S::Value>,
        next: &Values<S::Value>,
        at: At,
        move_into: impl Fn(usize, usize, usize) -> S::Value,
    ) -> S::Value {
        let [i, j] = at.pair;
        if at.memory == FREE2 {
            return values.at(at.state, i, j, FOLDED_FREE);
        }
        let (later, sooner) = (at.memory / CLASSES, at.memory % CLASSES);
        let kept = values.at(at.state, i, j, sooner);
        let residue = self.residue(t + 1, sooner);
        self.ways_on(t + 1, at, residue, kept, move_into, |state, k| {
            next.at(state, j, k, later)
        })
    }

    /// Combines `kept` with the ways on from `at` to the candidates of one residue at `t`.
    #[inline(always)]
    fn ways_on(
        &self,
        t: usize,
        at: At,
        residue: usize,
        kept: S::Value,
        move_into: impl Fn(usize, usize, usize) -> S::Value,
        value: impl Fn(usize, usize) -> S::Value,
    ) -> S::Value {
        let ring = self.ring;
        let view = self.lifted.view(&self.lattice, t);
        let [i, j] = at.pair;
        let mut sum = kept;
        for k in (residue..self.lattice.candidates).step_by(CLASSES) {
            if let Some(state) = self.go(t, at.state, k) {
                let weight = ring.settle(ring.times(view.at([i, j, k]), move_into(t, j, k)));
                sum = ring.plus(sum, ring.times(weight, value(state, k)));
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

    /// Calls `visit` for every state that a step from the first to the second layer leads to, with the weight of the
    /// two layers, in the order of candidate indices; the lattice has at least two layers.
    pub(crate) fn openings(&self, mut visit: impl FnMut(At, S::Value)) {
        for i in Bits(self.lifted.live(0)) {
            let Some(state) = self.go(0, self.start(), i) else {
                continue;
            };
            let note = self.lifted.note(&self.lattice, 0, i);
            for j in Bits(self.lifted.ways_on(&self.lattice, 1, i)) {
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
