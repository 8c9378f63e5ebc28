//! Weights: integers in thousandths, or "forbidden".

/// Marks a forbidden choice wherever a weight is written.
pub const NEVER: i32 = i32::MIN;

/// Largest size of one finite weight, in either direction.
///
/// Sixteen million thousandths leave room for any sensible scale while totals stay far from overflow.
pub const MAX_WEIGHT: i32 = 1 << 24;

/// [`NEVER`] as tables keep it: so far below every finite total that sums show it, and far from overflow.
pub(crate) const FORBIDDEN: i32 = -(1 << 28);

/// Number of classes: candidate `k` of a layer with shift `s` has class `(k + s) mod 12`.
pub const CLASSES: usize = 12;

/// Most candidates that a layer can have.
pub const MAX_CANDIDATES: usize = 64;

/// Whether `weight` is [`NEVER`] or within ±[`MAX_WEIGHT`].
pub(crate) fn is_legal(weight: i32) -> bool {
    weight == NEVER || (-MAX_WEIGHT..=MAX_WEIGHT).contains(&weight)
}

/// A weight as tables keep it.
pub(crate) fn kept(weight: i32) -> i32 {
    weight.max(FORBIDDEN)
}

/// A weight that tables keep, as it was given.
pub(crate) fn given(weight: i32) -> i32 {
    if weight == FORBIDDEN { NEVER } else { weight }
}

/// Largest finite size in `weights`, 0 when there is none.
pub(crate) fn largest(weights: &[i32]) -> i64 {
    weights
        .iter()
        .filter(|&&w| w != NEVER)
        .map(|&w| i64::from(w).abs())
        .max()
        .unwrap_or(0)
}
