//! Why a lattice has no path.

use std::fmt;

use crate::active::ActiveFactors;
use crate::auxiliary::{Auxiliary, Layout};
use crate::lattice::Lattice;
use crate::weight::NEVER;

/// Why a candidate cannot continue any path that reaches its layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Obstacle {
    /// A pin holds another candidate.
    Pinned,
    /// The candidate itself is forbidden.
    Unary,
    /// The automaton stops on it in every state that reaches the layer.
    Automaton,
    /// Every bigram that ends in it is forbidden.
    Bigram,
    /// Of the transitions that are left, every trigram that ends in it is forbidden.
    Trigram,
    /// Of the transitions that are left, every one completes a forbidden run at the head of the segment.
    Prefix,
    /// Of the transitions that are left, every one completes a forbidden run at the tail of the segment.
    Suffix,
    /// Of the transitions that are left, every one completes a forbidden repetition.
    Repetition,
    /// It can be reached, but the automaton accepts no path that ends so.
    NotAccepted,
}

impl fmt::Display for Obstacle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Pinned => "another candidate is pinned",
            Self::Unary => "the candidate is forbidden",
            Self::Automaton => "the automaton stops",
            Self::Bigram => "every bigram is forbidden",
            Self::Trigram => "every trigram is forbidden",
            Self::Prefix => "every prefix is forbidden",
            Self::Suffix => "every suffix is forbidden",
            Self::Repetition => "every repetition is forbidden",
            Self::NotAccepted => "the automaton does not accept the end",
        })
    }
}

/// The answer "no path": the first layer that no path from the front reaches, and what bars each candidate there.
///
/// The layers before it can all be passed; a cause may lie earlier (say, in a pin that leads nowhere).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeadEnd {
    /// The first layer at which no candidate survives.
    pub layer: usize,
    /// What bars each candidate there, in the order of candidates.
    pub obstacles: Vec<Obstacle>,
    /// Candidates of the layer before that paths do reach; empty for the first layer.
    pub reached: Vec<u8>,
}

impl fmt::Display for DeadEnd {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "no path gets through layer {}", self.layer)?;
        let mut kinds = self.obstacles.clone();
        kinds.sort_unstable();
        kinds.dedup();
        for (at, kind) in kinds.iter().enumerate() {
            let barred = self.obstacles.iter().filter(|&other| other == kind).count();
            write!(
                f,
                "{} {kind} ({barred} of {})",
                if at == 0 { ":" } else { "," },
                self.obstacles.len()
            )?;
        }
        Ok(())
    }
}

impl std::error::Error for DeadEnd {}

/// States that some allowed prefix reaches: automaton state, last two candidates, auxiliary state.
struct Front {
    candidates: usize,
    aux: Auxiliary,
    reached: Vec<bool>,
}

impl Front {
    fn new(states: usize, candidates: usize, aux: Auxiliary) -> Self {
        Self {
            candidates,
            aux,
            reached: vec![false; states * candidates * candidates * aux.states()],
        }
    }

    fn mark(&mut self, state: usize, i: usize, j: usize, aux: usize) {
        let at = ((state * self.candidates + i) * self.candidates + j) * self.aux.states() + aux;
        self.reached[at] = true;
    }

    fn states(&self) -> impl Iterator<Item = (usize, usize, usize, usize)> {
        let (n, aux_states) = (self.candidates, self.aux.states());
        self.reached
            .iter()
            .enumerate()
            .filter(|&(_, &reached)| reached)
            .map(move |(at, _)| {
                let (pair, aux) = (at / aux_states, at % aux_states);
                (pair / (n * n), pair / n % n, pair % n, aux)
            })
    }
}

impl Lattice {
    /// Finds the layer at which paths from the front run dry, by forward reachability over the states that forbidden
    /// factors need; to be called when there is no path.
    pub(crate) fn dead_end(&self) -> DeadEnd {
        let forbidding = ActiveFactors::with_repetitions(self, |weight| weight == NEVER);
        let layout = Layout::new(self, &forbidding);
        let states = self.automaton_states();
        let last = self.len() - 1;
        let n = self.candidates;
        // The first layer has no pair of candidates yet; its front keeps the candidate as the later of the two.
        let mut front = Front::new(states, n, Auxiliary::Empty);
        for t in 0..=last {
            let mut next = Front::new(
                states,
                n,
                if t == 0 {
                    Auxiliary::Empty
                } else {
                    layout.layers[t].aux
                },
            );
            let mut obstacles = vec![Obstacle::Pinned; n];
            let mut survives = false;
            for (k, obstacle) in obstacles.iter_mut().enumerate() {
                let mut furthest = Obstacle::Pinned;
                if !self.is_allowed(t, k) {
                    continue;
                }
                if self.layers[t].unary[k] == NEVER {
                    *obstacle = Obstacle::Unary;
                    continue;
                }
                let mut try_from = |state: usize, i: usize, j: usize, aux: usize| {
                    let outcome = self.try_transition(&layout, t, aux, [i, j, k]);
                    let Some(state) = self.automaton_next(t, state, k) else {
                        return Obstacle::Automaton;
                    };
                    match outcome {
                        Err(obstacle) => obstacle,
                        Ok(_) if t == last && !self.accepts_in(state) => Obstacle::NotAccepted,
                        Ok(kept) => {
                            next.mark(state, if t == 0 { 0 } else { j }, k, kept);
                            survives = true;
                            Obstacle::NotAccepted
                        }
                    }
                };
                if t == 0 {
                    furthest = try_from(self.automaton_start(), 0, 0, 0);
                } else {
                    for (state, i, j, aux) in front.states() {
                        furthest = furthest.max(try_from(state, i, j, aux));
                    }
                }
                *obstacle = furthest;
            }
            if !survives {
                let mut reached: Vec<u8> = if t == 0 {
                    Vec::new()
                } else {
                    front.states().map(|at| at.2 as u8).collect()
                };
                reached.sort_unstable();
                reached.dedup();
                return DeadEnd {
                    layer: t,
                    obstacles,
                    reached,
                };
            }
            front = next;
        }
        unreachable!("a lattice whose last layer is reached has a path")
    }

    /// The auxiliary state after the transition, or the first obstacle to it.
    fn try_transition(
        &self,
        layout: &Layout,
        t: usize,
        aux: usize,
        [i, j, k]: [usize; 3],
    ) -> Result<usize, Obstacle> {
        let layer = &self.layers[t];
        let scopes = &layout.layers[t];
        let segment = &self.segments[scopes.segment];
        let class = |back: usize, candidate: usize| self.class(t - back, candidate);
        let diff = |from: usize, to: usize| to as i32 - from as i32;
        if t >= 1 && layer.bigram.weight(class(1, j), diff(j, k)) == NEVER {
            return Err(Obstacle::Bigram);
        }
        if t >= 2
            && layer.trigram.weight(
                self.has_feature(t - 1, j),
                self.has_feature(t, k),
                diff(i, j),
                diff(j, k),
            ) == NEVER
        {
            return Err(Obstacle::Trigram);
        }
        let run = |table: &crate::ClassTable| match table.len() {
            1 => table.weight(&[class(0, k)]),
            2 => table.weight(&[class(1, j), class(0, k)]),
            3 => table.weight(&[class(2, i), class(1, j), class(0, k)]),
            _ => table.weight(&[aux, class(2, i), class(1, j), class(0, k)]),
        };
        let prefix = segment
            .prefix
            .as_deref()
            .filter(|prefix| prefix.len() == scopes.nth);
        if prefix.is_some_and(|prefix| run(prefix) == NEVER) {
            return Err(Obstacle::Prefix);
        }
        let suffix = segment
            .suffix
            .as_deref()
            .filter(|_| scopes.nth == segment.len);
        if suffix.is_some_and(|suffix| run(suffix) == NEVER) {
            return Err(Obstacle::Suffix);
        }
        if t < 2 {
            return Ok(0);
        }
        match layout.next_aux(self, t, aux, [i, j, k]) {
            (_, true) => Err(Obstacle::Repetition),
            (kept, false) => Ok(kept),
        }
    }
}
