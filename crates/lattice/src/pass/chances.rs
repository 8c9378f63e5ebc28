//! Chances of all candidates, from what is pushed forward along the tables of a sum.
//!
//! What a state is pushed is the total of all beginnings that lead to it, divided by the total of all paths; times
//! the state's value this is its chance.

use pulp::Simd;

use crate::memory::{FREE1, FREE2, Memory};
use crate::semiring::{Semiring, Sum};
use crate::weight::CLASSES;
use crate::wide::{Work, dispatch};

use super::{At, Pass, Tables};

/// What has been pushed to each state of a layer: `[state][first][second][memory]`.
struct Pushed {
    data: Vec<f64>,
    memories: usize,
    candidates: usize,
}

impl Pushed {
    fn new(states: usize, candidates: usize, memory: Memory) -> Self {
        let memories = memory.states();
        Self {
            data: vec![0.0; states * candidates * candidates * memories],
            memories,
            candidates,
        }
    }

    #[inline(always)]
    fn of(&mut self, state: usize, [i, j]: [usize; 2]) -> &mut [f64] {
        let at = ((state * self.candidates + i) * self.candidates + j) * self.memories;
        &mut self.data[at..at + self.memories]
    }
}

/// All of [`Pass::chances`].
struct Push<'a, const W: usize> {
    pass: &'a Pass<Sum, W>,
    tables: &'a Tables<f64>,
    moves: &'a [Vec<f64>],
    openings: &'a [(f64, At)],
}

impl<const W: usize> Work for Push<'_, W> {
    type Output = Vec<Vec<f64>>;

    #[inline(always)]
    fn run<D: Simd>(self, simd: D) -> Vec<Vec<f64>> {
        self.pass
            .chances_inner(simd, self.tables, self.moves, self.openings)
    }
}

impl<const W: usize> Pass<Sum, W> {
    /// Chance of each candidate at each layer, `[layer][candidate]`; `openings` are the values of the states after
    /// two layers, `moves` as for [`Pass::shares`].
    pub(crate) fn chances(
        &self,
        tables: &Tables<f64>,
        moves: &[Vec<f64>],
        openings: &[(f64, At)],
    ) -> Vec<Vec<f64>> {
        dispatch(Push {
            pass: self,
            tables,
            moves,
            openings,
        })
    }

    #[inline(always)]
    fn chances_inner<D: Simd>(
        &self,
        simd: D,
        tables: &Tables<f64>,
        moves: &[Vec<f64>],
        openings: &[(f64, At)],
    ) -> Vec<Vec<f64>> {
        let n = self.lattice.candidates;
        let mut rows = vec![vec![0.0; n]; self.lattice.len()];
        let total: f64 = openings.iter().map(|(weight, _)| weight).sum();
        let mut now = Pushed::new(self.states, n, Memory::Nothing);
        for &(weight, at) in openings {
            let value = self.value(1, tables.get(1), at);
            now.of(at.state, at.pair)[0] += weight / total / value;
        }
        for t in 1..self.lattice.len() {
            if t > 1 {
                now = self.push(simd, t, tables, moves, &mut now);
            }
            let before_told = t == 1 || self.is_unwieldy(t - 1);
            let told = !self.is_unwieldy(t);
            if before_told || told {
                for state in 0..self.states {
                    for i in 0..n {
                        for j in 0..n {
                            let chance =
                                self.chance(t, tables, moves, state, [i, j], now.of(state, [i, j]));
                            if before_told {
                                rows[t - 1][i] += chance;
                            }
                            if told {
                                rows[t][j] += chance;
                            }
                        }
                    }
                }
            }
        }
        for row in &mut rows {
            let total: f64 = row.iter().sum();
            row.iter_mut().for_each(|chance| *chance /= total);
        }
        rows
    }

    /// Whether the values at `t` are so costly that chances are read off the next layer's states instead.
    fn is_unwieldy(&self, t: usize) -> bool {
        self.plan.places[t].memory == Memory::Record2 && t + 1 < self.lattice.len()
    }

    /// Chance of passing through `(i, j)` at `t`.
    #[inline(always)]
    fn chance(
        &self,
        t: usize,
        tables: &Tables<f64>,
        moves: &[Vec<f64>],
        state: usize,
        pair: [usize; 2],
        pushed: &[f64],
    ) -> f64 {
        let later = tables.get(t);
        let mut chance = 0.0;
        for (memory, &pushed) in pushed.iter().enumerate() {
            if pushed != 0.0 {
                let at = At {
                    state,
                    pair,
                    memory,
                };
                chance += pushed * self.value_with(t, later, at, |t, j, k| moves[t][j * W + k]);
            }
        }
        chance
    }

    /// Pushes from layer `t - 1` to `t`.
    #[inline(always)]
    fn push<D: Simd>(
        &self,
        simd: D,
        t: usize,
        tables: &Tables<f64>,
        moves: &[Vec<f64>],
        now: &mut Pushed,
    ) -> Pushed {
        let n = self.lattice.candidates;
        let view = self.lifted.view(&self.lattice, t);
        let (before, after) = (self.plan.places[t - 1].memory, self.plan.places[t].memory);
        let mut next = Pushed::new(self.states, n, after);
        // Values lose the powers of two that are taken out of their tables, and what is pushed gains them.
        let exponent = tables.get(t)[0].exponent - tables.get(t - 1)[0].exponent;
        let scale = libm::ldexp(1.0, exponent as i32);
        for state in 0..self.states {
            for i in 0..n {
                for j in 0..n {
                    let pushed = now.of(state, [i, j]);
                    if pushed.iter().all(|&pushed| pushed == 0.0) {
                        continue;
                    }
                    let mut weights = view.along_last(simd, i, j);
                    for (weight, &step) in weights.iter_mut().zip(&moves[t][j * W..(j + 1) * W]) {
                        *weight *= step * scale;
                    }
                    let from = At {
                        state,
                        pair: [i, j],
                        memory: 0,
                    };
                    match (before, after) {
                        (Memory::Record2, Memory::Expect2) | (Memory::Expect2, Memory::Expect1) => {
                            self.push_two(t, from, pushed, &weights, &mut next);
                        }
                        (Memory::Expect1, Memory::Record1 | Memory::Nothing) => {
                            self.push_one(t, from, pushed, &weights, &mut next);
                        }
                        (Memory::Record1, Memory::Record2 | Memory::Nothing) => {
                            self.push_recalled(t, from, pushed, &weights, &mut next);
                        }
                        _ => self.push_each(t, from, pushed, &weights, &mut next),
                    }
                }
            }
        }
        next
    }

    /// Any change of memory, one state at a time.
    #[inline(always)]
    fn push_each(&self, t: usize, from: At, pushed: &[f64], weights: &[f64; W], next: &mut Pushed) {
        let [i, j] = from.pair;
        for (memory, &pushed) in pushed
            .iter()
            .enumerate()
            .filter(|&(_, &pushed)| pushed != 0.0)
        {
            for (k, &weight) in weights.iter().enumerate().take(self.lattice.candidates) {
                let Some(state) = self.go(t, from.state, k) else {
                    continue;
                };
                let (kept, echoes) = self.plan.advance(&self.lattice, t, memory, [i, j, k]);
                let extra = self.extra(t, memory, [i, j, k], echoes);
                next.of(state, [j, k])[kept] += pushed * (weight * extra);
            }
        }
    }

    /// Two classes of which the next note meets one: all states that it does not meet are pushed as one.
    #[inline(always)]
    fn push_two(&self, t: usize, from: At, pushed: &[f64], weights: &[f64; W], next: &mut Pushed) {
        let entering = self.plan.places[t].memory == Memory::Expect2;
        let [i, j] = from.pair;
        let class_i = self.lattice.class(t - 2, i);
        // By the class that the next note may meet, then by the other class.
        let mut by_class = [[0.0; CLASSES]; CLASSES];
        for upper in 0..CLASSES {
            for lower in 0..CLASSES {
                let value = pushed[upper * CLASSES + lower];
                let to = if entering {
                    &mut by_class[upper][lower]
                } else {
                    &mut by_class[lower][upper]
                };
                *to = value;
            }
        }
        let free = pushed.get(FREE2).copied().unwrap_or(0.0);
        let unmet = all_but_each(&by_class.map(|row| row.iter().sum()), free);
        for (k, &weight) in weights.iter().enumerate().take(self.lattice.candidates) {
            let Some(state) = self.go(t, from.state, k).filter(|_| weight != 0.0) else {
                continue;
            };
            let class = self.lattice.class(t, k);
            let to = next.of(state, [j, k]);
            to[if entering { FREE2 } else { FREE1 }] += weight * unmet[class];
            let base = if entering { class_i * CLASSES } else { 0 };
            for (to, &met) in to[base..base + CLASSES].iter_mut().zip(&by_class[class]) {
                *to += weight * met;
            }
        }
    }

    /// The last class of an echo: the memory that is left does not depend on it.
    #[inline(always)]
    fn push_one(&self, t: usize, from: At, pushed: &[f64], weights: &[f64; W], next: &mut Pushed) {
        let [i, j] = from.pair;
        let kept = if self.plan.places[t].memory == Memory::Record1 {
            self.lattice.class(t - 2, i)
        } else {
            0
        };
        let echo = self.plan.places[t]
            .echo
            .map_or(1.0, |weight| self.ring.lift(weight));
        let mut by_class = [0.0; CLASSES];
        by_class.copy_from_slice(&pushed[..CLASSES]);
        let mut totals = all_but_each(&by_class, pushed[FREE1]);
        for (total, &met) in totals.iter_mut().zip(&by_class) {
            *total += echo * met;
        }
        for (k, &weight) in weights.iter().enumerate().take(self.lattice.candidates) {
            if let Some(state) = self.go(t, from.state, k) {
                next.of(state, [j, k])[kept] += weight * totals[self.lattice.class(t, k)];
            }
        }
    }

    /// The fourth note, with the head and the record of the first.
    #[inline(always)]
    fn push_recalled(
        &self,
        t: usize,
        from: At,
        pushed: &[f64],
        weights: &[f64; W],
        next: &mut Pushed,
    ) {
        let [i, j] = from.pair;
        let (second, third) = (self.lattice.class(t - 2, i), self.lattice.class(t - 1, j));
        let records = self.plan.places[t].memory == Memory::Record2;
        let head = self.head_rows(t);
        for (k, &weight) in weights.iter().enumerate().take(self.lattice.candidates) {
            let Some(state) = self.go(t, from.state, k).filter(|_| weight != 0.0) else {
                continue;
            };
            let class = self.lattice.class(t, k);
            let head = head.map(|head| &head.row([second, third, class])[..CLASSES]);
            let to = next.of(state, [j, k]);
            for (first, &pushed) in pushed.iter().enumerate() {
                let weight = weight * head.map_or(1.0, |head| head[first]);
                to[if records { first * CLASSES + second } else { 0 }] += pushed * weight;
            }
        }
    }
}

/// For every class the sum of `more` and all other classes.
#[inline(always)]
fn all_but_each(by_class: &[f64; CLASSES], more: f64) -> [f64; CLASSES] {
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
