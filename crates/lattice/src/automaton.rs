//! Finite automata over paths: any limit that reads a path layer by layer. A lattice under an automaton is searched as
//! their product (J. Hopcroft, J. Ullman, "Introduction to automata theory, languages, and computation", 1979).

use std::collections::BTreeMap;

use crate::error::{BuildError, Fault};

/// Most states that an automaton can have.
const MAX_STATES: usize = 256;

/// Marks "no transition" in the packed transition table.
const DEAD: u16 = u16::MAX;

/// A deterministic automaton that reads the candidates of a path, one per layer.
///
/// It starts in one state, moves once a layer, and accepts the path when it ends in an accepting state. Every search
/// over the lattice takes at most as many times the time and the tables as the automaton has states.
///
/// ```
/// # use linewright_lattice::Automaton;
/// // Of three layers with two candidates each: an even number of ones.
/// let even = Automaton::new(3, 2, 2, 0, &[0], |_layer, odd, candidate| Some(odd ^ candidate))?;
/// assert!(even.accepts(&[1, 0, 1]) && !even.accepts(&[1, 1, 1]));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Automaton {
    layers: usize,
    candidates: usize,
    states: usize,
    start: usize,
    accepting: Vec<bool>,
    /// `[layer][state][candidate]`.
    transitions: Vec<u16>,
}

impl Automaton {
    /// Builds an automaton with `states` states from its transition function.
    ///
    /// `next(layer, state, candidate)` is the state after reading `candidate` at `layer`, or `None` when the path
    /// must stop there; it is asked once for each. `accepting` lists the states in which a path may end.
    ///
    /// # Errors
    /// When there are no or more than 256 states, or a named state does not exist.
    pub fn new(
        layers: usize,
        candidates: usize,
        states: usize,
        start: usize,
        accepting: &[usize],
        mut next: impl FnMut(usize, usize, usize) -> Option<usize>,
    ) -> Result<Self, BuildError> {
        if !(1..=MAX_STATES).contains(&states) {
            return Err(Fault::AutomatonStates { given: states }.into());
        }
        if let Some(&given) = accepting
            .iter()
            .chain([&start])
            .find(|&&state| state >= states)
        {
            return Err(Fault::AutomatonState { given, states }.into());
        }
        let mut transitions = Vec::with_capacity(layers * states * candidates);
        for layer in 0..layers {
            for state in 0..states {
                for candidate in 0..candidates {
                    transitions.push(match next(layer, state, candidate) {
                        None => DEAD,
                        Some(given) if given >= states => {
                            return Err(Fault::AutomatonTarget {
                                layer,
                                given,
                                states,
                            }
                            .into());
                        }
                        Some(target) => target as u16,
                    });
                }
            }
        }
        let accepting = (0..states)
            .map(|state| accepting.contains(&state))
            .collect();
        Ok(Self {
            layers,
            candidates,
            states,
            start,
            accepting,
            transitions,
        })
    }

    /// Number of layers read.
    pub fn layers(&self) -> usize {
        self.layers
    }

    /// Number of candidates a layer.
    pub fn candidates(&self) -> usize {
        self.candidates
    }

    /// Number of states.
    pub fn states(&self) -> usize {
        self.states
    }

    /// The state before the first layer.
    pub fn start(&self) -> usize {
        self.start
    }

    /// Whether a path may end in `state`.
    pub fn accepts_in(&self, state: usize) -> bool {
        self.accepting[state]
    }

    /// State after reading `candidate` at `layer` in `state`, or `None` when the path must stop.
    pub fn next(&self, layer: usize, state: usize, candidate: usize) -> Option<usize> {
        let target = self.transitions[(layer * self.states + state) * self.candidates + candidate];
        (target != DEAD).then_some(usize::from(target))
    }

    /// Whether the whole path is accepted; linear in its length.
    pub fn accepts(&self, path: &[u8]) -> bool {
        let mut state = self.start;
        for (layer, &candidate) in path.iter().enumerate() {
            match self.next(layer, state, usize::from(candidate)) {
                Some(next) => state = next,
                None => return false,
            }
        }
        path.len() == self.layers && self.accepting[state]
    }

    /// The product automaton, which accepts what both accept. Only reachable pairs of states are kept; time is linear in
    /// their number, in that of the layers and of the candidates, but for a logarithm.
    ///
    /// # Errors
    /// When the two read different lattices, or more than 256 pairs are reachable.
    pub fn product(&self, other: &Self) -> Result<Self, BuildError> {
        if (self.layers, self.candidates) != (other.layers, other.candidates) {
            return Err(Fault::AutomatonFit {
                given: other.layers,
                given_candidates: other.candidates,
                layers: self.layers,
                candidates: self.candidates,
            }
            .into());
        }
        let mut numbers = BTreeMap::from([((self.start, other.start), 0)]);
        let mut pairs = vec![(self.start, other.start)];
        let mut frontier = vec![0];
        // One map a layer, from a pair's number to its row of targets.
        let mut rows = Vec::with_capacity(self.layers);
        for layer in 0..self.layers {
            let mut reached = Vec::new();
            let mut row_of = BTreeMap::new();
            for &from in &frontier {
                let (a, b) = pairs[from];
                let mut row = vec![None; self.candidates];
                for (candidate, arrow) in row.iter_mut().enumerate() {
                    let Some(pair) = self
                        .next(layer, a, candidate)
                        .zip(other.next(layer, b, candidate))
                    else {
                        continue;
                    };
                    let fresh = pairs.len();
                    let target = *numbers.entry(pair).or_insert(fresh);
                    if target == fresh {
                        if fresh == MAX_STATES {
                            return Err(Fault::ProductTooLarge.into());
                        }
                        pairs.push(pair);
                    }
                    reached.push(target);
                    *arrow = Some(target);
                }
                row_of.insert(from, row);
            }
            reached.sort_unstable();
            reached.dedup();
            frontier = reached;
            rows.push(row_of);
        }
        let accepting: Vec<_> = (0..pairs.len())
            .filter(|&at| self.accepting[pairs[at].0] && other.accepting[pairs[at].1])
            .collect();
        Self::new(
            self.layers,
            self.candidates,
            pairs.len(),
            0,
            &accepting,
            |layer, state, candidate| rows[layer].get(&state).and_then(|row| row[candidate]),
        )
    }
}
