//! Every search against the enumeration of all paths of small lattices.

mod support;

use linewright_lattice::{Automaton, Factor, Lattice, NEVER, Shortage};
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
    fn each_path_apart_is_the_best_that_keeps_the_distance(recipe in recipes(), k in 0usize..5, d in 0u8..4) {
        let lattice = recipe.lattice();
        let mut left = ranked(&lattice);
        let Ok(apart) = lattice.k_apart(k, d) else {
            prop_assert!(left.is_empty());
            return Ok(());
        };
        for found in &apart.paths {
            prop_assert_eq!(left.first(), Some(&(found.path.clone(), found.score)));
            left.retain(|(path, _)| {
                if d == 0 {
                    return *path != found.path;
                }
                lattice.segment_starts().iter().zip(lattice.segments()).all(|(&start, segment)| {
                    let changes = (start..start + segment.len).filter(|&t| path[t] != found.path[t]).count();
                    changes >= usize::from(d).min(segment.len)
                })
            });
        }
        match apart.shortage {
            None => prop_assert_eq!(apart.paths.len(), k),
            Some(Shortage::NoneLeft) => prop_assert!(left.is_empty()),
            Some(Shortage::TooManyStates) => prop_assert!(apart.paths.len() > 3, "the limit came too early"),
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
