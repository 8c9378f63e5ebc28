//! Kernels for segments of more than four layers, which carry two recorded classes to their end.

use pulp::Simd;

use crate::bits::Bits;
use crate::memory::FREE1;
use crate::semiring::Semiring;
use crate::weight::CLASSES;
use crate::wide::Rows;

use super::kernels::{LANES, exclude};
use super::lifted::lanes;
use super::{Pass, Scratch, Values};

/// Runs of two recorded classes.
const PAIRS: usize = CLASSES * CLASSES;

impl<S: Semiring, const W: usize> Pass<S, W> {
    /// Weights of going on from `(i, j)`, along `k`; zero past the candidates.
    #[inline(always)]
    fn weights_along_last<D: Simd>(
        &self,
        simd: D,
        shapes: [S::Value; W],
        moves: &[S::Value; W],
    ) -> [S::Value; W] {
        let work = Rows {
            ring: self.ring,
            simd,
        };
        let mut weights = *moves;
        work.multiply(&mut weights, &shapes);
        S::settle_weights(self.ring, simd, &mut weights);
        weights[self.lattice.candidates..].fill(self.ring.zero());
        weights
    }

    /// Two recorded classes before and after.
    #[inline(always)]
    pub(super) fn carry<D: Simd>(
        &self,
        simd: D,
        t: usize,
        next: &Values<S::Value>,
        scratch: &Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let ring = self.ring;
        let work = Rows { ring, simd };
        let view = self.lifted.view(&self.lattice, t);
        for state in 0..self.states {
            for i in Bits(self.lifted.live(t - 2)) {
                for j in Bits(self.lifted.ways_on(&self.lattice, t - 1, i)) {
                    let shapes = view.along_last(simd, i, j);
                    let weights =
                        self.weights_along_last(simd, shapes, lanes(&scratch.moves, j * W));
                    let mut sums = [ring.zero(); PAIRS];
                    for k in Bits(self.lifted.ways_on(&self.lattice, t, j)) {
                        let weight = weights[k];
                        let Some(state) = self.go(t, state, k) else {
                            continue;
                        };
                        let row: &[S::Value; PAIRS] = lanes(&next.data, next.index(state, j, k, 0));
                        work.add_weighted(&mut sums, 0..1, |_| &row[..], |_| weight);
                    }
                    work.settle(&mut sums);
                    let at = out.index(state, i, j, 0);
                    out.data[at..at + PAIRS].copy_from_slice(&sums);
                }
            }
        }
    }

    /// Two recorded classes before; after, whether the first has come again, and then the second is expected.
    #[inline(always)]
    pub(super) fn begin<D: Simd>(
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
        let classes: [usize; W] = std::array::from_fn(|k| self.lattice.class(t, k));
        // What follows each move, by the class that is then expected and last by none.
        let mut later = vec![[ring.zero(); LANES]; n];
        let ways_in = self.lifted.ways_in(&self.lattice, t - 1);
        for state in 0..self.states {
            for j in Bits(self.lifted.live(t - 1)) {
                let ks = Bits(self.lifted.ways_on(&self.lattice, t, j));
                for k in ks {
                    let row = &mut later[k];
                    *row = [ring.zero(); LANES];
                    if let Some(state) = self.go(t, state, k) {
                        for (memory, value) in row.iter_mut().enumerate().take(FREE1 + 1) {
                            *value = next.at(state, j, k, memory);
                        }
                    }
                }
                for i in Bits(ways_in[j]) {
                    let shapes = view.along_last(simd, i, j);
                    let weights =
                        self.weights_along_last(simd, shapes, lanes(&scratch.moves, j * W));
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
                    exclude(work, &sums, &mut others);
                    for (first, (other, again)) in others.iter().zip(&sums).enumerate() {
                        let at = out.index(state, i, j, first * CLASSES);
                        for (to, &again) in out.data[at..at + CLASSES].iter_mut().zip(again) {
                            *to = ring.settle(ring.plus(other[FREE1], again));
                        }
                    }
                }
            }
        }
    }
}
