//! Every search against the enumeration of all paths of small lattices.

mod support;

use linewright_lattice::{Apart, Automaton, Factor, Lattice, NEVER};
use num_bigint::BigUint;
use proptest::prelude::*;
use support::{all_paths, ranked, recipes};

/// Restricts a lattice by nothing: an automaton with one state that never stops.
fn with_idle_automaton(lattice: &Lattice) -> Lattice {
    let idle = Automaton::new(
        lattice.len(),
        lattice.candidates(),
        1,
        0,
        &[0],
        |_, _, _| Some(0),
    );
    lattice.with_automaton(idle.unwrap()).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn best_is_the_first_of_all_paths_ranked(recipe in recipes()) {
        let lattice = recipe.lattice();
        let ranked = ranked(&lattice);
        match (lattice.best(), ranked.first()) {
            (Ok(best), Some((path, score))) => {
                prop_assert_eq!(best.score, *score);
                prop_assert_eq!(&best.path, path);
            }
            (Err(dead_end), None) => {
                prop_assert!(dead_end.layer < lattice.len());
                prop_assert_eq!(dead_end.obstacles.len(), lattice.candidates());
            }
            (best, first) => prop_assert!(false, "search found {best:?}, enumeration {first:?}"),
        }
    }

    #[test]
    fn an_idle_automaton_changes_nothing(recipe in recipes()) {
        let lattice = recipe.lattice();
        let idle = with_idle_automaton(&lattice);
        prop_assert_eq!(lattice.best(), idle.best());
        prop_assert_eq!(lattice.count(), idle.count());
    }

    #[test]
    fn k_best_lists_the_first_paths_in_rank(recipe in recipes(), k in 0usize..60) {
        let lattice = recipe.lattice();
        let ranked = ranked(&lattice);
        match lattice.k_best(k) {
            Ok(found) => {
                let found: Vec<_> = found.into_iter().map(|found| (found.path, found.score)).collect();
                prop_assert_eq!(&found[..], &ranked[..k.min(ranked.len())]);
            }
            Err(_) => prop_assert!(ranked.is_empty()),
        }
    }

    #[test]
    fn k_best_with_room_for_all_lists_all(recipe in recipes()) {
        let lattice = recipe.lattice();
        let ranked = ranked(&lattice);
        if let Ok(found) = lattice.k_best(ranked.len() + 1) {
            let found: Vec<_> = found.into_iter().map(|found| (found.path, found.score)).collect();
            prop_assert_eq!(found, ranked);
        }
    }

    #[test]
    fn each_path_apart_is_the_best_that_keeps_the_distance(
        recipe in recipes(),
        k in 1usize..6,
        distance in 0usize..6,
        from in 0usize..3,
        strange in any::<bool>(),
        priced in any::<bool>(),
    ) {
        let lattice = recipe.lattice();
        let scope = from.min(lattice.len())..lattice.len();
        let mut apart = lattice.apart(scope.clone(), distance);
        if priced {
            apart = apart.with_multipliers();
        }
        let mut left = ranked(&lattice);
        let keep = |left: &mut Vec<(Vec<u8>, i64)>, apart: &mut Apart, other: Vec<Option<u8>>| {
            left.retain(|(path, _)| {
                let inside = path[scope.clone()].iter().zip(&other);
                inside.filter(|(k, other)| Some(**k) != **other).count() >= distance.min(scope.len())
            });
            apart.keep_from(other);
        };
        if strange {
            // A path that is none of the lattice's.
            keep(&mut left, &mut apart, (0..scope.len()).map(|t| (t % 2 == 0).then_some(0)).collect());
        }
        for _ in 0..k {
            let found = apart.best_where(|_| true, 1 << 20);
            prop_assert!(found.proven);
            let best = found.best.map(|best| (best.path, best.score));
            prop_assert_eq!(best.as_ref(), left.first());
            let Some((path, _)) = best else { break };
            prop_assert!(apart.is_apart(&path));
            keep(&mut left, &mut apart, path[scope.clone()].iter().map(|&k| Some(k)).collect());
        }
    }

    #[test]
    fn paths_apart_are_the_same_under_a_predicate_and_few_expansions(
        recipe in recipes(),
        distance in 1usize..6,
        seed in any::<u64>(),
    ) {
        let lattice = recipe.lattice();
        let scope = 0..lattice.len();
        let admits = |path: &[u8]| (path.iter().fold(seed, |h, &k| (h ^ u64::from(k)).wrapping_mul(0x100_0000_01b3)) >> 40) % 7 != 0;
        let mut left: Vec<_> = ranked(&lattice).into_iter().filter(|(path, _)| (1..=path.len()).all(|n| admits(&path[..n]))).collect();
        let mut apart = lattice.apart(scope.clone(), distance);
        if seed % 2 == 0 {
            apart = apart.with_multipliers();
        }
        for _ in 0..4 {
            let few = apart.clone().best_where(admits, 40);
            prop_assert!(few.steps <= 40);
            let found = apart.best_where(admits, 1 << 20);
            prop_assert!(found.proven);
            // What is found in a hurry is a path, and never better.
            if let Some(hurried) = &few.best {
                prop_assert!(left.contains(&(hurried.path.clone(), hurried.score)));
                prop_assert!(!few.proven || Some(hurried) == found.best.as_ref());
            }
            let best = found.best.map(|best| (best.path, best.score));
            prop_assert_eq!(best.as_ref(), left.first());
            let Some((path, _)) = best else { break };
            left.retain(|(other, _)| other.iter().zip(&path).filter(|(a, b)| a != b).count() >= distance.min(lattice.len()));
            apart.keep_from(path.iter().map(|&k| Some(k)).collect());
        }
    }

    #[test]
    fn count_is_the_number_of_paths(recipe in recipes()) {
        let lattice = recipe.lattice();
        prop_assert_eq!(lattice.count(), BigUint::from(all_paths(&lattice).len()));
    }

    #[test]
    fn drawing_gives_each_path_its_exact_probability(recipe in recipes(), temperature in 80.0f64..2000.0) {
        let lattice = recipe.lattice();
        let paths = all_paths(&lattice);
        let Ok(sampler) = lattice.sampler(temperature) else {
            prop_assert!(paths.is_empty());
            return Ok(());
        };
        let top = paths.iter().map(|&(_, score)| score).max().unwrap();
        let share = |score: i64| ((score - top) as f64 / temperature).exp();
        let total: f64 = paths.iter().map(|&(_, score)| share(score)).sum();
        for (path, score) in &paths {
            let wanted = share(*score) / total;
            let got = sampler.probability(path);
            prop_assert!((got - wanted).abs() <= 1e-9 * wanted + 1e-290, "{path:?}: {got} instead of {wanted}");
        }
        let log_partition = total.ln() + top as f64 / temperature;
        prop_assert!((sampler.log_partition() - log_partition).abs() < 1e-6 * (1.0 + log_partition.abs()));
    }

    #[test]
    fn marginals_add_up_the_probabilities_of_paths(recipe in recipes(), temperature in 80.0f64..2000.0) {
        let lattice = recipe.lattice();
        let paths = all_paths(&lattice);
        let Ok(sampler) = lattice.sampler(temperature) else {
            prop_assert!(paths.is_empty());
            return Ok(());
        };
        let top = paths.iter().map(|&(_, score)| score).max().unwrap();
        let mut wanted = vec![vec![0.0; lattice.candidates()]; lattice.len()];
        let mut total = 0.0;
        for (path, score) in &paths {
            let share = ((score - top) as f64 / temperature).exp();
            total += share;
            for (row, &k) in wanted.iter_mut().zip(path) {
                row[usize::from(k)] += share;
            }
        }
        for (row, wanted) in sampler.marginals().iter().zip(&wanted) {
            prop_assert!((row.iter().sum::<f64>() - 1.0).abs() < 1e-12);
            for (got, wanted) in row.iter().zip(wanted) {
                prop_assert!((got - wanted / total).abs() < 1e-9, "{got} instead of {}", wanted / total);
            }
        }
    }

    #[test]
    fn terms_add_up_to_the_score(recipe in recipes(), at in any::<prop::sample::Index>()) {
        let lattice = recipe.lattice();
        let paths = all_paths(&lattice);
        prop_assume!(!paths.is_empty());
        let (path, score) = &paths[at.index(paths.len())];
        let terms = lattice.terms(path);
        prop_assert!(terms.iter().all(|term| term.weight != NEVER && term.layer < lattice.len()));
        prop_assert_eq!(terms.iter().map(|term| i64::from(term.weight)).sum::<i64>(), *score);
        prop_assert_eq!(terms.iter().filter(|term| term.factor == Factor::Unary).count(), lattice.len());
    }

    #[test]
    fn pins_keep_exactly_the_paths_through_them(recipe in recipes(), at in any::<prop::sample::Index>(), layers in any::<u16>()) {
        let lattice = recipe.lattice();
        let paths = ranked(&lattice);
        prop_assume!(!paths.is_empty());
        let (path, _) = &paths[at.index(paths.len())];
        let pins: Vec<_> =
            (0..lattice.len()).filter(|t| layers >> t & 1 == 1).map(|t| (t, usize::from(path[t]))).collect();
        let pinned = lattice.pinned(&pins).unwrap();
        let through: Vec<_> =
            paths.iter().filter(|(path, _)| pins.iter().all(|&(t, k)| usize::from(path[t]) == k)).cloned().collect();
        prop_assert_eq!(&ranked(&pinned), &through);
        let best = pinned.best().unwrap();
        prop_assert_eq!((&best.path, best.score), (&through[0].0, through[0].1));
        prop_assert_eq!(pinned.count(), BigUint::from(through.len()));
    }

    #[test]
    fn a_dead_end_is_the_first_layer_that_no_prefix_reaches(recipe in recipes()) {
        let lattice = recipe.lattice();
        let Err(dead_end) = lattice.best() else { return Ok(()) };
        prop_assert_eq!(Some(dead_end.layer), support::first_unreachable(&lattice));
        for (k, obstacle) in dead_end.obstacles.iter().enumerate() {
            let forbidden = lattice.layers()[dead_end.layer].unary[k] == NEVER;
            prop_assert_eq!(forbidden, *obstacle == linewright_lattice::Obstacle::Unary);
        }
    }
}
