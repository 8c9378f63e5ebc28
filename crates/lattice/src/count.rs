//! How many paths are allowed: the counting semiring.
//!
//! The number can have hundreds of digits, so it is counted modulo several primes just below 2^56, each in one pass
//! of 64-bit lanes, and put together by the Chinese remainder theorem. The product of the primes exceeds the number
//! of all paths, allowed or not, so the result is exact.

use std::sync::Arc;

use num_bigint::BigUint;

use crate::active::ActiveFactors;
use crate::auxiliary::Layout;
use crate::class_table::ClassTable;
use crate::lattice::{Lattice, Segment};
use crate::pass::Pass;
use crate::semiring::Counting;
use crate::weight::NEVER;
use crate::width::with_lanes;

impl Lattice {
    /// The number of allowed paths, exactly. With pins, that of those through them: see [`Lattice::pinned`].
    ///
    /// One backward pass for every 56 bits of the number of all paths: time grows with the square of the number of
    /// layers.
    pub fn count(&self) -> BigUint {
        let limits = self.limits_only();
        let layout = Arc::new(Layout::new(&limits, &ActiveFactors::all(&limits)));
        let mut bound = BigUint::from(1u32);
        for t in 0..limits.len() {
            let open = (0..limits.candidates)
                .filter(|&k| limits.is_allowed(t, k) && limits.layers[t].unary[k] != NEVER);
            bound *= open.count();
        }
        let mut count = BigUint::ZERO;
        let mut modulus = BigUint::from(1u32);
        let mut gap = 0;
        while modulus <= bound {
            gap = (gap + 1..)
                .find(|&gap| is_prime((1 << Counting::BITS) - gap))
                .expect("primes never run out");
            let prime = (1 << Counting::BITS) - gap;
            let rest = limits.count_modulo(&layout, gap) % prime;
            let behind = (rest + prime - residue(&count, prime)) % prime;
            let turns = multiply(behind, inverse(residue(&modulus, prime), prime), prime);
            count += &modulus * turns;
            modulus *= prime;
        }
        count
    }

    fn count_modulo(&self, layout: &Arc<Layout>, gap: u64) -> u64 {
        with_lanes!(self.candidates, 40, W => count_paths::<W>(&Pass::new(Counting { gap }, self, layout)))
    }

    /// The same lattice without the segment factors that forbid nothing.
    fn limits_only(&self) -> Self {
        let forbids = |table: &Arc<ClassTable>| table.forbids();
        let segments = self.segments.iter().map(|segment| Segment {
            len: segment.len,
            prefix: segment.prefix.clone().filter(forbids),
            suffix: segment.suffix.clone().filter(forbids),
            repetition: segment
                .repetition
                .filter(|repetition| repetition.weight() == NEVER),
        });
        Self {
            segments: Arc::new(segments.collect()),
            ..self.clone()
        }
    }
}

fn count_paths<const W: usize>(pass: &Pass<Counting, W>) -> u64 {
    if pass.lattice.len() == 1 {
        return pass.single_layer_paths().len() as u64;
    }
    let values = pass.first_table();
    let prime = (1 << Counting::BITS) - pass.ring.gap;
    let mut sum = 0;
    pass.initial_states(|at, weight| {
        sum =
            (sum + (weight & values.at(at.state, at.pair[0], at.pair[1], at.aux)) % prime) % prime;
    });
    sum
}

fn residue(number: &BigUint, prime: u64) -> u64 {
    (number % prime).iter_u64_digits().next().unwrap_or(0)
}

fn multiply(a: u64, b: u64, modulus: u64) -> u64 {
    (u128::from(a) * u128::from(b) % u128::from(modulus)) as u64
}

fn power(mut base: u64, mut exponent: u64, modulus: u64) -> u64 {
    let mut result = 1;
    while exponent > 0 {
        if exponent & 1 == 1 {
            result = multiply(result, base, modulus);
        }
        base = multiply(base, base, modulus);
        exponent >>= 1;
    }
    result
}

/// Inverse modulo a prime, by Fermat's little theorem.
fn inverse(number: u64, prime: u64) -> u64 {
    power(number, prime - 2, prime)
}

/// Miller–Rabin with the first twelve primes as bases, which decides every number below 3·10^23 (Sorenson and
/// Webster, "Strong pseudoprimes to twelve prime bases", Mathematics of Computation 86, 2017).
fn is_prime(number: u64) -> bool {
    const BASES: [u64; 12] = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37];
    if number < 2 {
        return false;
    }
    if let Some(&base) = BASES.iter().find(|&&base| number.is_multiple_of(base)) {
        return number == base;
    }
    let twos = (number - 1).trailing_zeros();
    BASES.iter().all(|&base| {
        let mut x = power(base, (number - 1) >> twos, number);
        x == 1
            || (0..twos).any(|_| {
                let was = x;
                x = multiply(x, x, number);
                was == number - 1
            })
    })
}

#[cfg(test)]
mod tests {
    use super::is_prime;

    #[test]
    fn primality_agrees_with_trial_division() {
        for number in 0..5_000u64 {
            let by_trial = number >= 2
                && (2..number)
                    .take_while(|d| d * d <= number)
                    .all(|d| number % d != 0);
            assert_eq!(is_prime(number), by_trial, "{number}");
        }
    }

    #[test]
    fn large_composites_are_told_from_primes() {
        // 2^31 - 1 and 2^61 - 1 are Mersenne primes; 2^59 - 1 = 179951 * 3203431780337 (from memory, checked here).
        assert!(is_prime((1 << 31) - 1) && is_prime((1 << 61) - 1));
        assert_eq!(179_951u64 * 3_203_431_780_337, (1 << 59) - 1);
        assert!(!is_prime((1 << 59) - 1));
    }
}
