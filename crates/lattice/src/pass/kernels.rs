//! One kernel for each way the memory changes between two layers.
//!
//! Each fills the values at `t - 1` for states `(i, j, memory)` from those at `t`. Loops run along whichever of the
//! three candidates makes all reads contiguous, with no combination across lanes, so that they vectorise and give
//! the same bits on every machine.

use crate::memory::{FREE1, Memory};
use crate::semiring::Semiring;
use crate::weight::CLASSES;

use crate::wide::row;

use super::lifted::lanes;
use super::{Pass, Scratch, Values};

/// Lanes that hold one value for each class, with some to spare.
pub(super) const LANES: usize = 16;

/// For every class the combination of all other classes' rows; gives the combination of all.
#[inline(always)]
pub(super) fn exclude<S: Semiring, const W: usize>(
    ring: S,
    parts: &[[S::Value; W]; CLASSES],
    others: &mut [[S::Value; W]; CLASSES],
) -> [S::Value; W] {
    let mut running = [ring.zero(); W];
    for class in 0..CLASSES {
        let (part, other) = (&parts[row(class)], &mut others[class]);
        *other = running;
        for x in 0..W {
            running[x] = ring.plus(running[x], part[x]);
        }
    }
    let total = running;
    running = [ring.zero(); W];
    for class in (0..CLASSES).rev() {
        let (part, other) = (&parts[row(class)], &mut others[class]);
        for x in 0..W {
            other[x] = ring.plus(other[x], running[x]);
            running[x] = ring.plus(running[x], part[x]);
        }
    }
    total
}

impl<S: Semiring, const W: usize> Pass<S, W> {
    /// Residue modulo 12 of the candidates at layer `t` that have class `class`.
    #[inline(always)]
    pub(super) fn residue(&self, t: usize, class: usize) -> usize {
        (class + CLASSES - usize::from(self.lattice.layers[t].shift)) % CLASSES
    }

    /// Any change of memory, one state at a time: for the rare ones.
    #[inline(always)]
    pub(super) fn any(
        &self,
        t: usize,
        next: &Values<S::Value>,
        scratch: &Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let view = self.lifted.view(&self.lattice, t);
        for state in 0..self.states {
            for i in 0..n {
                for j in 0..n {
                    let shapes = view.along_last(i, j);
                    for memory in 0..out.memory.states() {
                        let mut sum = ring.zero();
                        for k in 0..n {
                            let Some(state) = self.go(t, state, k) else { continue };
                            let (kept, echoes) = self.plan.advance(&self.lattice, t, memory, [i, j, k]);
                            let weight = ring.times(shapes[k], scratch.moves[j * W + k]);
                            let weight = ring.settle(ring.times(weight, self.extra(t, memory, [i, j, k], echoes)));
                            sum = ring.plus(sum, ring.times(weight, next.at(state, j, k, kept)));
                        }
                        let at = out.index(state, i, j, memory);
                        out.data[at] = ring.settle(sum);
                    }
                }
            }
        }
    }

    /// Moves from `j` with the values of what follows, along `k`; zero where the automaton stops.
    #[inline(always)]
    pub(super) fn moves_valued(
        &self,
        t: usize,
        next: &Values<S::Value>,
        scratch: &Scratch<S::Value>,
        [state, j, memory]: [usize; 3],
    ) -> [S::Value; W] {
        let ring = self.ring;
        let moves: &[S::Value; W] = lanes(&scratch.moves, j * W);
        let mut valued = [ring.zero(); W];
        if self.lattice.automaton.is_none() && next.by_second == 1 {
            let values: &[S::Value; W] = lanes(&next.data, next.index(0, j, 0, memory));
            for k in 0..W {
                valued[k] = ring.settle(ring.times(moves[k], values[k]));
            }
        } else {
            for k in 0..self.lattice.candidates {
                if let Some(state) = self.go(t, state, k) {
                    valued[k] = ring.settle(ring.times(moves[k], next.at(state, j, k, memory)));
                }
            }
        }
        valued
    }

    /// Nothing remembered before or after.
    #[inline(always)]
    pub(super) fn plain(
        &self,
        t: usize,
        next: &Values<S::Value>,
        scratch: &Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let view = self.lifted.view(&self.lattice, t);
        for state in 0..self.states {
            for j in 0..n {
                let weights = self.moves_valued(t, next, scratch, [state, j, 0]);
                let mut sum = [ring.zero(); W];
                if view.has_triples() {
                    for k in 0..n {
                        let (shapes, triples) = (view.along_first(j, row(k)), view.triples_along_first(j, k));
                        for i in 0..W {
                            let shape = ring.times(shapes[i], triples[i]);
                            sum[i] = ring.plus(sum[i], ring.times(shape, weights[k]));
                        }
                    }
                } else {
                    for k in 0..n {
                        let shapes = view.along_first(j, row(k));
                        for i in 0..W {
                            sum[i] = ring.plus(sum[i], ring.times(shapes[i], weights[k]));
                        }
                    }
                }
                let at = out.index(state, 0, j, 0);
                for (to, &sum) in out.data[at..].iter_mut().step_by(W).zip(&sum[..n]) {
                    *to = ring.settle(sum);
                }
            }
        }
    }

    /// The first note's class is recorded, or an echo is decided by one last class, or both.
    #[inline(always)]
    pub(super) fn decide(
        &self,
        t: usize,
        next: &Values<S::Value>,
        scratch: &mut Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let records = next.memory == Memory::Record1;
        let echo = self.plan.places[t].echo.map(|weight| ring.lift(weight));
        let view = self.lifted.view(&self.lattice, t);
        let turn = usize::from(self.lattice.layers[t - 2].shift);
        // For one `j`: moves with the values of what follows, `[k]` rows along all `i`.
        let spread = W + 2 * CLASSES + LANES;
        let mut rows = std::mem::take(&mut scratch.rows);
        rows.clear();
        rows.resize(n * spread, ring.zero());
        for state in 0..self.states {
            for j in 0..n {
                for k in 0..n {
                    let values_of = &mut rows[row(k) * spread..(k + 1) * spread];
                    let Some(state) = self.go(t, state, k) else {
                        values_of.fill(ring.zero());
                        continue;
                    };
                    let step = scratch.moves[j * W + k];
                    let at = next.index(state, j, k, 0);
                    if records {
                        let values: &[S::Value; LANES] = lanes(&next.data, at);
                        let mut valued = [ring.zero(); LANES];
                        for x in 0..LANES {
                            valued[x] = ring.settle(ring.times(step, values[x]));
                        }
                        for from in (0..W + CLASSES).step_by(CLASSES) {
                            values_of[from..from + LANES].copy_from_slice(&valued);
                        }
                    } else {
                        values_of[..W + CLASSES].fill(ring.settle(ring.times(step, next.data[at])));
                    }
                }
                let mut parts = [[ring.zero(); W]; CLASSES];
                let (stride, rounds) = if echo.is_some() { (CLASSES, CLASSES) } else { (1, 1) };
                for residue in 0..rounds {
                    let mut sum = [ring.zero(); W];
                    for k in (residue..n).step_by(stride) {
                        let shapes = view.along_first(j, row(k));
                        let values: &[S::Value; W] = lanes(&rows, k * spread + turn);
                        if view.has_triples() {
                            let triples = view.triples_along_first(j, k);
                            for i in 0..W {
                                let shape = ring.times(shapes[i], triples[i]);
                                sum[i] = ring.plus(sum[i], ring.times(shape, values[i]));
                            }
                        } else {
                            for i in 0..W {
                                sum[i] = ring.plus(sum[i], ring.times(shapes[i], values[i]));
                            }
                        }
                    }
                    parts[residue] = sum;
                }
                let Some(echo) = echo else {
                    let at = out.index(state, 0, j, 0);
                    for (to, &sum) in out.data[at..].iter_mut().step_by(W).zip(&parts[0][..n]) {
                        *to = ring.settle(sum);
                    }
                    continue;
                };
                let mut others = [[ring.zero(); W]; CLASSES];
                let total = exclude(ring, &parts, &mut others);
                for class in 0..CLASSES {
                    let residue = self.residue(t, row(class));
                    let at = out.index(state, 0, j, class);
                    let to = &mut out.data[at..at + W];
                    for i in 0..W {
                        let sum = ring.plus(others[residue][i], ring.times(parts[residue][i], echo));
                        to[i] = if i < n { ring.settle(sum) } else { ring.zero() };
                    }
                }
                let at = out.index(state, 0, j, FREE1);
                for (to, &sum) in out.data[at..at + n].iter_mut().zip(&total) {
                    *to = ring.settle(sum);
                }
            }
        }
        scratch.rows = rows;
    }
}
