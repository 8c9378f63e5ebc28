//! Draws against the exact distribution, and their stability.

mod support;

use std::collections::BTreeMap;

use linewright_lattice::{Lattice, SampleError};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use support::{Recipe, all_paths};

fn lattice() -> Lattice {
    let lengths = vec![4, 4];
    let recipe = Recipe {
        seed: 4,
        candidates: 3,
        open: 3,
        lengths,
        parts: 100,
        forbidden: 5,
        repetitions: 0,
        automaton_states: 0,
    };
    recipe.lattice()
}

#[test]
fn draws_fall_on_paths_in_proportion() {
    let (lattice, temperature, draws) = (lattice(), 900.0, 200_000);
    let paths = all_paths(&lattice);
    let top = paths.iter().map(|&(_, score)| score).max().unwrap();
    let share = |score: i64| ((score - top) as f64 / temperature).exp();
    let total: f64 = paths.iter().map(|&(_, score)| share(score)).sum();
    let sampler = lattice.sampler(temperature).unwrap();
    let mut rng = ChaCha8Rng::seed_from_u64(2024);
    let mut seen: BTreeMap<Vec<u8>, u32> = BTreeMap::new();
    let mut path = Vec::new();
    for _ in 0..draws {
        sampler.draw(&mut || rng.next_u64(), &mut path);
        *seen.entry(path.clone()).or_default() += 1;
    }
    // Paths expected fewer than ten times share one cell, as Pearson's test wants.
    let (mut statistic, mut cells, mut rare) = (0.0, 0, (0.0, 0.0));
    for (path, score) in &paths {
        let expected = share(*score) / total * f64::from(draws);
        let found = f64::from(seen.remove(path).unwrap_or(0));
        if expected < 10.0 {
            rare = (rare.0 + expected, rare.1 + found);
        } else {
            statistic += (found - expected).powi(2) / expected;
            cells += 1;
        }
    }
    assert!(
        seen.is_empty(),
        "paths that are not allowed were drawn: {seen:?}"
    );
    if rare.0 >= 10.0 {
        statistic += (rare.1 - rare.0).powi(2) / rare.0;
        cells += 1;
    }
    // Upper 0.1 % point of chi-square by Wilson and Hilferty's approximation, less the 0.2 within which it agrees with
    // the table of the NIST/SEMATECH e-Handbook of Statistical Methods (1.3.6.7.4), checked below.
    assert!(cells > 20, "{cells} cells say little");
    assert!(
        statistic < critical(cells - 1) - 0.2,
        "chi-square {statistic} with {} degrees of freedom",
        cells - 1
    );
}

fn critical(freedom: u32) -> f64 {
    let part = 2.0 / (9.0 * f64::from(freedom));
    f64::from(freedom) * (1.0 - part + 3.090_232 * part.sqrt()).powi(3)
}

#[test]
fn the_critical_values_are_those_of_the_published_table() {
    // NIST/SEMATECH e-Handbook 1.3.6.7.4, column 0.999 (from memory).
    for (freedom, published) in [(20, 45.315), (30, 59.703), (50, 86.661), (100, 149.449)] {
        assert!(
            (critical(freedom) - published).abs() < 0.2,
            "{freedom}: {}",
            critical(freedom)
        );
    }
}

/// Sampling adds and multiplies in a fixed order, so every machine draws the same: these paths
/// were drawn once, and are shares of a sum that the test above checks.
#[test]
fn the_same_numbers_give_the_same_path_on_every_machine() {
    let sampler = lattice().sampler(700.0).unwrap();
    let mut rng = ChaCha8Rng::seed_from_u64(5);
    // What is in the way of a path goes.
    let mut path = vec![9; 3];
    let mut drawn = || {
        sampler.draw(&mut || rng.next_u64(), &mut path);
        path.iter()
            .map(|k| char::from(b'0' + k))
            .collect::<String>()
    };
    let paths: Vec<String> = (0..8).map(|_| drawn()).collect();
    assert_eq!(
        paths,
        [
            "10222122", "21222121", "21222021", "20122121", "10222122", "21222021", "10121121",
            "11221021"
        ]
    );
}

#[test]
fn extreme_random_numbers_give_allowed_paths() {
    let lattice = lattice();
    let sampler = lattice.sampler(700.0).unwrap();
    for number in [0, 1, u64::MAX - 1, u64::MAX] {
        let mut path = Vec::new();
        sampler.draw(&mut || number, &mut path);
        assert!(lattice.score(&path).is_some(), "{number} gave {path:?}");
    }
}

#[test]
fn a_low_temperature_draws_the_best_path_and_a_lower_one_says_so() {
    let lattice = lattice();
    let best = lattice.best().unwrap();
    let enough = match lattice.sampler(0.001) {
        Err(SampleError::TooCold { enough, .. }) => enough,
        other => panic!("{other:?}"),
    };
    assert!(lattice.sampler(enough).is_ok());
    assert!(lattice.sampler(enough).unwrap().probability(&best.path) > 0.3);
}

#[test]
fn temperatures_that_are_no_temperatures_are_refused() {
    for temperature in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(
            matches!(
                lattice().sampler(temperature),
                Err(SampleError::Temperature(_))
            ),
            "{temperature}"
        );
    }
}
