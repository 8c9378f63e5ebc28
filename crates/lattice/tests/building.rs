//! What cannot be built, and what the errors say; and lattices too large for one piece of memory.

mod support;

use std::sync::Arc;

use linewright_lattice::{
    Automaton, BigramTable, BuildError, ClassTable, LatticeBuilder, Layer, MAX_WEIGHT, NEVER,
    Obstacle, Repetition, Segment, TrigramTable,
};
use support::Recipe;

fn layer(candidates: usize) -> Layer {
    Layer {
        unary: vec![0; candidates],
        shift: 0,
        feature: 0,
        bigram: Arc::new(BigramTable::from_fn(candidates, |_, _| 0).unwrap()),
        trigram: Arc::new(TrigramTable::from_fn(candidates, |_, _, _, _| 0).unwrap()),
    }
}

fn built(
    layers: Vec<Layer>,
    segments: Vec<Segment>,
) -> Result<linewright_lattice::Lattice, BuildError> {
    let mut builder = LatticeBuilder::new(2);
    for layer in layers {
        builder.layer(layer);
    }
    for segment in segments {
        builder.segment(segment);
    }
    builder.build()
}

fn says(result: Result<linewright_lattice::Lattice, BuildError>, part: &str) {
    let message = result.expect_err("it must not build").to_string();
    assert!(message.contains(part), "{message:?} lacks {part:?}");
}

fn segment(len: usize) -> Segment {
    Segment {
        len,
        ..Segment::default()
    }
}

#[test]
fn faults_of_layers_are_named() {
    says(built(vec![], vec![]), "at least one layer");
    says(
        built(
            vec![Layer {
                shift: 12,
                ..layer(2)
            }],
            vec![segment(1)],
        ),
        "layer 0: the shift is 12",
    );
    says(
        built(
            vec![
                layer(2),
                Layer {
                    unary: vec![0; 3],
                    ..layer(2)
                },
            ],
            vec![segment(2)],
        ),
        "layer 1: 3 unary weights",
    );
    says(
        built(
            vec![Layer {
                unary: vec![0, MAX_WEIGHT + 1],
                ..layer(2)
            }],
            vec![segment(1)],
        ),
        "weight 1 of a row of unary weights",
    );
    says(
        built(
            vec![Layer {
                bigram: layer(3).bigram,
                ..layer(2)
            }],
            vec![segment(1)],
        ),
        "bigram table is made for 3 candidates",
    );
    assert!(LatticeBuilder::new(0).build().is_err() && LatticeBuilder::new(65).build().is_err());
}

#[test]
fn faults_of_segments_are_named() {
    let layers = |count: usize| vec![layer(2); count];
    let table = |length: usize| Some(Arc::new(ClassTable::from_fn(length, |_| 0).unwrap()));
    let repetition = |count: u8| {
        Some(Repetition::Classes {
            count,
            weight: NEVER,
        })
    };
    says(
        built(layers(3), vec![segment(2)]),
        "cover 2 layers, but there are 3",
    );
    says(built(layers(9), vec![segment(9)]), "segment 0 has 9 layers");
    says(
        built(
            layers(4),
            vec![Segment {
                prefix: table(3),
                suffix: table(2),
                ..segment(4)
            }],
        ),
        "3 + 2 classes",
    );
    says(
        built(
            layers(8),
            vec![Segment {
                suffix: table(4),
                ..segment(8)
            }],
        ),
        "at most 3 classes",
    );
    says(
        built(
            layers(4),
            vec![Segment {
                repetition: repetition(3),
                ..segment(4)
            }],
        ),
        "none before it",
    );
    says(
        built(
            layers(7),
            vec![
                segment(4),
                Segment {
                    repetition: repetition(2),
                    ..segment(3)
                },
            ],
        ),
        "equal lengths",
    );
    says(
        built(
            layers(6),
            vec![
                segment(3),
                Segment {
                    repetition: repetition(3),
                    ..segment(3)
                },
            ],
        ),
        "3 repeated classes",
    );
    let same = Some(Repetition::Candidates { weight: -5 });
    says(
        built(
            layers(6),
            vec![
                segment(3),
                Segment {
                    repetition: same,
                    ..segment(3)
                },
            ],
        ),
        "needs length 2",
    );
}

#[test]
fn faults_of_tables_and_automata_are_named() {
    assert!(BigramTable::new(3, vec![0; 59]).is_err() && BigramTable::new(3, vec![0; 60]).is_ok());
    assert!(
        TrigramTable::new(2, vec![0; 35]).is_err() && TrigramTable::new(2, vec![0; 36]).is_ok()
    );
    assert!(ClassTable::new(0, vec![0]).is_err() && ClassTable::new(5, vec![]).is_err());
    let grouped = |group, count, size| {
        ClassTable::grouped(vec![[0; 12], [group; 12]], count, vec![0; size]).map(|_| ())
    };
    assert!(grouped(2, 3, 9).is_ok() && grouped(2, 3, 8).is_err());
    let unknown = grouped(3, 3, 9).unwrap_err().to_string();
    assert!(unknown.contains("has no group 3"), "{unknown}");
    let automaton = |states, start, accepting: &[usize], target| {
        Automaton::new(2, 2, states, start, accepting, |_, _, _| Some(target))
    };
    assert!(automaton(0, 0, &[], 0).is_err() && automaton(257, 0, &[], 0).is_err());
    assert!(automaton(2, 2, &[0], 0).is_err() && automaton(2, 0, &[2], 0).is_err());
    assert_eq!(
        automaton(2, 0, &[0], 5).unwrap_err().to_string(),
        "the automaton leads to state 5 at layer 0; it has 2 states"
    );
}

#[test]
fn a_product_accepts_what_both_accept() {
    let counts = |modulus: usize, candidate: usize| {
        Automaton::new(6, 3, modulus, 0, &[0], move |_, state, k| {
            Some((state + usize::from(k == candidate)) % modulus)
        })
        .unwrap()
    };
    let (twos, threes) = (counts(2, 0), counts(3, 1));
    let both = twos.product(&threes).unwrap();
    assert_eq!(both.states(), 6);
    for number in 0..729u32 {
        let path: Vec<u8> = (0..6).map(|t| (number / 3u32.pow(t) % 3) as u8).collect();
        assert_eq!(
            both.accepts(&path),
            twos.accepts(&path) && threes.accepts(&path),
            "{path:?}"
        );
    }
    assert!(
        counts(20, 0).product(&counts(20, 1)).is_ok(),
        "few of the 400 pairs can be reached in six layers"
    );
}

#[test]
fn a_dead_end_tells_what_bars_each_candidate() {
    let mut barred = layer(2);
    barred.unary[0] = NEVER;
    barred.bigram =
        Arc::new(BigramTable::from_fn(2, |_, diff| if diff == 0 { 0 } else { NEVER }).unwrap());
    let lattice = built(vec![layer(2), barred], vec![segment(2)]).unwrap();
    let dead_end = lattice.pinned(&[(0, 0)]).unwrap().best().unwrap_err();
    assert_eq!((dead_end.layer, &dead_end.reached[..]), (1, &[0u8][..]));
    assert_eq!(dead_end.obstacles, [Obstacle::Unary, Obstacle::Bigram]);
    let text = dead_end.to_string();
    assert_eq!(
        text,
        "no path gets through layer 1: the candidate is forbidden (1 of 2), every bigram is forbidden (1 of 2)"
    );
    let pinned_twice = lattice
        .pinned(&[(0, 0), (0, 1)])
        .unwrap()
        .best()
        .unwrap_err();
    assert_eq!(pinned_twice.obstacles, [Obstacle::Pinned; 2]);
    assert!(lattice.pinned(&[(2, 0)]).is_err() && lattice.pinned(&[(0, 2)]).is_err());
}

#[test]
fn a_long_lattice_is_solved_in_pieces_as_it_is_whole() {
    let recipe = Recipe {
        seed: 99,
        candidates: 7,
        open: 6,
        lengths: vec![4; 1600],
        parts: 100,
        forbidden: 0,
        repetitions: 1,
        automaton_states: 0,
    };
    let lattice = recipe.lattice();
    let best = lattice.best().unwrap();
    assert_eq!(lattice.score(&best.path), Some(best.score));
    assert_eq!(lattice.k_best(1).unwrap(), [best]);
}

#[test]
fn totals_too_large_for_32_bits_are_exact() {
    let heavy = Layer {
        unary: vec![MAX_WEIGHT, MAX_WEIGHT - 1],
        ..layer(2)
    };
    let lattice = built(vec![heavy; 400], vec![segment(4); 100]).unwrap();
    let best = lattice.best().unwrap();
    assert_eq!(
        (best.path, best.score),
        (vec![0; 400], 400 * i64::from(MAX_WEIGHT))
    );
    let scores: Vec<_> = lattice
        .k_best(3)
        .unwrap()
        .into_iter()
        .map(|found| best.score - found.score)
        .collect();
    assert_eq!(scores, [0, 1, 1]);
}
