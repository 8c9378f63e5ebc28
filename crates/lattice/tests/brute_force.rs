//! Every search against the enumeration of all paths of small lattices.

mod support;

use linewright_lattice::Lattice;
use proptest::prelude::*;
use support::{ranked, recipes};

/// Restricts a lattice by nothing: an automaton with one state that never stops.
fn with_idle_automaton(lattice: &Lattice) -> Lattice {
    let idle = linewright_lattice::Automaton::new(
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
    #![proptest_config(ProptestConfig::with_cases(1500))]

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
        prop_assert_eq!(lattice.best(), with_idle_automaton(&lattice).best());
    }
}
