//! The nearest path against the enumeration of all paths of small lattices.

mod support;

use std::sync::Arc;

use linewright_lattice::{
    BigramTable, ClassTable, Lattice, LatticeBuilder, Layer, Nearest, NearestError, NearestLimits,
    PenaltyOracle, Segment, TrigramTable,
};
use proptest::prelude::*;
use support::{Recipe, ranked, recipes};

/// Any path at all near which to look: candidates that are often allowed, sometimes not.
fn reference(lattice: &Lattice, picks: &[prop::sample::Index]) -> Vec<u8> {
    let paths = ranked(lattice);
    let layers = lattice.layers().iter().enumerate();
    let mut reference: Vec<u8> = layers
        .map(|(t, layer)| {
            let open: Vec<u8> = (0..lattice.candidates() as u8)
                .filter(|&k| layer.unary[usize::from(k)] != linewright_lattice::NEVER)
                .chain([0])
                .collect();
            *picks[t % picks.len()].get(&open)
        })
        .collect();
    // Half of the time an allowed path, or part of one.
    if let Some((path, _)) = paths.get(picks[0].index(2 * paths.len() + 1)) {
        let until = picks[1].index(2 * path.len()).min(path.len());
        reference[..until].copy_from_slice(&path[..until]);
    }
    reference
}

/// The paths that score enough, nearest first.
fn by_distance(lattice: &Lattice, reference: &[u8], target: i64) -> Vec<(usize, Vec<u8>, i64)> {
    let mut enough: Vec<_> = ranked(lattice)
        .into_iter()
        .filter(|&(_, score)| score >= target)
        .map(|(path, score)| {
            let changes = path.iter().zip(reference).filter(|(a, b)| a != b).count();
            (changes, path, score)
        })
        .collect();
    enough.sort_by_key(|&(changes, ..)| changes);
    enough
}

/// A penalty that depends on the last candidates of a prefix: so many, or all where there are none.
#[derive(Clone)]
struct Invented {
    span: usize,
    /// The prefixes that were asked about.
    asked: Vec<Vec<u8>>,
}

impl Invented {
    fn more(&self, prefix: &[u8]) -> i64 {
        let last = &prefix[self.scope_start(prefix.len() - 1).min(prefix.len())..];
        let sum = last
            .iter()
            .fold(7, |sum: i64, &k| (sum * 31 + i64::from(k)) % 1009);
        if (sum + prefix.len() as i64) % 4 == 0 {
            sum % 150
        } else {
            0
        }
    }
}

impl PenaltyOracle for Invented {
    fn penalty(&mut self, prefix: &[u8]) -> i64 {
        let before = &prefix[..prefix.len() - 1];
        assert!(self.asked.iter().any(|known| *known == before));
        self.asked.push(prefix.to_vec());
        self.more(prefix)
    }

    fn scope_start(&self, length: usize) -> usize {
        match self.span {
            0 => 0,
            span => (length + 1).saturating_sub(span),
        }
    }
}

fn picks() -> impl Strategy<Value = Vec<prop::sample::Index>> {
    prop::collection::vec(any::<prop::sample::Index>(), 12)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn the_nearest_path_is_the_first_by_changes_score_and_rank(
        recipe in recipes(),
        picks in picks(),
        share in 0.0f64..1.02,
        most in 0usize..12,
        expansions in prop_oneof![3 => Just(usize::MAX), 1 => 0usize..30],
    ) {
        let lattice = recipe.lattice();
        let reference = reference(&lattice, &picks);
        let paths = ranked(&lattice);
        let (low, high) = (paths.last().map_or(0, |last| last.1), paths.first().map_or(0, |first| first.1));
        let target = low + ((high - low) as f64 * share) as i64 + i64::from(share > 1.0);
        let wanted = by_distance(&lattice, &reference, target);
        let limits = NearestLimits { most_changes: most, max_expansions: expansions };
        match lattice.nearest(&reference, target, limits) {
            Ok(Nearest { path, score, changed }) => {
                prop_assert_eq!((changed.len(), &path, score), (wanted[0].0, &wanted[0].1, wanted[0].2));
                prop_assert!(changed.len() <= most);
                for t in 0..path.len() {
                    prop_assert_eq!(changed.contains(&t), path[t] != reference[t]);
                }
            }
            Err(NearestError::DeadEnd(_)) => prop_assert!(paths.is_empty()),
            Err(NearestError::TooHigh { best, .. }) => {
                prop_assert!(best == high && wanted.is_empty() && !paths.is_empty());
            }
            Err(NearestError::TooFar { at_least, .. }) => {
                prop_assert!(wanted[0].0 >= at_least && at_least > most);
            }
            Err(NearestError::ExpansionLimit { at_least, found }) => {
                prop_assert!(expansions < 30 && wanted[0].0 >= at_least);
                if let Some(found) = found {
                    let known = (found.changed.len(), found.path, found.score);
                    prop_assert!(known.0 <= most && wanted.contains(&known));
                }
            }
            Err(error @ NearestError::Reference { .. }) => prop_assert!(false, "{error}"),
        }
    }

    #[test]
    fn searches_near_one_path_answer_as_if_each_were_the_first(
        recipe in recipes(),
        picks in picks(),
        multipliers in prop::collection::vec(0i64..700, 0..3),
    ) {
        let lattice = recipe.lattice();
        let reference = reference(&lattice, &picks);
        let mut near = lattice.relaxation(&reference).unwrap();
        let paths = ranked(&lattice);
        let target = |pick: &prop::sample::Index| paths[pick.index(paths.len())].1;
        for (pick, multiplier) in picks[2..].iter().filter(|_| !paths.is_empty()).zip(&multipliers) {
            let target = target(pick);
            let needed = by_distance(&lattice, &reference, target)[0].0;
            let at_least = near.lower_bound_at(target, *multiplier).unwrap();
            prop_assert!(at_least <= needed);
        }
        for pick in picks[5..9].iter().filter(|_| !paths.is_empty()) {
            let target = target(pick);
            let found = near.nearest(target, NearestLimits::default()).unwrap();
            let wanted = &by_distance(&lattice, &reference, target)[0];
            prop_assert_eq!((found.changed.len(), found.path, found.score), wanted.clone());
        }
        // A penalty on each path, told of its prefixes bit by bit.
        let mut oracle = Invented { span: multipliers.len() * 2, asked: vec![Vec::new()] };
        let short = |path: &[u8]| (1..=path.len()).map(|until| oracle.more(&path[..until])).sum::<i64>();
        if let Some(&(_, best)) = paths.first() {
            let target = best - 400;
            let wanted = by_distance(&lattice, &reference, target);
            let wanted = wanted.iter().find(|(_, path, score)| score - short(path) >= target);
            for apart in [3, 1, 0] {
                let bounds = near.bounds(target, usize::MAX, apart);
                let needed = by_distance(&lattice, &reference, target)[0].0;
                let bounds = bounds.unwrap();
                prop_assert!(bounds.at_least <= needed);
                let found = bounds.found.unwrap();
                prop_assert!(found.score >= target && found.changed.len() >= needed);
                prop_assert_eq!(lattice.score(&found.path), Some(found.score));
                let found = near.nearest_penalized(target, NearestLimits::default(), &mut oracle.clone());
                match found {
                    Ok(found) => {
                        prop_assert!(found.score - short(&found.path) >= target);
                        prop_assert_eq!(Some(found.changed.len()), wanted.map(|wanted| wanted.0));
                    }
                    Err(NearestError::TooFar { .. }) => prop_assert_eq!(wanted, None),
                    Err(error) => prop_assert!(false, "{error}"),
                }
            }
            let limits = NearestLimits { max_expansions: 0, ..NearestLimits::default() };
            let none = near.nearest_penalized(target, limits, &mut oracle);
            let ended = matches!(none, Err(NearestError::ExpansionLimit { found: None, .. }));
            prop_assert!(ended);
            let most = multipliers.len();
            match near.bounds(target, most, 1) {
                Ok(bounds) => {
                    let found = bounds.found.map_or(0, |found| found.changed.len());
                    prop_assert!(bounds.at_least <= most && found <= most);
                }
                Err(NearestError::TooFar { at_least, .. }) => {
                    let needed = by_distance(&lattice, &reference, target)[0].0;
                    prop_assert!(most < at_least && at_least <= needed);
                }
                Err(error) => prop_assert!(false, "{error}"),
            }
        }
        let multiplier = multipliers.first().copied().unwrap_or(1);
        prop_assert_eq!(near.lower_bound_at(0, multiplier).is_err(), paths.is_empty());
    }

    #[test]
    fn pins_keep_changes_to_the_free_layers(recipe in recipes(), picks in picks(), free: u16) {
        let lattice = recipe.lattice();
        let reference = reference(&lattice, &picks);
        let pins: Vec<_> = (0..lattice.len())
            .filter(|t| free >> t & 1 == 0)
            .map(|t| (t, usize::from(reference[t])))
            .collect();
        let pinned = lattice.pinned(&pins).unwrap();
        let paths = ranked(&pinned);
        if paths.is_empty() {
            let none = pinned.nearest(&reference, 0, NearestLimits::default());
            prop_assert!(matches!(none, Err(NearestError::DeadEnd(_))));
            return Ok(());
        }
        let target = paths[picks[2].index(paths.len())].1;
        let found = pinned.nearest(&reference, target, NearestLimits::default()).unwrap();
        let wanted = &by_distance(&pinned, &reference, target)[0];
        prop_assert_eq!((&found.path, found.score), (&wanted.1, wanted.2));
        prop_assert!(found.changed.iter().all(|t| free >> t & 1 == 1));
    }
}

fn small() -> Lattice {
    let recipe = Recipe {
        seed: 3,
        candidates: 4,
        open: 4,
        lengths: vec![4, 2],
        parts: 100,
        forbidden: 5,
        repetitions: 0,
        automaton_states: 0,
    };
    recipe.lattice()
}

#[test]
fn a_reference_that_is_no_path_is_refused() {
    let lattice = small();
    for reference in [&[0; 5][..], &[0; 7], &[0, 0, 0, 4, 0, 0], &[]] {
        let refused = lattice
            .nearest(reference, 0, NearestLimits::default())
            .unwrap_err();
        assert!(
            matches!(refused, NearestError::Reference { .. }),
            "{refused}"
        );
        assert!(
            refused
                .to_string()
                .contains("write one of 0 to 3 for each of 6 layers"),
            "{refused}"
        );
    }
}

#[test]
fn any_path_will_do_when_the_target_is_as_low_as_can_be() {
    let lattice = small();
    let best = lattice.best().unwrap();
    let none = NearestLimits {
        most_changes: 0,
        ..NearestLimits::default()
    };
    let found = lattice.nearest(&best.path, i64::MIN, none).unwrap();
    assert_eq!((found.path, found.changed), (best.path, vec![]));
    let too_high = lattice
        .nearest(&[0; 6], i64::MAX, NearestLimits::default())
        .unwrap_err();
    assert_eq!(
        too_high,
        NearestError::TooHigh {
            target: i64::MAX,
            best: best.score
        }
    );
}

/// Four layers in which only the number of changes from candidate 0 counts: two are worth 100, four 1000.
fn steep() -> Lattice {
    let bigram = Arc::new(BigramTable::from_fn(2, |_, _| 0).unwrap());
    let trigram = Arc::new(TrigramTable::from_fn(2, |_, _, _, _| 0).unwrap());
    let worth = [0, 0, 100, 100, 1000];
    let prefix = ClassTable::from_fn(4, |run| {
        worth[run.iter().filter(|&&class| class == 1).count()]
    });
    let mut builder = LatticeBuilder::new(2);
    for _ in 0..4 {
        builder.layer(Layer {
            unary: vec![0, 0],
            shift: 0,
            feature: 0,
            bigram: Arc::clone(&bigram),
            trigram: Arc::clone(&trigram),
        });
    }
    builder.segment(Segment {
        len: 4,
        prefix: Some(Arc::new(prefix.unwrap())),
        ..Segment::default()
    });
    builder.build().unwrap()
}

#[test]
fn what_no_multiplier_brings_out_is_found_by_search_or_the_search_says_that_it_ended() {
    // No multiplier makes two changes the best choice: four cost twice as much and bring ten times as much.
    let lattice = steep();
    let found = lattice.nearest(&[0; 4], 50, NearestLimits::default());
    let nearest = Nearest {
        path: vec![0, 0, 1, 1],
        score: 100,
        changed: vec![2, 3],
    };
    assert_eq!(found, Ok(nearest));
    let limits = NearestLimits {
        max_expansions: 3,
        ..NearestLimits::default()
    };
    let known = Nearest {
        path: vec![1; 4],
        score: 1000,
        changed: vec![0, 1, 2, 3],
    };
    let spent = NearestError::ExpansionLimit {
        at_least: 1,
        found: Some(known),
    };
    assert_eq!(lattice.nearest(&[0; 4], 50, limits), Err(spent));
    let limits = NearestLimits {
        most_changes: 1,
        ..NearestLimits::default()
    };
    let too_far = NearestError::TooFar {
        most: 1,
        at_least: 2,
    };
    assert_eq!(lattice.nearest(&[0; 4], 50, limits), Err(too_far));
}
