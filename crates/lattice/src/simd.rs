//! Loops along rows with the widest vectors that the machine has.
//!
//! Vectors are written out, because left to itself a compiler takes a loop over many short rows for one over long
//! columns. Every lane is worked out as a single number would be, in the same order, so results do not depend on the
//! width.

#![expect(
    clippy::needless_range_loop,
    reason = "several rows are read at one place; zips would not all inline"
)]

use pulp::{Simd, WithSimd};

use crate::semiring::Semiring;

/// Work that is compiled once for every vector width.
///
/// A type rather than a closure, because only a method can be forced inline all the way into the function that has
/// the machine's features; a closure is reached through a shim that is not.
pub(crate) trait Work {
    type Output;
    fn run<D: Simd>(self, simd: D) -> Self::Output;
}

struct Dispatched<T>(T);

impl<T: Work> WithSimd for Dispatched<T> {
    type Output = T::Output;

    #[inline(always)]
    fn with_simd<D: Simd>(self, simd: D) -> T::Output {
        self.0.run(simd)
    }
}

/// Runs `work` with the widest vectors; the result is the same for every width.
pub(crate) fn dispatch<T: Work>(work: T) -> T::Output {
    pulp::Arch::new().dispatch(Dispatched(work))
}

/// Operations on rows whose length is a multiple of every vector's.
#[derive(Clone, Copy)]
pub(crate) struct Rows<S, D> {
    pub(crate) ring: S,
    pub(crate) simd: D,
}

/// Runs `$block::<C>(start)` over all `$total` vectors of a row, `C` at a time.
macro_rules! in_blocks {
    ($total:expr, $start:ident, $C:ident => $body:expr) => {{
        macro_rules! blocks_of {
            ($size:literal) => {{
                const $C: usize = $size;
                for $start in (0..$total).step_by($C) {
                    $body
                }
            }};
        }
        if $total.is_multiple_of(5) {
            blocks_of!(5)
        } else if $total.is_multiple_of(4) {
            blocks_of!(4)
        } else if $total.is_multiple_of(3) {
            blocks_of!(3)
        } else if $total.is_multiple_of(2) {
            blocks_of!(2)
        } else {
            blocks_of!(1)
        }
    }};
}

/// `C` vectors of a row from `start` on.
#[inline(always)]
fn block<S: Semiring, D: Simd, const C: usize>(
    row: &[S::Value],
    start: usize,
) -> &[S::Vector<D>; C] {
    S::vectors::<D>(row)[start..start + C]
        .try_into()
        .expect("a block is C vectors")
}

#[inline(always)]
fn block_mut<S: Semiring, D: Simd, const C: usize>(
    row: &mut [S::Value],
    start: usize,
) -> &mut [S::Vector<D>; C] {
    (&mut S::vectors_mut::<D>(row)[start..start + C])
        .try_into()
        .expect("a block is C vectors")
}

impl<S: Semiring, D: Simd> Rows<S, D> {
    #[inline(always)]
    pub(crate) fn new(ring: S, simd: D) -> Self {
        Self { ring, simd }
    }

    /// Adds to `sum`, for every `k`, the row of `k` times its weight.
    #[inline(always)]
    pub(crate) fn add_weighted<'r>(
        self,
        sum: &mut [S::Value],
        ks: impl Iterator<Item = usize> + Clone,
        row: impl Fn(usize) -> &'r [S::Value] + Copy,
        weight: impl Fn(usize) -> S::Value + Copy,
    ) where
        S::Value: 'r,
    {
        let total = S::vectors::<D>(sum).len();
        in_blocks!(total, start, C => {
            let mut sums = *block::<S, D, C>(sum, start);
            for k in ks.clone() {
                let weight = S::splat(self.simd, weight(k));
                let row = block::<S, D, C>(row(k), start);
                for c in 0..C {
                    sums[c] = S::plus_vector(self.simd, sums[c], S::times_vector(self.simd, row[c], weight));
                }
            }
            *block_mut::<S, D, C>(sum, start) = sums;
        });
    }

    /// Adds to each of `P` sums, for every `k`, the row of `k` times the weight that the sum has for it.
    #[inline(always)]
    pub(crate) fn add_weighted_together<'r, const P: usize, const L: usize>(
        self,
        sums: &mut [[S::Value; L]; P],
        ks: impl Iterator<Item = usize> + Clone,
        row: impl Fn(usize) -> &'r [S::Value] + Copy,
        weight: impl Fn(usize, usize) -> S::Value + Copy,
    ) where
        S::Value: 'r,
    {
        let total = S::vectors::<D>(&sums[0]).len();
        if total.is_multiple_of(2) {
            for start in (0..total).step_by(2) {
                self.add_block_together::<P, L, 2>(sums, ks.clone(), row, weight, start);
            }
        } else {
            for start in 0..total {
                self.add_block_together::<P, L, 1>(sums, ks.clone(), row, weight, start);
            }
        }
    }

    #[inline(always)]
    fn add_block_together<'r, const P: usize, const L: usize, const C: usize>(
        self,
        sums: &mut [[S::Value; L]; P],
        ks: impl Iterator<Item = usize> + Clone,
        row: impl Fn(usize) -> &'r [S::Value] + Copy,
        weight: impl Fn(usize, usize) -> S::Value + Copy,
        start: usize,
    ) where
        S::Value: 'r,
    {
        let mut all = [[S::splat(self.simd, self.ring.zero()); C]; P];
        for p in 0..P {
            all[p] = *block::<S, D, C>(&sums[p], start);
        }
        for k in ks {
            let row = block::<S, D, C>(row(k), start);
            for p in 0..P {
                let weight = S::splat(self.simd, weight(p, k));
                for c in 0..C {
                    all[p][c] = S::plus_vector(
                        self.simd,
                        all[p][c],
                        S::times_vector(self.simd, row[c], weight),
                    );
                }
            }
        }
        for p in 0..P {
            *block_mut::<S, D, C>(&mut sums[p], start) = all[p];
        }
    }

    /// Adds to `sum`, for every `k`, the product of its two rows.
    #[inline(always)]
    pub(crate) fn add_products<'r>(
        self,
        sum: &mut [S::Value],
        ks: impl Iterator<Item = usize> + Clone,
        one: impl Fn(usize) -> &'r [S::Value] + Copy,
        other: impl Fn(usize) -> &'r [S::Value] + Copy,
    ) where
        S::Value: 'r,
    {
        let total = S::vectors::<D>(sum).len();
        in_blocks!(total, start, C => {
            let mut sums = *block::<S, D, C>(sum, start);
            for k in ks.clone() {
                let (one, other) = (block::<S, D, C>(one(k), start), block::<S, D, C>(other(k), start));
                for c in 0..C {
                    sums[c] = S::plus_vector(self.simd, sums[c], S::times_vector(self.simd, one[c], other[c]));
                }
            }
            *block_mut::<S, D, C>(sum, start) = sums;
        });
    }

    /// Multiplies a row by another.
    #[inline(always)]
    pub(crate) fn multiply(self, row: &mut [S::Value], by: &[S::Value]) {
        let (row, by) = (S::vectors_mut::<D>(row), S::vectors::<D>(by));
        for x in 0..row.len() {
            row[x] = S::times_vector(self.simd, row[x], by[x]);
        }
    }

    /// Multiplies a row by one value.
    #[inline(always)]
    pub(crate) fn scale(self, row: &mut [S::Value], by: S::Value) {
        let by = S::splat(self.simd, by);
        let row = S::vectors_mut::<D>(row);
        for x in 0..row.len() {
            row[x] = S::times_vector(self.simd, row[x], by);
        }
    }

    /// Adds a row to another.
    #[inline(always)]
    pub(crate) fn add(self, row: &mut [S::Value], more: &[S::Value]) {
        let (row, more) = (S::vectors_mut::<D>(row), S::vectors::<D>(more));
        for x in 0..row.len() {
            row[x] = S::plus_vector(self.simd, row[x], more[x]);
        }
    }

    /// Brings every value of a row back into its range.
    #[inline(always)]
    pub(crate) fn normalize(self, row: &mut [S::Value]) {
        S::normalize_row(self.ring, self.simd, row);
    }
}
