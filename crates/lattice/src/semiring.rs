//! The semirings under which one pass answers different questions: M. Mohri, "Semiring frameworks and algorithms for
//! shortest-distance problems", Journal of Automata, Languages and Combinatorics 7 (2002).
//!
//! A pass combines the weights along a path with `times` and the paths with `plus`. Max-plus (the tropical semiring)
//! gives the best path, sum-product the total of `exp(score / temperature)`, counting the number of paths. Whether there
//! is any path is a best path that exists.

use std::sync::Arc;

use pulp::Simd;

use crate::weight::{FORBIDDEN, MAX_WEIGHT};

/// Whether a weight is forbidden, as it was given or as tables keep it.
#[inline(always)]
fn is_forbidden(weight: i32) -> bool {
    weight < -MAX_WEIGHT
}

/// A commutative semiring, as passes use it.
///
/// `times` takes at most one path value beside embedded weights; `plus` is never given two embedded weights.
pub(crate) trait Semiring: Copy + Send + Sync {
    /// Element of a row.
    type Value: Copy + PartialEq + Send + Sync + std::fmt::Debug;
    /// Value of no path: neutral for `plus`.
    fn zero(self) -> Self::Value;
    /// Value of the empty path: neutral for `times`.
    fn one(self) -> Self::Value;
    /// An embedded weight that changes nothing; not [`Semiring::one`] where weights and values differ in kind.
    fn weight_one(self) -> Self::Value;
    /// The value of a weight in thousandths, or of one that is forbidden.
    fn embed(self, weight: i32) -> Self::Value;
    /// The values of all weights that a table keeps.
    fn embed_all(self, weights: &Arc<[i32]>) -> Arc<[Self::Value]> {
        weights.iter().map(|&weight| self.embed(weight)).collect()
    }
    /// Combines alternatives.
    fn plus(self, a: Self::Value, b: Self::Value) -> Self::Value;
    /// Combines along a path.
    fn times(self, a: Self::Value, b: Self::Value) -> Self::Value;
    /// Combines along a path, and brings the value back into its range.
    #[inline(always)]
    fn product(self, a: Self::Value, b: Self::Value) -> Self::Value {
        self.normalize(self.times(a, b))
    }
    /// Several elements, worked on at once.
    type Vector<D: Simd>: Copy;
    /// The vectors of a row; what is left over at the end is not seen.
    fn vectors<D: Simd>(row: &[Self::Value]) -> &[Self::Vector<D>];
    /// The vectors of a row, to be written.
    fn vectors_mut<D: Simd>(row: &mut [Self::Value]) -> &mut [Self::Vector<D>];
    /// One value in every lane.
    fn splat<D: Simd>(simd: D, value: Self::Value) -> Self::Vector<D>;
    /// [`Semiring::plus`] in every lane.
    fn plus_vector<D: Simd>(simd: D, a: Self::Vector<D>, b: Self::Vector<D>) -> Self::Vector<D>;
    /// [`Semiring::times`] in every lane.
    fn times_vector<D: Simd>(simd: D, a: Self::Vector<D>, b: Self::Vector<D>) -> Self::Vector<D>;
    /// Brings a row of path values back into its range.
    #[inline(always)]
    fn normalize_row<D: Simd>(self, _simd: D, row: &mut [Self::Value]) {
        for value in row {
            *value = self.normalize(*value);
        }
    }
    /// Brings a row of products of weights back into its range.
    #[inline(always)]
    fn normalize_weights<D: Simd>(self, simd: D, row: &mut [Self::Value]) {
        self.normalize_row(simd, row);
    }
    /// Brings a value back into its range after one layer's worth of `plus` and `times`.
    #[inline(always)]
    fn normalize(self, value: Self::Value) -> Self::Value {
        value
    }
    /// Scales a finished table in place and gives the power of two that was taken out.
    #[inline(always)]
    fn rescale(self, _table: &mut [Self::Value]) -> i32 {
        0
    }
}

/// Max-plus in 32 bits: for lattices whose every total stays below 2^27 in size.
#[derive(Clone, Copy)]
pub(crate) struct MaxPlus32;

impl MaxPlus32 {
    /// Bound on totals within which 32 bits are exact.
    pub(crate) const BOUND: i64 = 1 << 27;
    const VOID: i32 = FORBIDDEN;
}

impl Semiring for MaxPlus32 {
    type Value = i32;
    type Vector<D: Simd> = D::i32s;
    #[inline(always)]
    fn vectors<D: Simd>(row: &[Self::Value]) -> &[D::i32s] {
        D::as_simd_i32s(row).0
    }
    #[inline(always)]
    fn vectors_mut<D: Simd>(row: &mut [Self::Value]) -> &mut [D::i32s] {
        D::as_mut_simd_i32s(row).0
    }
    #[inline(always)]
    fn splat<D: Simd>(simd: D, value: Self::Value) -> D::i32s {
        simd.splat_i32s(value)
    }
    #[inline(always)]
    fn plus_vector<D: Simd>(simd: D, a: D::i32s, b: D::i32s) -> D::i32s {
        simd.max_i32s(a, b)
    }
    #[inline(always)]
    fn times_vector<D: Simd>(simd: D, a: D::i32s, b: D::i32s) -> D::i32s {
        simd.add_i32s(a, b)
    }
    #[inline(always)]
    fn normalize_row<D: Simd>(self, simd: D, row: &mut [i32]) {
        // Enough to keep off the end of the range: what is forbidden only ever gains finite weights, and all of a
        // path's together are too few to look allowed.
        let void = simd.splat_i32s(Self::VOID);
        for value in Self::vectors_mut::<D>(row) {
            *value = simd.max_i32s(*value, void);
        }
    }
    #[inline(always)]
    fn zero(self) -> i32 {
        Self::VOID
    }
    #[inline(always)]
    fn one(self) -> i32 {
        0
    }
    #[inline(always)]
    fn weight_one(self) -> i32 {
        0
    }
    #[inline(always)]
    fn embed(self, weight: i32) -> i32 {
        weight.max(Self::VOID)
    }
    /// Tables keep the very values.
    fn embed_all(self, weights: &Arc<[i32]>) -> Arc<[i32]> {
        Arc::clone(weights)
    }
    #[inline(always)]
    fn plus(self, a: i32, b: i32) -> i32 {
        a.max(b)
    }
    #[inline(always)]
    fn times(self, a: i32, b: i32) -> i32 {
        a.wrapping_add(b)
    }
    #[inline(always)]
    fn normalize(self, value: i32) -> i32 {
        if value < Self::VOID / 2 {
            Self::VOID
        } else {
            value
        }
    }
}

/// Max-plus in 64 bits: for totals of any size that 2^40 layers can reach.
#[derive(Clone, Copy)]
pub(crate) struct MaxPlus64;

impl MaxPlus64 {
    const VOID: i64 = -(1 << 60);
}

impl Semiring for MaxPlus64 {
    type Value = i64;
    // Rarely needed, so one lane will do.
    type Vector<D: Simd> = i64;
    #[inline(always)]
    fn vectors<D: Simd>(row: &[i64]) -> &[i64] {
        row
    }
    #[inline(always)]
    fn vectors_mut<D: Simd>(row: &mut [i64]) -> &mut [i64] {
        row
    }
    #[inline(always)]
    fn splat<D: Simd>(_simd: D, value: i64) -> i64 {
        value
    }
    #[inline(always)]
    fn plus_vector<D: Simd>(_simd: D, a: i64, b: i64) -> i64 {
        a.max(b)
    }
    #[inline(always)]
    fn times_vector<D: Simd>(_simd: D, a: i64, b: i64) -> i64 {
        a.wrapping_add(b)
    }
    #[inline(always)]
    fn zero(self) -> i64 {
        Self::VOID
    }
    #[inline(always)]
    fn one(self) -> i64 {
        0
    }
    #[inline(always)]
    fn weight_one(self) -> i64 {
        0
    }
    #[inline(always)]
    fn embed(self, weight: i32) -> i64 {
        if is_forbidden(weight) {
            Self::VOID
        } else {
            i64::from(weight)
        }
    }
    #[inline(always)]
    fn plus(self, a: i64, b: i64) -> i64 {
        a.max(b)
    }
    #[inline(always)]
    fn times(self, a: i64, b: i64) -> i64 {
        a.wrapping_add(b)
    }
    #[inline(always)]
    fn normalize(self, value: i64) -> i64 {
        if value < Self::VOID / 2 {
            Self::VOID
        } else {
            value
        }
    }
}

/// Sum-product: total of `exp(score / temperature)` over paths, scaled by powers of two so that it neither overflows
/// nor fades.
///
/// Only `+` and `*` are used, in a fixed order, so every machine gives the same bits; `exp` is that of `libm`.
#[derive(Clone, Copy)]
pub(crate) struct SumProduct {
    /// Thousandths of score that divide by e.
    pub(crate) temperature: f64,
}

impl Semiring for SumProduct {
    type Value = f64;
    type Vector<D: Simd> = D::f64s;
    #[inline(always)]
    fn vectors<D: Simd>(row: &[Self::Value]) -> &[D::f64s] {
        D::as_simd_f64s(row).0
    }
    #[inline(always)]
    fn vectors_mut<D: Simd>(row: &mut [Self::Value]) -> &mut [D::f64s] {
        D::as_mut_simd_f64s(row).0
    }
    #[inline(always)]
    fn splat<D: Simd>(simd: D, value: Self::Value) -> D::f64s {
        simd.splat_f64s(value)
    }
    #[inline(always)]
    fn plus_vector<D: Simd>(simd: D, a: D::f64s, b: D::f64s) -> D::f64s {
        simd.add_f64s(a, b)
    }
    #[inline(always)]
    fn times_vector<D: Simd>(simd: D, a: D::f64s, b: D::f64s) -> D::f64s {
        simd.mul_f64s(a, b)
    }
    #[inline(always)]
    fn normalize_row<D: Simd>(self, _simd: D, _row: &mut [f64]) {}
    #[inline(always)]
    fn zero(self) -> f64 {
        0.0
    }
    #[inline(always)]
    fn one(self) -> f64 {
        1.0
    }
    #[inline(always)]
    fn weight_one(self) -> f64 {
        1.0
    }
    #[inline(always)]
    fn embed(self, weight: i32) -> f64 {
        if is_forbidden(weight) {
            0.0
        } else {
            libm::exp(f64::from(weight) / self.temperature)
        }
    }
    /// Weights repeat, and an exponential is dear: each is worked out about once.
    fn embed_all(self, weights: &Arc<[i32]>) -> Arc<[f64]> {
        const BITS: u32 = 10;
        let mut known = [(FORBIDDEN, 0.0); 1 << BITS];
        let embed = |&weight: &i32| {
            let at = (weight as u32).wrapping_mul(0x9e37_79b9) >> (u32::BITS - BITS);
            let known = &mut known[at as usize];
            if known.0 != weight {
                *known = (weight, self.embed(weight));
            }
            known.1
        };
        weights.iter().map(embed).collect()
    }
    #[inline(always)]
    fn plus(self, a: f64, b: f64) -> f64 {
        a + b
    }
    #[inline(always)]
    fn times(self, a: f64, b: f64) -> f64 {
        a * b
    }
    #[inline(always)]
    fn rescale(self, table: &mut [f64]) -> i32 {
        let mut tops = [0.0f64; 16];
        let mut chunks = table.chunks_exact(16);
        for chunk in &mut chunks {
            for (top, &value) in tops.iter_mut().zip(chunk) {
                *top = if value > *top { value } else { *top };
            }
        }
        let top = chunks
            .remainder()
            .iter()
            .chain(&tops)
            .fold(0.0, |top, &value| if value > top { value } else { top });
        if top == 0.0 || !top.is_finite() {
            return 0;
        }
        let exponent = libm::ilogb(top).clamp(-1000, 1000);
        if exponent.abs() < 64 {
            return 0;
        }
        let scale = libm::ldexp(1.0, -exponent);
        for value in table.iter_mut() {
            *value *= scale;
        }
        exponent
    }
}

/// Counting: number of paths modulo `2^56 - gap`: weights are masks, values stay below `2^57`.
#[derive(Clone, Copy)]
pub(crate) struct Counting {
    /// Distance of the modulus below 2^56; below 2^16.
    pub(crate) gap: u64,
}

impl Counting {
    /// Bits kept by a normalized value.
    pub(crate) const BITS: u32 = 56;
}

impl Semiring for Counting {
    type Value = u64;
    type Vector<D: Simd> = D::u64s;
    #[inline(always)]
    fn vectors<D: Simd>(row: &[Self::Value]) -> &[D::u64s] {
        D::as_simd_u64s(row).0
    }
    #[inline(always)]
    fn vectors_mut<D: Simd>(row: &mut [Self::Value]) -> &mut [D::u64s] {
        D::as_mut_simd_u64s(row).0
    }
    #[inline(always)]
    fn splat<D: Simd>(simd: D, value: Self::Value) -> D::u64s {
        simd.splat_u64s(value)
    }
    #[inline(always)]
    fn plus_vector<D: Simd>(simd: D, a: D::u64s, b: D::u64s) -> D::u64s {
        simd.add_u64s(a, b)
    }
    #[inline(always)]
    fn times_vector<D: Simd>(simd: D, a: D::u64s, b: D::u64s) -> D::u64s {
        simd.and_u64s(a, b)
    }
    #[inline(always)]
    fn zero(self) -> u64 {
        0
    }
    #[inline(always)]
    fn one(self) -> u64 {
        1
    }
    #[inline(always)]
    fn weight_one(self) -> u64 {
        u64::MAX
    }
    #[inline(always)]
    fn embed(self, weight: i32) -> u64 {
        if is_forbidden(weight) { 0 } else { u64::MAX }
    }
    #[inline(always)]
    fn plus(self, a: u64, b: u64) -> u64 {
        a.wrapping_add(b)
    }
    #[inline(always)]
    fn times(self, a: u64, b: u64) -> u64 {
        a & b
    }
    #[inline(always)]
    fn normalize_row<D: Simd>(self, _simd: D, row: &mut [u64]) {
        for value in row {
            *value = (*value & ((1 << Self::BITS) - 1))
                .wrapping_add((*value >> Self::BITS).wrapping_mul(self.gap));
        }
    }
    #[inline(always)]
    fn normalize_weights<D: Simd>(self, _simd: D, _row: &mut [u64]) {}
    #[inline(always)]
    fn normalize(self, value: u64) -> u64 {
        // A mask passes through, so that weights can be normalized too.
        let folded = (value & ((1 << Self::BITS) - 1))
            .wrapping_add((value >> Self::BITS).wrapping_mul(self.gap));
        if value == u64::MAX { value } else { folded }
    }
}
