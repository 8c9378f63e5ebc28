//! Going forward through the tables: all continuations of one state with their shares.

use crate::memory::{FREE1, FREE2, Memory};
use crate::semiring::Semiring;
use crate::weight::CLASSES;

use super::{At, Pass, Tables};

impl<S: Semiring, const W: usize> Pass<S, W> {
    /// Value of going on from `at` to each candidate of layer `t` (at least 2) and finishing from there; zero where
    /// there is no way. `moves` are the layer's, `moves_after` the next one's when there is one.
    #[inline(always)]
    pub(crate) fn shares(
        &self,
        t: usize,
        at: At,
        tables: &Tables<S::Value>,
        moves: &[S::Value],
        moves_after: &[S::Value],
    ) -> [S::Value; W] {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let (values, after) = tables.get(t);
        let [i, j] = at.pair;
        let mut shares = self.lifted.along_last(&self.lattice, t, i, j);
        let steps: &[S::Value; W] = moves[j * W..(j + 1) * W]
            .try_into()
            .expect("a row is W lanes");
        for k in 0..W {
            shares[k] = ring.settle(ring.times(shares[k], steps[k]));
        }
        let place = &self.plan.places[t];
        let simple = values.memory == Memory::Nothing && place.echo.is_none() && !place.head4;
        if simple && self.lattice.automaton.is_none() {
            let from = values.index(0, j, 0, 0);
            let row: &[S::Value; W] = values.data[from..from + W]
                .try_into()
                .expect("a row is W lanes");
            for k in 0..W {
                shares[k] = ring.settle(ring.times(shares[k], row[k]));
            }
            return shares;
        }
        for (k, share) in shares.iter_mut().enumerate().take(n) {
            if *share == ring.zero() {
                continue;
            }
            let Some(state) = self.go(t, at.state, k) else {
                *share = ring.zero();
                continue;
            };
            let (memory, echoes) = self.plan.advance(&self.lattice, t, at.memory, [i, j, k]);
            let weight = ring.times(*share, self.extra(t, at.memory, [i, j, k], echoes));
            let value = if values.folded {
                let after = after.expect("a folded table is read along with the next one");
                self.unfolded(
                    t,
                    values,
                    after,
                    moves_after,
                    At {
                        state,
                        pair: [j, k],
                        memory,
                    },
                )
            } else {
                values.at(state, j, k, memory)
            };
            *share = ring.settle(ring.times(weight, value));
        }
        shares
    }

    /// The state after taking `k` at `t` from `at`, when the automaton goes on.
    #[inline(always)]
    pub(crate) fn arrive(&self, t: usize, at: At, k: usize) -> Option<At> {
        let [i, j] = at.pair;
        let state = self.go(t, at.state, k)?;
        let (memory, _) = self.plan.advance(&self.lattice, t, at.memory, [i, j, k]);
        Some(At {
            state,
            pair: [j, k],
            memory,
        })
    }
}

/// Chance of each state after each layer, pushed forward through the tables of a sum.
pub(crate) struct Chances {
    /// `[state][first][second][memory]`.
    pub(crate) data: Vec<f64>,
    memories: usize,
    candidates: usize,
}

impl Chances {
    fn new(states: usize, candidates: usize, memory: Memory) -> Self {
        let memories = memory.states();
        Self {
            data: vec![0.0; states * candidates * candidates * memories],
            memories,
            candidates,
        }
    }

    #[inline(always)]
    fn index(&self, at: At) -> usize {
        let [i, j] = at.pair;
        ((at.state * self.candidates + i) * self.candidates + j) * self.memories + at.memory
    }

    /// Adds the chance of each later candidate to `row`.
    fn add_candidates(&self, row: &mut [f64]) {
        for (pair, memories) in self.data.chunks_exact(self.memories).enumerate() {
            row[pair % self.candidates] += memories.iter().sum::<f64>();
        }
    }
}

impl<const W: usize> Pass<crate::semiring::Sum, W> {
    /// Chance of each candidate at each layer, `[layer][candidate]`; `moves` as for [`Pass::shares`], by layer.
    pub(crate) fn chances(
        &self,
        tables: &Tables<f64>,
        moves: &[Vec<f64>],
        openings: &[(f64, At)],
    ) -> Vec<Vec<f64>> {
        let n = self.lattice.candidates;
        let mut rows = vec![vec![0.0; n]; self.lattice.len()];
        let total: f64 = openings.iter().map(|(weight, _)| weight).sum();
        let mut now = Chances::new(self.states, n, Memory::Nothing);
        for &(weight, at) in openings {
            let chance = weight / total;
            rows[0][at.pair[0]] += chance;
            let place = now.index(at);
            now.data[place] += chance;
        }
        now.add_candidates(&mut rows[1]);
        for t in 2..self.lattice.len() {
            let mut next = Chances::new(self.states, n, self.plan.places[t].memory);
            let moves_after = moves.get(t + 1).map_or(&[][..], |rows| rows);
            for state in 0..self.states {
                for i in 0..n {
                    for j in 0..n {
                        let pair = [i, j];
                        let from = now.index(At {
                            state,
                            pair,
                            memory: 0,
                        });
                        let chances = &now.data[from..from + now.memories];
                        if chances.iter().all(|&chance| chance == 0.0) {
                            continue;
                        }
                        match (self.plan.places[t - 1].memory, self.plan.places[t].memory) {
                            (Memory::Record2, Memory::Expect2)
                            | (Memory::Expect2, Memory::Expect1) => {
                                self.push_pairs(t, state, pair, chances, tables, moves, &mut next);
                            }
                            _ => {
                                for (memory, &chance) in chances
                                    .iter()
                                    .enumerate()
                                    .filter(|&(_, &chance)| chance != 0.0)
                                {
                                    let at = At {
                                        state,
                                        pair,
                                        memory,
                                    };
                                    let shares = self.shares(t, at, tables, &moves[t], moves_after);
                                    let total: f64 = shares[..n].iter().sum();
                                    for k in (0..n).filter(|&k| shares[k] != 0.0) {
                                        let Some(at) = self.arrive(t, at, k) else {
                                            continue;
                                        };
                                        let place = next.index(at);
                                        next.data[place] += chance * (shares[k] / total);
                                    }
                                }
                            }
                        }
                    }
                }
            }
            next.add_candidates(&mut rows[t]);
            now = next;
        }
        for row in &mut rows {
            let total: f64 = row.iter().sum();
            row.iter_mut().for_each(|chance| *chance /= total);
        }
        rows
    }

    /// Pushes all memories of two classes at once: those that `k` does not meet lead to the same place.
    #[expect(
        clippy::too_many_arguments,
        reason = "the state, both tables and the place to push to"
    )]
    fn push_pairs(
        &self,
        t: usize,
        state: usize,
        [i, j]: [usize; 2],
        chances: &[f64],
        tables: &Tables<f64>,
        moves: &[Vec<f64>],
        next: &mut Chances,
    ) {
        let n = self.lattice.candidates;
        let entering = self.plan.places[t].memory == Memory::Expect2;
        let (values, _) = tables.get(t);
        let (before, _) = tables.get(t - 1);
        let moves_here = &moves[t];
        // Chance over value, `[class to meet][the other class]`, and that of the state with nothing to meet.
        let mut ratios = [[0.0; CLASSES]; CLASSES];
        let mut free = 0.0;
        let value_before = |memory: usize| {
            if before.folded {
                self.unfolded(
                    t - 1,
                    before,
                    values,
                    moves_here,
                    At {
                        state,
                        pair: [i, j],
                        memory,
                    },
                )
            } else {
                before.at(state, i, j, memory)
            }
        };
        for (memory, &chance) in chances
            .iter()
            .enumerate()
            .filter(|&(_, &chance)| chance != 0.0)
        {
            let ratio = chance / (value_before(memory) * self.scale_before(t, tables));
            let (upper, lower) = (memory / CLASSES, memory % CLASSES);
            match memory {
                FREE2 => free = ratio,
                _ if entering => ratios[upper][lower] = ratio,
                _ => ratios[lower][upper] = ratio,
            }
        }
        let by_class: Vec<f64> = ratios.iter().map(|row| row.iter().sum()).collect();
        for k in 0..n {
            let Some(state) = self.go(t, state, k) else {
                continue;
            };
            let weight = self.lifted.shape(&self.lattice, t, [i, j, k]) * moves_here[j * W + k];
            if weight == 0.0 {
                continue;
            }
            let class = self.lattice.class(t, k);
            let unmet: f64 = (0..CLASSES)
                .filter(|&other| other != class)
                .map(|other| by_class[other])
                .sum();
            let mut push = |memory: usize, ratio: f64| {
                let place = next.index(At {
                    state,
                    pair: [j, k],
                    memory,
                });
                next.data[place] += ratio * weight * values.at(state, j, k, memory);
            };
            push(if entering { FREE2 } else { FREE1 }, free + unmet);
            for (other, &ratio) in ratios[class]
                .iter()
                .enumerate()
                .filter(|&(_, &ratio)| ratio != 0.0)
            {
                push(
                    if entering {
                        self.lattice.class(t - 2, i) * CLASSES + other
                    } else {
                        other
                    },
                    ratio,
                );
            }
        }
    }

    /// Factor by which values at `t - 1` must be multiplied to be on the scale of those at `t`.
    fn scale_before(&self, t: usize, tables: &Tables<f64>) -> f64 {
        let (before, after) = tables.get(t - 1);
        let exponent = before.exponent - after.map_or(before.exponent, |after| after.exponent);
        libm::ldexp(1.0, exponent as i32)
    }
}
