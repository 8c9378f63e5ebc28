//! One kernel for each way the memory changes between two layers.
//!
//! Each fills the values at `t - 1` for states `(i, j, memory)` from those at `t`. Loops run along whichever of the
//! three candidates makes all reads contiguous, with no combination across lanes, so that they vectorise and give
//! the same bits on every machine.

use pulp::Simd;

use crate::bits::{Bits, with_residue};
use crate::memory::{FREE1, Memory};
use crate::semiring::Semiring;
use crate::weight::CLASSES;

use crate::wide::Rows;

use super::lifted::{lanes, lanes_mut};
use super::{Pass, Scratch, Values};

/// Lanes that hold one value for each class, with some to spare.
pub(super) const LANES: usize = 16;

/// One row for each class.
pub(super) type ByClass<V, const W: usize> = [[V; W]; CLASSES];

/// For every class the combination of all other classes' rows; gives the combination of all.
#[inline(always)]
pub(super) fn exclude<S: Semiring, D: Simd, const W: usize>(
    work: Rows<S, D>,
    parts: &ByClass<S::Value, W>,
    others: &mut ByClass<S::Value, W>,
) -> [S::Value; W] {
    let mut running = [work.ring.zero(); W];
    for class in 0..CLASSES {
        others[class] = running;
        work.add(&mut running, &parts[class]);
    }
    let total = running;
    running = [work.ring.zero(); W];
    for class in (0..CLASSES).rev() {
        work.add(&mut others[class], &running);
        work.add(&mut running, &parts[class]);
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
    pub(super) fn any<D: Simd>(
        &self,
        simd: D,
        t: usize,
        next: &Values<S::Value>,
        scratch: &Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let ring = self.ring;
        let view = self.lifted.view(&self.lattice, t);
        for state in 0..self.states {
            for i in Bits(self.lifted.live(t - 2)) {
                for j in Bits(self.lifted.ways_on(&self.lattice, t - 1, i)) {
                    let shapes = view.along_last(simd, i, j);
                    for memory in 0..out.memory.states() {
                        let mut sum = ring.zero();
                        for k in Bits(self.lifted.ways_on(&self.lattice, t, j)) {
                            let Some(state) = self.go(t, state, k) else {
                                continue;
                            };
                            let (kept, echoes) =
                                self.plan.advance(&self.lattice, t, memory, [i, j, k]);
                            let weight = ring.times(shapes[k], scratch.moves[j * W + k]);
                            let weight = ring.settle(
                                ring.times(weight, self.extra(t, memory, [i, j, k], echoes)),
                            );
                            sum = ring.plus(sum, ring.times(weight, next.at(state, j, k, kept)));
                        }
                        let at = out.index(state, i, j, memory);
                        out.data[at] = ring.settle(sum);
                    }
                }
            }
        }
    }

    /// Moves from `j` with the values of what follows, along `k`; zero where there is no way on.
    #[inline(always)]
    pub(super) fn moves_valued<D: Simd>(
        &self,
        simd: D,
        t: usize,
        next: &Values<S::Value>,
        moves: &[S::Value],
        [state, j, memory]: [usize; 3],
    ) -> [S::Value; W] {
        let ring = self.ring;
        let work = Rows { ring, simd };
        let mut valued = *lanes::<_, W>(moves, j * W);
        if self.lattice.automaton.is_none() && next.by_second == 1 {
            let values: &[S::Value; W] = lanes(&next.data, next.index(0, j, 0, memory));
            work.multiply(&mut valued, values);
            work.settle(&mut valued);
        } else {
            for k in Bits(self.lifted.ways_on(&self.lattice, t, j)) {
                let valued = &mut valued[k];
                *valued = match self.go(t, state, k) {
                    Some(state) => ring.settle(ring.times(*valued, next.at(state, j, k, memory))),
                    None => ring.zero(),
                };
            }
        }
        valued
    }

    /// Nothing remembered before or after.
    #[inline(always)]
    pub(super) fn plain<D: Simd>(
        &self,
        simd: D,
        t: usize,
        next: &Values<S::Value>,
        scratch: &Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let work = Rows { ring, simd };
        let view = self.lifted.view(&self.lattice, t);
        for state in 0..self.states {
            for j in Bits(self.lifted.live(t - 1)) {
                let ks = Bits(self.lifted.ways_on(&self.lattice, t, j));
                let weights = self.moves_valued(simd, t, next, &scratch.moves, [state, j, 0]);
                let mut sum = [ring.zero(); W];
                if view.has_triples() {
                    for k in ks {
                        let mut row = view.triples_along_first(j, k);
                        work.scale(&mut row, weights[k]);
                        work.add_products(
                            &mut sum,
                            0..1,
                            #[inline(always)]
                            |_| &row[..],
                            #[inline(always)]
                            |_| view.along_first(j, k),
                        );
                    }
                } else {
                    work.add_weighted(
                        &mut sum,
                        ks,
                        #[inline(always)]
                        |k| view.along_first(j, k),
                        #[inline(always)]
                        |k| weights[k],
                    );
                }
                work.settle(&mut sum);
                let at = out.index(state, 0, j, 0);
                for (to, &sum) in out.data[at..].iter_mut().step_by(W).zip(&sum[..n]) {
                    *to = sum;
                }
            }
        }
    }

    /// The first note's class is recorded, or an echo is decided by one last class, or both.
    #[inline(always)]
    pub(super) fn decide<D: Simd>(
        &self,
        simd: D,
        t: usize,
        next: &Values<S::Value>,
        scratch: &mut Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let work = Rows { ring, simd };
        let echo = self.plan.places[t].echo.map(|weight| ring.lift(weight));
        let view = self.lifted.view(&self.lattice, t);
        let turn = usize::from(self.lattice.layers[t - 2].shift);
        let mut rows = std::mem::take(&mut scratch.rows);
        rows.clear();
        rows.resize(n * (W + SPREAD), ring.zero());
        for state in 0..self.states {
            for j in Bits(self.lifted.live(t - 1)) {
                let ks = self.lifted.ways_on(&self.lattice, t, j);
                for k in Bits(ks) {
                    let to = &mut rows[k * (W + SPREAD)..][..W + SPREAD];
                    match self.go(t, state, k) {
                        Some(state) => {
                            self.spread(work, next, scratch.moves[j * W + k], [state, j, k], to)
                        }
                        None => to.fill(ring.zero()),
                    }
                    if view.has_triples() {
                        work.multiply(&mut to[turn..turn + W], &view.triples_along_first(j, k));
                    }
                }
                let mut parts = [[ring.zero(); W]; CLASSES];
                let rounds = if echo.is_some() { CLASSES } else { 1 };
                for (residue, part) in parts.iter_mut().enumerate().take(rounds) {
                    let these = if echo.is_some() {
                        ks & with_residue(residue)
                    } else {
                        ks
                    };
                    work.add_products(
                        part,
                        Bits(these),
                        #[inline(always)]
                        |k| view.along_first(j, k),
                        #[inline(always)]
                        |k| lanes::<_, W>(&rows, k * (W + SPREAD) + turn),
                    );
                }
                let Some(echo) = echo else {
                    work.settle(&mut parts[0]);
                    let at = out.index(state, 0, j, 0);
                    for (to, &sum) in out.data[at..].iter_mut().step_by(W).zip(&parts[0][..n]) {
                        *to = sum;
                    }
                    continue;
                };
                let mut others = [[ring.zero(); W]; CLASSES];
                let mut total = exclude(work, &parts, &mut others);
                let at = |class: usize| out.index(state, 0, j, class);
                let places: [usize; CLASSES + 1] = std::array::from_fn(at);
                let mut put = |class: usize, row: &mut [S::Value; W]| {
                    work.settle(row);
                    row[n..].fill(ring.zero());
                    lanes_mut::<_, W>(&mut out.data, places[class]).copy_from_slice(row);
                };
                for class in 0..CLASSES {
                    let residue = self.residue(t, class);
                    let row = &mut others[residue];
                    work.add_weighted(
                        row,
                        0..1,
                        #[inline(always)]
                        |_| &parts[residue][..],
                        #[inline(always)]
                        |_| echo,
                    );
                    put(class, row);
                }
                put(FREE1, &mut total);
            }
        }
        scratch.rows = rows;
    }

    /// A move with the value of what follows, by the class that is recorded, in the order of its candidates.
    #[inline(always)]
    fn spread<D: Simd>(
        &self,
        work: Rows<S, D>,
        next: &Values<S::Value>,
        step: S::Value,
        [state, j, k]: [usize; 3],
        to: &mut [S::Value],
    ) {
        let at = next.index(state, j, k, 0);
        let mut values = match next.memory {
            Memory::Record1 => *lanes::<_, LANES>(&next.data, at),
            _ => [next.data[at]; LANES],
        };
        work.scale(&mut values, step);
        work.settle(&mut values);
        for from in (0..W + CLASSES).step_by(CLASSES) {
            to[from..from + LANES].copy_from_slice(&values);
        }
    }
}

/// Room beyond the candidates in a row of values by class.
const SPREAD: usize = 2 * CLASSES + LANES;
