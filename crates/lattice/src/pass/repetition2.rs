//! Kernels around a repetition factor of two classes: both are recorded, carried to the end of the segment, and
//! compared in the next.

use pulp::Simd;

use crate::auxiliary::NO_MATCH1;
use crate::bits::Bits;
use crate::semiring::Semiring;
use crate::simd::Rows;
use crate::weight::CLASSES;

use super::embedding::lanes;
use super::kernels::{LANES, leave_one_out};
use super::{Pass, Scratch, Values};

/// Number of runs of two recorded classes.
const PAIRS: usize = CLASSES * CLASSES;

impl<S: Semiring, const W: usize> Pass<S, W> {
    /// Weights of the extensions from `(i, j)`, along `k`; zero past the candidates.
    #[inline(always)]
    fn weights_along_last<D: Simd>(
        &self,
        simd: D,
        trigrams: [S::Value; W],
        transitions: &[S::Value; W],
    ) -> [S::Value; W] {
        let work = Rows::new(self.ring, simd);
        let mut weights = *transitions;
        work.multiply(&mut weights, &trigrams);
        S::normalize_weights(self.ring, simd, &mut weights);
        weights[self.lattice.candidates..].fill(self.ring.zero());
        weights
    }

    /// Two recorded classes before and after.
    #[inline(always)]
    pub(super) fn keep_record<D: Simd>(
        &self,
        simd: D,
        t: usize,
        next: &Values<S::Value>,
        scratch: &Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let ring = self.ring;
        let work = Rows::new(ring, simd);
        let view = self.embedding.view(&self.lattice, t);
        for state in 0..self.states {
            for i in Bits(self.embedding.live(t - 2)) {
                for j in Bits(self.embedding.successors(&self.lattice, t - 1, i)) {
                    let trigrams = view.along_last(simd, i, j);
                    let weights =
                        self.weights_along_last(simd, trigrams, lanes(&scratch.transitions, j * W));
                    let mut sums = [ring.zero(); PAIRS];
                    for k in Bits(self.embedding.successors(&self.lattice, t, j)) {
                        let weight = weights[k];
                        let Some(state) = self.lattice.automaton_next(t, state, k) else {
                            continue;
                        };
                        let row: &[S::Value; PAIRS] = lanes(&next.data, next.index(state, j, k, 0));
                        work.add_weighted(&mut sums, 0..1, |_| &row[..], |_| weight);
                    }
                    work.normalize(&mut sums);
                    let at = out.index(state, i, j, 0);
                    out.data[at..at + PAIRS].copy_from_slice(&sums);
                }
            }
        }
    }

    /// Two recorded classes before; after, the second is expected, if the first matched.
    #[inline(always)]
    pub(super) fn match_first_of_two<D: Simd>(
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
        let classes: [usize; W] = std::array::from_fn(|k| self.lattice.class(t, k));
        // The value that each transition leads to, by the class that is then expected, and last by none.
        let mut later = vec![[ring.zero(); LANES]; n];
        let predecessors = self.embedding.predecessors(&self.lattice, t - 1);
        for state in 0..self.states {
            for j in Bits(self.embedding.live(t - 1)) {
                let ks = Bits(self.embedding.successors(&self.lattice, t, j));
                for k in ks {
                    let row = &mut later[k];
                    *row = [ring.zero(); LANES];
                    if let Some(state) = self.lattice.automaton_next(t, state, k) {
                        for (aux, value) in row.iter_mut().enumerate().take(NO_MATCH1 + 1) {
                            *value = next.at(state, j, k, aux);
                        }
                    }
                }
                for i in Bits(predecessors[j]) {
                    let trigrams = view.along_last(simd, i, j);
                    let weights =
                        self.weights_along_last(simd, trigrams, lanes(&scratch.transitions, j * W));
                    let mut sums = [[ring.zero(); LANES]; CLASSES];
                    for k in ks {
                        work.add_weighted(
                            &mut sums[classes[k]],
                            0..1,
                            |_| &later[k][..],
                            |_| weights[k],
                        );
                    }
                    let mut others = [[ring.zero(); LANES]; CLASSES];
                    leave_one_out(work, &sums, &mut others);
                    for (first, (other, again)) in others.iter().zip(&sums).enumerate() {
                        let at = out.index(state, i, j, first * CLASSES);
                        for (to, &again) in out.data[at..at + CLASSES].iter_mut().zip(again) {
                            *to = ring.normalize(ring.plus(other[NO_MATCH1], again));
                        }
                    }
                }
            }
        }
    }
}
