//! Why a lattice has no path.

use std::fmt;

use crate::lattice::Lattice;
use crate::memory::{Memory, Plan, Watched};
use crate::weight::NEVER;

/// Why a candidate cannot continue any path that reaches its layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Obstacle {
    /// A pin holds another candidate.
    Pinned,
    /// The candidate itself is forbidden.
    Note,
    /// The automaton stops on it in every state that reaches the layer.
    Automaton,
    /// Every step into it is forbidden.
    Step,
    /// Of the steps that are left, every shape is forbidden.
    Shape,
    /// Of the moves that are left, every one completes a forbidden head.
    Head,
    /// Of the moves that are left, every one completes a forbidden tail.
    Tail,
    /// Of the moves that are left, every one completes a forbidden echo.
    Echo,
    /// It can be reached, but the automaton accepts no path that ends so.
    NotAccepted,
}

impl fmt::Display for Obstacle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Pinned => "another candidate is pinned",
            Self::Note => "the candidate is forbidden",
            Self::Automaton => "the automaton stops",
            Self::Step => "every step is forbidden",
            Self::Shape => "every shape is forbidden",
            Self::Head => "every head is forbidden",
            Self::Tail => "every tail is forbidden",
            Self::Echo => "every way is a forbidden echo",
            Self::NotAccepted => "the automaton does not accept the end",
        })
    }
}

/// The answer "no path": the first layer that no path from the front reaches, and what bars each candidate there.
///
/// The layers before it can all be passed; a cause may lie earlier (say, in a pin that leads into a blind alley).
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

/// States that some allowed beginning reaches: automaton state, last two candidates, memory.
struct Front {
    candidates: usize,
    memory: Memory,
    reached: Vec<bool>,
}

impl Front {
    fn new(states: usize, candidates: usize, memory: Memory) -> Self {
        Self {
            candidates,
            memory,
            reached: vec![false; states * candidates * candidates * memory.states()],
        }
    }

    fn mark(&mut self, state: usize, i: usize, j: usize, memory: usize) {
        let at =
            ((state * self.candidates + i) * self.candidates + j) * self.memory.states() + memory;
        self.reached[at] = true;
    }

    fn states(&self) -> impl Iterator<Item = (usize, usize, usize, usize)> {
        let (n, memories) = (self.candidates, self.memory.states());
        self.reached
            .iter()
            .enumerate()
            .filter(|&(_, &reached)| reached)
            .map(move |(at, _)| {
                let (pair, memory) = (at / memories, at % memories);
                (pair / (n * n), pair / n % n, pair % n, memory)
            })
    }
}

impl Lattice {
    /// Finds the layer at which paths from the front run dry; to be called when there is no path.
    pub(crate) fn dead_end(&self) -> DeadEnd {
        let plan = Plan::new(self, &Watched::with_echoes(self, |weight| weight == NEVER));
        let states = self
            .automaton
            .as_ref()
            .map_or(1, |automaton| automaton.states());
        let go = |t: usize, state: usize, k: usize| match &self.automaton {
            None => Some(0),
            Some(automaton) => automaton.next(t, state, k),
        };
        let accepts = |state: usize| {
            self.automaton
                .as_ref()
                .is_none_or(|automaton| automaton.accepts_in(state))
        };
        let start = self
            .automaton
            .as_ref()
            .map_or(0, |automaton| automaton.start());
        let last = self.len() - 1;
        let n = self.candidates;
        // The first layer has no pair of candidates yet; its front keeps the candidate as the later of the two.
        let mut front = Front::new(states, n, Memory::Nothing);
        for t in 0..=last {
            let mut next = Front::new(
                states,
                n,
                if t == 0 {
                    Memory::Nothing
                } else {
                    plan.places[t].memory
                },
            );
            let mut obstacles = vec![Obstacle::Pinned; n];
            let mut survives = false;
            for (k, obstacle) in obstacles.iter_mut().enumerate() {
                let mut furthest = Obstacle::Pinned;
                if !self.is_allowed(t, k) {
                    continue;
                }
                if self.layers[t].notes[k] == NEVER {
                    *obstacle = Obstacle::Note;
                    continue;
                }
                let mut try_from = |state: usize, i: usize, j: usize, memory: usize| {
                    let way = self.bar(&plan, t, memory, [i, j, k]);
                    let Some(state) = go(t, state, k) else {
                        return Obstacle::Automaton;
                    };
                    match way {
                        Err(obstacle) => obstacle,
                        Ok(_) if t == last && !accepts(state) => Obstacle::NotAccepted,
                        Ok(kept) => {
                            next.mark(state, if t == 0 { 0 } else { j }, k, kept);
                            survives = true;
                            Obstacle::NotAccepted
                        }
                    }
                };
                if t == 0 {
                    furthest = try_from(start, 0, 0, 0);
                } else {
                    for (state, i, j, memory) in front.states() {
                        furthest = furthest.max(try_from(state, i, j, memory));
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

    /// The memory after the move, or the first obstacle on it.
    fn bar(
        &self,
        plan: &Plan,
        t: usize,
        memory: usize,
        [i, j, k]: [usize; 3],
    ) -> Result<usize, Obstacle> {
        let layer = &self.layers[t];
        let place = &plan.places[t];
        let segment = &self.segments[place.segment];
        let class = |back: usize, candidate: usize| self.class(t - back, candidate);
        let diff = |from: usize, to: usize| to as i32 - from as i32;
        if t >= 1 && layer.step.weight(class(1, j), diff(j, k)) == NEVER {
            return Err(Obstacle::Step);
        }
        if t >= 2
            && layer
                .shape
                .weight(self.gate(t - 1, j), self.gate(t, k), diff(i, j), diff(j, k))
                == NEVER
        {
            return Err(Obstacle::Shape);
        }
        let window = |table: &crate::ClassTable| match table.len() {
            1 => table.weight(&[class(0, k)]),
            2 => table.weight(&[class(1, j), class(0, k)]),
            3 => table.weight(&[class(2, i), class(1, j), class(0, k)]),
            _ => table.weight(&[memory, class(2, i), class(1, j), class(0, k)]),
        };
        let head = segment
            .head
            .as_deref()
            .filter(|head| head.len() == place.nth);
        if head.is_some_and(|head| window(head) == NEVER) {
            return Err(Obstacle::Head);
        }
        let tail = segment.tail.as_deref().filter(|_| place.nth == segment.len);
        if tail.is_some_and(|tail| window(tail) == NEVER) {
            return Err(Obstacle::Tail);
        }
        if t < 2 {
            return Ok(0);
        }
        match plan.advance(self, t, memory, [i, j, k]) {
            (_, true) => Err(Obstacle::Echo),
            (kept, false) => Ok(kept),
        }
    }
}
