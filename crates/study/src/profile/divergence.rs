//! How far two distributions lie apart.

use std::collections::BTreeSet;
use std::f64::consts::LN_2;

use super::Tally;

/// The Jensen–Shannon divergence of two distributions in bits: the mean of what p and q each
/// diverge from their middle m = (p + q) / 2,
///
/// D = ½ Σ p·log2(p / m) + ½ Σ q·log2(q / m).
///
/// 0 where both are alike, 1 where they share no value; `None` where one of them has none.
/// (J. Lin, "Divergence measures based on the Shannon entropy", IEEE Transactions on Information
/// Theory 37, 1991; from memory.) The logarithm is that of `libm` and the order of the values is
/// fixed, so every machine gives the same number.
pub fn jensen_shannon<K: Ord + Copy>(p: &Tally<K>, q: &Tally<K>) -> Option<f64> {
    if p.total() == 0 || q.total() == 0 {
        return None;
    }
    let share = |tally: &Tally<K>, value| tally.count(value) as f64 / tally.total() as f64;
    let part = |x: f64, middle: f64| {
        if x > 0.0 {
            x * libm::log2(x / middle)
        } else {
            0.0
        }
    };
    let mut sum = 0.0;
    for value in values(p, q) {
        let (p, q) = (share(p, value), share(q, value));
        let middle = (p + q) / 2.0;
        sum += part(p, middle) + part(q, middle);
    }
    Some((sum / 2.0).clamp(0.0, 1.0))
}

/// The divergence in bits that two samples of these sizes from one and the same distribution
/// show on average, where their notes do not depend on each other:
///
/// (k − 1) / (8 ln 2) · (1/n + 1/m) for k values and samples of n and m,
///
/// the first term of the divergence as a series in the differences of the shares. At most 1;
/// `None` where one of them is empty.
pub fn by_chance<K: Ord + Copy>(p: &Tally<K>, q: &Tally<K>) -> Option<f64> {
    if p.total() == 0 || q.total() == 0 {
        return None;
    }
    let values = values(p, q).len() as f64;
    let sizes = 1.0 / p.total() as f64 + 1.0 / q.total() as f64;
    Some(((values - 1.0) / (8.0 * LN_2) * sizes).min(1.0))
}

/// The values that came in either.
fn values<K: Ord + Copy>(p: &Tally<K>, q: &Tally<K>) -> BTreeSet<K> {
    p.iter().chain(q.iter()).map(|(value, _)| value).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn tally(counts: &[u64]) -> Tally<usize> {
        let mut tally = Tally::default();
        for (value, times) in counts.iter().enumerate() {
            tally.add_times(value, *times);
        }
        tally
    }

    fn near(found: Option<f64>, wanted: f64) {
        let found = found.unwrap();
        assert!((found - wanted).abs() < 1e-12, "{found}, not {wanted}");
    }

    #[test]
    fn alike_is_nothing_and_apart_is_one_bit() {
        near(jensen_shannon(&tally(&[2, 1]), &tally(&[20, 10])), 0.0);
        near(jensen_shannon(&tally(&[5]), &tally(&[0, 3])), 1.0);
        assert_eq!(jensen_shannon(&tally(&[]), &tally(&[1])), None);
        assert_eq!(by_chance(&tally(&[1]), &tally(&[])), None);
    }

    #[test]
    fn a_sure_thing_against_a_fair_coin_is_as_worked_out_by_hand() {
        // p = (1, 0), q = (1/2, 1/2), m = (3/4, 1/4):
        // ½·log2(4/3) + ½·(½·log2(2/3) + ½·log2 2) = 3/2 − ¾·log2 3.
        let wanted = 1.5 - 0.75 * 3_f64.log2();
        near(jensen_shannon(&tally(&[4, 0]), &tally(&[1, 1])), wanted);
    }

    #[test]
    fn two_draws_from_one_urn_diverge_by_as_much_as_chance_says() {
        // A die with eight unlike sides, thrown 400 times twice, 300 times over.
        let sides = [1, 2, 3, 4, 6, 8, 16, 24];
        let mut state = 1_u64;
        let mut throw = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            let mut point = (state >> 33) % sides.iter().sum::<u64>();
            let mut side = 0;
            while point >= sides[side] {
                point -= sides[side];
                side += 1;
            }
            side
        };
        let (mut found, mut expected) = (0.0, 0.0);
        for _ in 0..300 {
            let (mut p, mut q) = (Tally::default(), Tally::default());
            for _ in 0..400 {
                p.add(throw());
                q.add(throw());
            }
            found += jensen_shannon(&p, &q).unwrap();
            expected += by_chance(&p, &q).unwrap();
        }
        assert!((found / expected - 1.0).abs() < 0.1, "{found} {expected}");
    }

    proptest! {
        #[test]
        fn it_is_the_same_both_ways_and_never_beyond_its_ends(
            p in proptest::collection::vec(0_u64..1000, 1..12),
            q in proptest::collection::vec(0_u64..1000, 1..12),
        ) {
            let (p, q) = (tally(&p), tally(&q));
            let there = jensen_shannon(&p, &q);
            let back = jensen_shannon(&q, &p);
            prop_assert_eq!(there.is_some(), p.total() > 0 && q.total() > 0);
            if let (Some(there), Some(back)) = (there, back) {
                prop_assert!((there - back).abs() < 1e-12);
                prop_assert!((0.0..=1.0).contains(&there));
            }
        }
    }
}
