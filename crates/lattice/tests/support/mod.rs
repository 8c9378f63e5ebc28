//! Random small lattices, and every path of one by enumeration.
#![allow(dead_code, reason = "each test file uses its own part")]

use std::sync::Arc;

use linewright_lattice::{
    Automaton, BigramTable, ClassTable, Lattice, LatticeBuilder, Layer, NEVER, Repetition, Segment,
    TrigramTable,
};
use proptest::prelude::*;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// What a random lattice is made from.
#[derive(Debug, Clone)]
pub struct Recipe {
    pub seed: u64,
    pub candidates: usize,
    /// Candidates a layer that are not forbidden outright.
    pub open: usize,
    pub lengths: Vec<usize>,
    /// Chance in 100 that an optional part is there.
    pub parts: u64,
    /// Chance in 100 that a weight is forbidden.
    pub forbidden: u64,
    /// 0: all repetitions cost; 1: repetitions of either sign; 2: all forbidden.
    pub repetitions: u8,
    pub automaton_states: usize,
}

pub fn recipes() -> impl Strategy<Value = Recipe> {
    let lengths = prop_oneof![
        3 => (1usize..=8, 1usize..=9).prop_map(|(length, layers)| vec![length; (layers / length).max(1)]),
        2 => Just(vec![4, 4]),
        1 => Just(vec![3, 3, 3]),
        1 => Just(vec![5, 5]),
        1 => Just(vec![2, 2, 2, 2]),
        1 => prop::collection::vec(1usize..=4, 1..=4),
    ];
    let candidates =
        prop_oneof![3 => 1usize..=5, 1 => Just(14), 1 => Just(29), 1 => Just(33), 1 => Just(41)];
    (
        any::<u64>(),
        candidates,
        lengths,
        30u64..=100,
        0u64..=25,
        0u8..3,
        prop_oneof![2 => Just(0usize), 1 => 1usize..=4],
    )
        .prop_map(
            |(seed, candidates, lengths, parts, forbidden, repetitions, automaton_states)| {
                let layers: usize = lengths.iter().sum();
                let open = (1..=candidates.min(5))
                    .rev()
                    .find(|&open| open.pow(layers as u32) <= 8_000)
                    .unwrap_or(1);
                let open = if layers >= 8 {
                    open.max(2).min(candidates)
                } else {
                    open
                };
                Recipe {
                    seed,
                    candidates,
                    open,
                    lengths,
                    parts,
                    forbidden,
                    repetitions,
                    automaton_states,
                }
            },
        )
}

struct Dice(ChaCha8Rng);

impl Dice {
    fn below(&mut self, bound: u64) -> u64 {
        self.0.next_u64() % bound
    }

    fn chance(&mut self, percent: u64) -> bool {
        self.below(100) < percent
    }

    fn weight(&mut self, forbidden: u64) -> i32 {
        if self.chance(forbidden) {
            NEVER
        } else {
            self.below(7) as i32 * 100 - 300
        }
    }
}

impl Recipe {
    pub fn lattice(&self) -> Lattice {
        let mut dice = Dice(ChaCha8Rng::seed_from_u64(self.seed));
        let n = self.candidates;
        let rare = self.forbidden / 3;
        let bigrams: Vec<_> = (0..2)
            .map(|_| Arc::new(BigramTable::from_fn(n, |_, _| dice.weight(rare)).unwrap()))
            .collect();
        let trigrams: Vec<_> = (0..2)
            .map(|_| Arc::new(TrigramTable::from_fn(n, |_, _, _, _| dice.weight(rare)).unwrap()))
            .collect();
        let classes: Vec<_> = (1..=4)
            .map(|length| {
                // Sometimes most runs weigh the same, and none more.
                let level = if dice.chance(40) { 70 } else { 0 };
                if dice.chance(50) {
                    let weight = |_: &[u8]| match dice.chance(level) {
                        true => 300,
                        false => dice.weight(rare),
                    };
                    return Arc::new(ClassTable::from_fn(length, weight).unwrap());
                }
                let count = 1 + dice.below(12) as usize;
                let mut groups = vec![[0; 12]; length];
                for group in groups.iter_mut().flatten() {
                    *group = dice.below(count as u64) as u8;
                }
                let weights = (0..count.pow(length as u32)).map(|_| match dice.chance(level) {
                    true => 300,
                    false => dice.weight(rare),
                });
                Arc::new(ClassTable::grouped(groups, count, weights.collect()).unwrap())
            })
            .collect();
        let mut builder = LatticeBuilder::new(n);
        let layers: usize = self.lengths.iter().sum();
        let favourites: Vec<usize> = (0..self.open)
            .map(|_| dice.below(n as u64) as usize)
            .collect();
        for _ in 0..layers {
            let mut unary = vec![NEVER; n];
            for &favourite in &favourites {
                // Mostly the same few candidates and their octaves, so that classes meet.
                let k = match dice.below(4) {
                    0 => dice.below(n as u64) as usize,
                    1 => (favourite + 12) % n,
                    _ => favourite,
                };
                unary[k] = dice.weight(self.forbidden / 5);
            }
            builder.layer(Layer {
                unary,
                shift: [0, 0, 0, 1, 11][dice.below(5) as usize],
                feature: dice.0.next_u64() & dice.0.next_u64(),
                bigram: Arc::clone(&bigrams[dice.below(2) as usize]),
                trigram: Arc::clone(&trigrams[dice.below(2) as usize]),
            });
        }
        let mut before = 0;
        for &len in &self.lengths {
            let prefix = dice.below(len.min(4) as u64) as usize + 1;
            let prefix = if dice.chance(60) { len.min(4) } else { prefix };
            let suffix = (len - prefix).min(3);
            let suffix = if suffix == 0 {
                0
            } else {
                dice.below(suffix as u64) as usize + 1
            };
            let weight = match self.repetitions {
                0 => -(dice.below(4) as i32) * 150,
                1 => dice.weight(10),
                _ => NEVER,
            };
            let repetition = match len {
                _ if before != len || !dice.chance(self.parts) => None,
                1 => None,
                2 => Some(Repetition::Candidates { weight }),
                4 if dice.chance(75) => Some(Repetition::Classes { count: 3, weight }),
                _ => Some(Repetition::Classes { count: 2, weight }),
            };
            before = len;
            builder.segment(Segment {
                len,
                prefix: dice
                    .chance(self.parts)
                    .then(|| Arc::clone(&classes[prefix - 1])),
                suffix: (suffix > 0 && dice.chance(self.parts))
                    .then(|| Arc::clone(&classes[suffix - 1])),
                repetition,
            });
        }
        let lattice = builder.build().unwrap();
        match self.automaton_states {
            0 => lattice,
            states => lattice
                .with_automaton(random_automaton(&mut dice, layers, n, states))
                .unwrap(),
        }
    }
}

fn random_automaton(dice: &mut Dice, layers: usize, candidates: usize, states: usize) -> Automaton {
    let accepting: Vec<_> = (0..states).filter(|_| dice.chance(70)).collect();
    Automaton::new(layers, candidates, states, 0, &accepting, |_, _, _| {
        (!dice.chance(5)).then(|| dice.below(states as u64) as usize)
    })
    .unwrap()
}

/// Every allowed path with its score, in the order of candidate indices.
pub fn all_paths(lattice: &Lattice) -> Vec<(Vec<u8>, i64)> {
    let mut found = Vec::new();
    let mut path = Vec::new();
    extend(lattice, &mut path, &mut found);
    found
}

fn extend(lattice: &Lattice, path: &mut Vec<u8>, found: &mut Vec<(Vec<u8>, i64)>) {
    if path.len() == lattice.len() {
        if let Some(score) = lattice.score(path) {
            found.push((path.clone(), score));
        }
        return;
    }
    for k in 0..lattice.candidates() {
        if lattice.layers()[path.len()].unary[k] != NEVER {
            path.push(k as u8);
            extend(lattice, path, found);
            path.pop();
        }
    }
}

/// All paths, best first, equals in the order of candidate indices.
pub fn ranked(lattice: &Lattice) -> Vec<(Vec<u8>, i64)> {
    let mut paths = all_paths(lattice);
    paths.sort_by_key(|&(_, score)| std::cmp::Reverse(score));
    paths
}

/// The first layer that no prefix reaches without meeting something forbidden; the last when only the
/// automaton's end is in the way.
pub fn first_unreachable(lattice: &Lattice) -> Option<usize> {
    let mut prefixes = vec![Vec::new()];
    for t in 0..lattice.len() {
        let longer: Vec<Vec<u8>> = prefixes
            .iter()
            .flat_map(|path| (0..lattice.candidates() as u8).map(|k| [&path[..], &[k]].concat()))
            .filter(|path| begins(lattice, path))
            .collect();
        if longer.is_empty() {
            return Some(t);
        }
        prefixes = longer;
    }
    None
}

/// Whether nothing in a prefix is forbidden: its terms are those of any whole path that begins so.
fn begins(lattice: &Lattice, prefix: &[u8]) -> bool {
    let mut path = prefix.to_vec();
    path.resize(lattice.len(), 0);
    let mut state = lattice.automaton().map(Automaton::start);
    if let Some(automaton) = lattice.automaton() {
        for (t, &k) in prefix.iter().enumerate() {
            state = state.and_then(|state| automaton.next(t, state, usize::from(k)));
        }
        let Some(state) = state else { return false };
        if prefix.len() == lattice.len() && !automaton.accepts_in(state) {
            return false;
        }
    }
    lattice
        .terms(&path)
        .iter()
        .all(|term| term.layer >= prefix.len() || term.weight != NEVER)
}
