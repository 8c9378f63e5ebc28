//! One kernel for each way the memory changes between two layers.
//!
//! Each fills the values at `t - 1` for states `(i, j, memory)` from those at `t`. Loops run along whichever of the
//! three candidates makes all reads contiguous, with no combination across lanes, so that they vectorise and give
//! the same bits on every machine.

use crate::memory::{FREE1, FREE2, Memory};
use crate::semiring::Semiring;
use crate::weight::CLASSES;

use super::lifted::PAD;
use super::{Pass, Scratch, Values};

/// Lanes that hold one value for each class, with some to spare.
const LANES: usize = 16;

/// For every class the combination of all other classes' rows; gives the combination of all.
#[inline(always)]
fn exclude<S: Semiring, const W: usize>(
    ring: S,
    parts: &[[S::Value; W]; CLASSES],
    others: &mut [[S::Value; W]; CLASSES],
) -> [S::Value; W] {
    let mut running = [ring.zero(); W];
    for (part, other) in parts.iter().zip(others.iter_mut()) {
        *other = running;
        for x in 0..W {
            running[x] = ring.plus(running[x], part[x]);
        }
    }
    let total = running;
    running = [ring.zero(); W];
    for (part, other) in parts.iter().zip(others.iter_mut()).rev() {
        for x in 0..W {
            other[x] = ring.plus(other[x], running[x]);
            running[x] = ring.plus(running[x], part[x]);
        }
    }
    total
}

impl<S: Semiring, const W: usize> Pass<S, W> {
    #[inline(always)]
    fn classes(&self, t: usize) -> [usize; 64] {
        let mut classes = [0; 64];
        for (k, class) in classes.iter_mut().enumerate() {
            *class = (k + usize::from(self.lattice.layers[t].shift)) % CLASSES;
        }
        classes
    }

    /// Any change of memory, one state at a time: for the rare ones.
    #[inline(always)]
    pub(super) fn any(
        &self,
        t: usize,
        next: &Values<S::Value>,
        scratch: &Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        for state in 0..self.states {
            for i in 0..n {
                for j in 0..n {
                    let shapes = self.lifted.along_last(&self.lattice, t, i, j);
                    for memory in 0..out.memory.states() {
                        let mut sum = ring.zero();
                        for k in 0..n {
                            let Some(state) = self.go(t, state, k) else {
                                continue;
                            };
                            let (kept, echoes) =
                                self.plan.advance(&self.lattice, t, memory, [i, j, k]);
                            let weight = ring.times(shapes[k], scratch.moves[j * W + k]);
                            let weight = ring.settle(
                                ring.times(weight, self.extra(t, memory, [i, j, k], echoes)),
                            );
                            sum = ring.plus(sum, ring.times(weight, next.at(state, j, k, kept)));
                        }
                        let at = out.index(state, i, j, memory);
                        out.data[at] = ring.settle(sum);
                    }
                }
            }
        }
    }

    /// Nothing remembered before or after.
    #[inline(always)]
    pub(super) fn plain(
        &self,
        t: usize,
        next: &Values<S::Value>,
        scratch: &mut Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        for state in 0..self.states {
            for j in 0..n {
                let mut sum = [ring.zero(); W];
                for k in 0..n {
                    let Some(state) = self.go(t, state, k) else {
                        continue;
                    };
                    let weight = ring.times(scratch.moves[j * W + k], next.at(state, j, k, 0));
                    let shapes = self.lifted.along_first(&self.lattice, t, j, k);
                    match self.lifted.triples_along_first(&self.lattice, t, j, k) {
                        None => {
                            for i in 0..W {
                                sum[i] = ring.plus(sum[i], ring.times(shapes[i], weight));
                            }
                        }
                        Some(triples) => {
                            for i in 0..W {
                                let shape = ring.times(shapes[i], triples[i]);
                                sum[i] = ring.plus(sum[i], ring.times(shape, weight));
                            }
                        }
                    }
                }
                for (i, &sum) in sum.iter().enumerate().take(n) {
                    let at = out.index(state, i, j, 0);
                    out.data[at] = ring.settle(sum);
                }
            }
        }
    }

    /// The first note's class is recorded, or an echo is decided by one last class, or both.
    #[inline(always)]
    pub(super) fn decide(
        &self,
        t: usize,
        next: &Values<S::Value>,
        scratch: &mut Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let records = next.memory == Memory::Record1;
        let echo = self.plan.places[t].echo.map(|weight| ring.lift(weight));
        let class_k = self.classes(t);
        let turn = usize::from(self.lattice.layers[t - 2].shift);
        // Values by the class of `i`, spread over all `i`.
        let spread = W + 2 * CLASSES + LANES;
        scratch.rows.clear();
        scratch.rows.resize(n * spread, ring.zero());
        for state in 0..self.states {
            for j in 0..n {
                for k in 0..n {
                    let row = &mut scratch.rows[k * spread..(k + 1) * spread];
                    let Some(state) = self.go(t, state, k) else {
                        row.fill(ring.zero());
                        continue;
                    };
                    let step = scratch.moves[j * W + k];
                    let at = next.index(state, j, k, 0);
                    if records {
                        let mut values = [ring.zero(); LANES];
                        for x in 0..LANES {
                            values[x] = ring.settle(ring.times(step, next.data[at + x]));
                        }
                        for from in (0..W + CLASSES).step_by(CLASSES) {
                            row[from..from + LANES].copy_from_slice(&values);
                        }
                    } else {
                        row[..W + CLASSES].fill(ring.settle(ring.times(step, next.data[at])));
                    }
                }
                let mut parts = [[ring.zero(); W]; CLASSES];
                for k in 0..n {
                    let values = &scratch.rows[k * spread + turn..k * spread + turn + W];
                    let shapes = self.lifted.along_first(&self.lattice, t, j, k);
                    let part = &mut parts[if echo.is_some() { class_k[k] } else { 0 }];
                    match self.lifted.triples_along_first(&self.lattice, t, j, k) {
                        None => {
                            for i in 0..W {
                                part[i] = ring.plus(part[i], ring.times(shapes[i], values[i]));
                            }
                        }
                        Some(triples) => {
                            for i in 0..W {
                                let shape = ring.times(shapes[i], triples[i]);
                                part[i] = ring.plus(part[i], ring.times(shape, values[i]));
                            }
                        }
                    }
                }
                let Some(echo) = echo else {
                    for i in 0..n {
                        let at = out.index(state, i, j, 0);
                        out.data[at] = ring.settle(parts[0][i]);
                    }
                    continue;
                };
                let mut others = [[ring.zero(); W]; CLASSES];
                let total = exclude(ring, &parts, &mut others);
                for class in 0..CLASSES {
                    let at = out.index(state, 0, j, class);
                    let row = &mut out.data[at..at + W];
                    for i in 0..W {
                        let sum = ring.plus(others[class][i], ring.times(parts[class][i], echo));
                        row[i] = if i < n { ring.settle(sum) } else { ring.zero() };
                    }
                }
                let at = out.index(state, 0, j, FREE1);
                for (to, &sum) in out.data[at..at + n].iter_mut().zip(&total) {
                    *to = ring.settle(sum);
                }
            }
        }
    }

    /// Two expected classes, of which the sooner is compared.
    #[inline(always)]
    pub(super) fn compare(
        &self,
        t: usize,
        next: &Values<S::Value>,
        scratch: &mut Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let class_k = self.classes(t);
        // Steps along the middle candidate; lanes past the candidates are zero.
        scratch.moves_after.clear();
        scratch.moves_after.resize(n * W, ring.zero());
        for k in 0..n {
            for j in 0..n {
                scratch.moves_after[k * W + j] = scratch.moves[j * W + k];
            }
        }
        let shift = usize::from(self.lattice.layers[t].shift);
        let mut weights = [[ring.zero(); W]; 64];
        for state in 0..self.states {
            for i in 0..n {
                let mut parts = [[ring.zero(); W]; CLASSES];
                let mut others = [[ring.zero(); W]; CLASSES];
                for k in 0..n {
                    let Some(state) = self.go(t, state, k) else {
                        continue;
                    };
                    let shapes = self.lifted.along_middle(&self.lattice, t, i, k);
                    let steps: &[S::Value; W] = scratch.moves_after[k * W..(k + 1) * W]
                        .try_into()
                        .expect("a row is W lanes");
                    let at = next.index(state, 0, k, FREE1);
                    let values: &[S::Value; W] =
                        next.data[at..at + W].try_into().expect("a row is W lanes");
                    let part = &mut parts[class_k[k]];
                    for j in 0..W {
                        weights[k][j] = ring.times(shapes[j], steps[j]);
                        part[j] = ring.plus(part[j], ring.times(weights[k][j], values[j]));
                    }
                }
                let total = exclude(ring, &parts, &mut others);
                let at = out.index(state, i, 0, FREE2);
                for (to, &sum) in out.data[at..at + W].iter_mut().zip(&total) {
                    *to = ring.settle(sum);
                }
                for sooner in 0..CLASSES {
                    let residue = (sooner + CLASSES - shift) % CLASSES;
                    for later in 0..CLASSES {
                        let mut sum = others[sooner];
                        for k in (residue..n).step_by(CLASSES) {
                            let Some(state) = self.go(t, state, k) else {
                                continue;
                            };
                            let at = next.index(state, 0, k, later);
                            let values: &[S::Value; W] =
                                next.data[at..at + W].try_into().expect("a row is W lanes");
                            for j in 0..W {
                                sum[j] = ring.plus(sum[j], ring.times(weights[k][j], values[j]));
                            }
                        }
                        let at = out.index(state, i, 0, later * CLASSES + sooner);
                        let row: &mut [S::Value; W] = (&mut out.data[at..at + W])
                            .try_into()
                            .expect("a row is W lanes");
                        for j in 0..W {
                            row[j] = ring.settle(sum[j]);
                        }
                    }
                }
            }
        }
    }

    /// The part of a record of two classes that no echo touches: all first notes but those that would begin one.
    #[inline(always)]
    pub(super) fn enter(
        &self,
        t: usize,
        next: &Values<S::Value>,
        scratch: &mut Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        for state in 0..self.states {
            for j in 0..n {
                let mut parts = [[ring.zero(); W]; CLASSES];
                let mut others = [[ring.zero(); W]; CLASSES];
                for k in 0..n {
                    let Some(state) = self.go(t, state, k) else {
                        continue;
                    };
                    let value = ring
                        .settle(ring.times(scratch.moves[j * W + k], next.at(state, j, k, FREE2)));
                    let shapes = self.lifted.along_first(&self.lattice, t, j, k);
                    let part = &mut parts[k % CLASSES];
                    for i in 0..W {
                        part[i] = ring.plus(part[i], ring.times(shapes[i], value));
                    }
                }
                exclude(ring, &parts, &mut others);
                for i in 0..n {
                    let at = out.index(state, i, j, 0);
                    for (to, other) in out.data[at..at + CLASSES].iter_mut().zip(&others) {
                        *to = ring.settle(other[i]);
                    }
                }
            }
        }
    }

    /// The fourth note: the recorded class is recalled for the head, and passed on when an echo may follow.
    #[inline(always)]
    pub(super) fn recall(
        &self,
        t: usize,
        next: &Values<S::Value>,
        after: Option<&Values<S::Value>>,
        scratch: &mut Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let (class_i, class_j, class_k) =
            (self.classes(t - 2), self.classes(t - 1), self.classes(t));
        let mut turn = 0;
        if next.folded {
            turn = usize::from(self.lattice.layers[t + 1].shift);
            self.lifted
                .moves_into(&self.lattice, t + 1, &mut scratch.moves_after);
        }
        // For one `j`: `[k][class of i]` rows over the recorded class, turned by `turn`.
        scratch.rows.clear();
        scratch.rows.resize(n * CLASSES * LANES, ring.zero());
        for state in 0..self.states {
            for j in 0..n {
                for k in 0..n {
                    let block = &mut scratch.rows[k * CLASSES * LANES..(k + 1) * CLASSES * LANES];
                    let Some(state) = self.go(t, state, k) else {
                        block.fill(ring.zero());
                        continue;
                    };
                    let step = scratch.moves[j * W + k];
                    match next.memory {
                        Memory::Nothing => block.fill(next.at(state, j, k, 0)),
                        _ if next.folded => {
                            let after =
                                after.expect("a folded table is read along with the next one");
                            let moves = &scratch.moves_after[k * W..(k + 1) * W];
                            self.unfold(t, next, after, moves, state, [j, k], block);
                        }
                        _ => {
                            for (second, row) in block.chunks_exact_mut(LANES).enumerate() {
                                for (first, to) in row.iter_mut().enumerate().take(CLASSES) {
                                    *to = next.at(state, j, k, first * CLASSES + second);
                                }
                            }
                        }
                    }
                    for (second, row) in block.chunks_exact_mut(LANES).enumerate() {
                        match self
                            .lifted
                            .head_row(t, [second, class_j[j], class_k[k]], turn)
                        {
                            None => {
                                for x in 0..LANES {
                                    row[x] = ring.settle(ring.times(step, row[x]));
                                }
                            }
                            Some(head) => {
                                for x in 0..LANES {
                                    row[x] =
                                        ring.settle(ring.times(ring.times(step, head[x]), row[x]));
                                }
                            }
                        }
                    }
                }
                for i in 0..n {
                    let weights = self.lifted.along_last(&self.lattice, t, i, j);
                    let mut sum = [ring.zero(); LANES];
                    for k in 0..n {
                        let at = (k * CLASSES + class_i[i]) * LANES;
                        let row: &[S::Value; LANES] = scratch.rows[at..at + LANES]
                            .try_into()
                            .expect("a row is 16 lanes");
                        for x in 0..LANES {
                            sum[x] = ring.plus(sum[x], ring.times(weights[k], row[x]));
                        }
                    }
                    let at = out.index(state, i, j, 0);
                    for x in 0..CLASSES {
                        out.data[at + (x + turn) % CLASSES] = ring.settle(sum[x]);
                    }
                }
            }
        }
    }

    /// All values of a folded table's states `(j, k)`: `[second class]` rows over the residue of the first class.
    #[inline(always)]
    #[expect(
        clippy::too_many_arguments,
        reason = "the two tables, their place and the room for the result"
    )]
    fn unfold(
        &self,
        t: usize,
        next: &Values<S::Value>,
        after: &Values<S::Value>,
        moves: &[S::Value],
        state: usize,
        [j, k]: [usize; 2],
        block: &mut [S::Value],
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let at = next.index(state, j, k, 0);
        let kept: &[S::Value; LANES] = next.data[at..at + LANES]
            .try_into()
            .expect("a row is 16 lanes");
        for row in block.chunks_exact_mut(LANES) {
            row.copy_from_slice(kept);
        }
        let shapes = self.lifted.along_last(&self.lattice, t + 1, j, k);
        let mut targets = [None; 64];
        for (l, target) in targets.iter_mut().enumerate().take(n) {
            *target = self.go(t + 1, state, l);
        }
        let expected = self.lattice.class(t - 1, j) * CLASSES;
        // One round for each automaton state that the next note can lead to.
        for round in 0..n {
            let Some(target) = targets[round] else {
                continue;
            };
            if targets[..round].contains(&Some(target)) {
                continue;
            }
            let mut weights = [ring.zero(); 64 + PAD];
            for l in 0..W {
                weights[l] = if targets[l] == Some(target) {
                    ring.times(shapes[l], moves[l])
                } else {
                    ring.zero()
                };
            }
            for (second, row) in block.chunks_exact_mut(LANES).enumerate() {
                let at = after.index(target, k, 0, expected + second);
                let row: &mut [S::Value; LANES] = row.try_into().expect("a row is 16 lanes");
                let mut sum = *row;
                for from in (0..n).step_by(CLASSES) {
                    let values: &[S::Value; LANES] = after.data[at + from..at + from + LANES]
                        .try_into()
                        .expect("a row is 16 lanes");
                    let weights: &[S::Value; LANES] = weights[from..from + LANES]
                        .try_into()
                        .expect("a row is 16 lanes");
                    for x in 0..LANES {
                        sum[x] = ring.plus(sum[x], ring.times(weights[x], values[x]));
                    }
                }
                *row = sum;
            }
        }
    }
}
