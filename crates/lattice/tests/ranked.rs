//! Guided ranking against the enumeration of all paths of small lattices.

mod support;

use linewright_lattice::{ExpansionLimit, Scored};
use proptest::prelude::*;
use support::{all_paths, ranked, recipes};

/// A predicate that is closed under prefixes and depends on the candidates in no simple way: each refuses about one in
/// so many prefixes.
fn holds(seed: u64, one_in: u64, prefix: &[u8]) -> bool {
    (1..=prefix.len()).all(|length| {
        let hash = prefix[..length].iter().fold(seed, |hash, &k| {
            (hash ^ u64::from(k))
                .wrapping_mul(0x9e37_79b9_7f4a_7c15)
                .rotate_left(29)
        });
        !hash.is_multiple_of(one_in)
    })
}

fn pairs(found: Vec<Scored>) -> Vec<(Vec<u8>, i64)> {
    found
        .into_iter()
        .map(|found| (found.path, found.score))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn admitted_paths_come_in_rank_order_and_all_of_them(recipe in recipes(), seed: u64, one_in in 2u64..9) {
        let lattice = recipe.lattice();
        let mut wanted = ranked(&lattice);
        wanted.retain(|(path, _)| holds(seed, one_in, path));
        let found: Result<Vec<_>, _> =
            lattice.ranked_where(|prefix| holds(seed, one_in, prefix), usize::MAX).collect();
        prop_assert_eq!(pairs(found.unwrap()), wanted);
    }

    #[test]
    fn with_everything_admitted_the_first_paths_are_the_best(recipe in recipes(), k in 1usize..20) {
        let lattice = recipe.lattice();
        let mut ranked = lattice.ranked_where(|_| true, usize::MAX);
        let found: Vec<_> = ranked.by_ref().take(k).map(Result::unwrap).collect();
        match lattice.k_best(k) {
            Ok(best) => prop_assert_eq!(&found, &best),
            Err(_) => prop_assert!(found.is_empty()),
        }
        if !found.is_empty() {
            prop_assert!(ranked.expansions() >= lattice.len());
        }
    }

    #[test]
    fn the_predicate_sees_each_prefix_once_and_only_those_that_rank_before_the_answer(recipe in recipes(), seed: u64) {
        let lattice = recipe.lattice();
        let paths = all_paths(&lattice);
        let mut seen: Vec<Vec<u8>> = Vec::new();
        let first = lattice
            .ranked_where(
                |prefix| {
                    seen.push(prefix.to_vec());
                    holds(seed, 4, prefix)
                },
                usize::MAX,
            )
            .next()
            .map(Result::unwrap);
        let best_of = |prefix: &Vec<u8>| {
            paths.iter().filter(|(path, _)| path.starts_with(prefix)).map(|&(_, score)| score).max()
        };
        for prefix in &seen {
            let best = best_of(prefix);
            prop_assert!(best.is_some(), "{prefix:?} is a blind alley");
            prop_assert!(first.as_ref().is_none_or(|first| best >= Some(first.score)));
            let shorter = prefix.len() - 1;
            prop_assert!(shorter == 0 || holds(seed, 4, &prefix[..shorter]));
        }
        let count = seen.len();
        seen.sort();
        seen.dedup();
        prop_assert_eq!(seen.len(), count);
    }

    #[test]
    fn a_search_that_is_cut_short_says_so_once_and_what_came_before_is_right(recipe in recipes(), most in 0usize..60) {
        let lattice = recipe.lattice();
        let wanted = ranked(&lattice);
        let mut cut = lattice.ranked_where(|_| true, most);
        let mut found = Vec::new();
        let mut spent = false;
        for item in cut.by_ref() {
            prop_assert!(!spent, "nothing comes after the error");
            match item {
                Ok(path) => found.push(path),
                Err(error) => {
                    prop_assert_eq!(error, ExpansionLimit { expansions: most });
                    spent = true;
                }
            }
        }
        prop_assert!(cut.next().is_none());
        prop_assert_eq!(cut.expansions() == most || !spent, true);
        let found = pairs(found);
        prop_assert_eq!(&found[..], &wanted[..found.len()]);
        prop_assert_eq!(spent, found.len() < wanted.len());
    }
}
