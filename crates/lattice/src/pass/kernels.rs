//! One kernel for each way the auxiliary state changes between two layers.
//!
//! Each fills the values at `t - 1` for states `(i, j, auxiliary)` from those at `t`. Loops run along whichever of the
//! three candidates makes all reads contiguous, with no combination across lanes, so that they vectorise and give
//! the same bits on every machine.

use pulp::Simd;

use crate::auxiliary::{Auxiliary, NO_MATCH1};
use crate::bits::{Bits, with_residue};
use crate::semiring::Semiring;
use crate::weight::CLASSES;

use crate::simd::Rows;

use super::embedding::{lanes, lanes_mut};
use super::{Pass, Scratch, Values};

/// Lanes that hold one value for each class, with some to spare.
pub(super) const LANES: usize = 16;

/// One row for each class.
pub(super) type ByClass<V, const W: usize> = [[V; W]; CLASSES];

/// For every class the combination of all other classes' rows, by running combinations from both ends; gives the
/// combination of all.
#[inline(always)]
pub(super) fn leave_one_out<S: Semiring, D: Simd, const W: usize>(
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

    /// Any change of the auxiliary state, one state at a time: for the rare ones.
    #[inline(always)]
    pub(super) fn any_change<D: Simd>(
        &self,
        simd: D,
        t: usize,
        next: &Values<S::Value>,
        scratch: &Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let ring = self.ring;
        let view = self.embedding.view(&self.lattice, t);
        for state in 0..self.states {
            for i in Bits(self.embedding.live(t - 2)) {
                for j in Bits(self.embedding.successors(&self.lattice, t - 1, i)) {
                    let trigrams = view.along_last(simd, i, j);
                    for aux in 0..out.aux.states() {
                        let mut sum = ring.zero();
                        for k in Bits(self.embedding.successors(&self.lattice, t, j)) {
                            let Some(state) = self.lattice.automaton_next(t, state, k) else {
                                continue;
                            };
                            let (kept, repeats) =
                                self.layout.next_aux(&self.lattice, t, aux, [i, j, k]);
                            let weight = ring.times(trigrams[k], scratch.transitions[j * W + k]);
                            let weight = ring
                                .product(weight, self.segment_weight(t, aux, [i, j, k], repeats));
                            sum = ring.plus(sum, ring.times(weight, next.at(state, j, k, kept)));
                        }
                        let at = out.index(state, i, j, aux);
                        out.data[at] = ring.normalize(sum);
                    }
                }
            }
        }
    }

    /// Transitions from `j` times the values that they lead to, along `k`; zero where there is none.
    #[inline(always)]
    pub(super) fn valued_transitions<D: Simd>(
        &self,
        simd: D,
        t: usize,
        next: &Values<S::Value>,
        transitions: &[S::Value],
        [state, j, aux]: [usize; 3],
    ) -> [S::Value; W] {
        let ring = self.ring;
        let work = Rows::new(ring, simd);
        let mut valued = *lanes::<_, W>(transitions, j * W);
        if self.lattice.automaton.is_none() && next.by_second == 1 {
            let values: &[S::Value; W] = lanes(&next.data, next.index(0, j, 0, aux));
            work.multiply(&mut valued, values);
            work.normalize(&mut valued);
        } else {
            for k in Bits(self.embedding.successors(&self.lattice, t, j)) {
                let valued = &mut valued[k];
                *valued = match self.lattice.automaton_next(t, state, k) {
                    Some(state) => ring.product(*valued, next.at(state, j, k, aux)),
                    None => ring.zero(),
                };
            }
        }
        valued
    }

    /// No auxiliary state before or after.
    #[inline(always)]
    pub(super) fn without_aux<D: Simd>(
        &self,
        simd: D,
        t: usize,
        next: &Values<S::Value>,
        scratch: &Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let work = Rows::new(ring, simd);
        let view = self.embedding.view(&self.lattice, t);
        for state in 0..self.states {
            for j in Bits(self.embedding.live(t - 1)) {
                let ks = Bits(self.embedding.successors(&self.lattice, t, j));
                let weights =
                    self.valued_transitions(simd, t, next, &scratch.transitions, [state, j, 0]);
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
                work.normalize(&mut sum);
                let at = out.index(state, 0, j, 0);
                for (to, &sum) in out.data[at..].iter_mut().step_by(W).zip(&sum[..n]) {
                    *to = sum;
                }
            }
        }
    }

    /// The class of a segment's first candidate is recorded, or one last class completes a repetition, or both.
    #[inline(always)]
    pub(super) fn record_or_complete<D: Simd>(
        &self,
        simd: D,
        t: usize,
        next: &Values<S::Value>,
        scratch: &mut Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let work = Rows::new(ring, simd);
        let repetition = self.layout.layers[t]
            .repetition
            .map(|weight| ring.embed(weight));
        let view = self.embedding.view(&self.lattice, t);
        let turn = usize::from(self.lattice.layers[t - 2].shift);
        let mut rows = std::mem::take(&mut scratch.rows);
        rows.clear();
        rows.resize(n * (W + SPREAD), ring.zero());
        for state in 0..self.states {
            for j in Bits(self.embedding.live(t - 1)) {
                let ks = self.embedding.successors(&self.lattice, t, j);
                for k in Bits(ks) {
                    let to = &mut rows[k * (W + SPREAD)..][..W + SPREAD];
                    match self.lattice.automaton_next(t, state, k) {
                        Some(state) => self.spread_by_class(
                            work,
                            next,
                            scratch.transitions[j * W + k],
                            [state, j, k],
                            to,
                        ),
                        None => to.fill(ring.zero()),
                    }
                    if view.has_triples() {
                        work.multiply(&mut to[turn..turn + W], &view.triples_along_first(j, k));
                    }
                }
                let mut parts = [[ring.zero(); W]; CLASSES];
                let rounds = if repetition.is_some() { CLASSES } else { 1 };
                for (residue, part) in parts.iter_mut().enumerate().take(rounds) {
                    let these = if repetition.is_some() {
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
                let Some(repetition) = repetition else {
                    work.normalize(&mut parts[0]);
                    let at = out.index(state, 0, j, 0);
                    for (to, &sum) in out.data[at..].iter_mut().step_by(W).zip(&parts[0][..n]) {
                        *to = sum;
                    }
                    continue;
                };
                let mut others = [[ring.zero(); W]; CLASSES];
                let mut total = leave_one_out(work, &parts, &mut others);
                let at = |class: usize| out.index(state, 0, j, class);
                let layers: [usize; CLASSES + 1] = std::array::from_fn(at);
                let mut put = |class: usize, row: &mut [S::Value; W]| {
                    work.normalize(row);
                    row[n..].fill(ring.zero());
                    lanes_mut::<_, W>(&mut out.data, layers[class]).copy_from_slice(row);
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
                        |_| repetition,
                    );
                    put(class, row);
                }
                put(NO_MATCH1, &mut total);
            }
        }
        scratch.rows = rows;
    }

    /// A transition times the value that it leads to, by the class that is recorded, in the order of its candidates.
    #[inline(always)]
    fn spread_by_class<D: Simd>(
        &self,
        work: Rows<S, D>,
        next: &Values<S::Value>,
        transition: S::Value,
        [state, j, k]: [usize; 3],
        to: &mut [S::Value],
    ) {
        let at = next.index(state, j, k, 0);
        let mut values = match next.aux {
            Auxiliary::Recorded1 => *lanes::<_, LANES>(&next.data, at),
            _ => [next.data[at]; LANES],
        };
        work.scale(&mut values, transition);
        work.normalize(&mut values);
        for from in (0..W + CLASSES).step_by(CLASSES) {
            to[from..from + LANES].copy_from_slice(&values);
        }
    }
}

/// Room beyond the candidates in a row of values by class.
const SPREAD: usize = 2 * CLASSES + LANES;
