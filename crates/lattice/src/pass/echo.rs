//! Kernels around an echo of three classes between segments of four layers, and the four-class head.
//!
//! Written out, the states between the two segments number 12 · 12 classes for every pair of candidates. But all
//! states that differ only in classes that the next note does not meet have the same ways on. So what is kept
//! between the segments is only, for each class, the combination of all ways on but those of that class (put
//! together without it, never by taking it away), and what does meet an echo is combined when it is recalled at
//! the last note of the segment before.

use crate::memory::{FREE1, Memory};
use crate::semiring::Semiring;
use crate::weight::CLASSES;
use crate::wide::row;

use super::kernels::{LANES, exclude};
use super::lifted::{HEAD_ROW, PAD, View, lanes, lanes_mut};
use super::values::FOLDED_FREE;
use super::{Pass, Scratch, Values};

impl<S: Semiring, const W: usize> Pass<S, W> {
    /// Moves into layer `t` as `[k][j]` rows; lanes past the candidates are zero.
    #[inline(always)]
    fn moves_turned(&self, t: usize, scratch: &mut Scratch<S::Value>) {
        let n = self.lattice.candidates;
        self.lifted.moves_into(&self.lattice, t, &mut scratch.moves);
        scratch.turned.clear();
        scratch.turned.resize(n * W, self.ring.zero());
        for (j, moves) in scratch.moves.chunks_exact(W).enumerate().take(n) {
            for (to, &step) in scratch.turned[j..].iter_mut().step_by(W).zip(&moves[..n]) {
                *to = step;
            }
        }
    }

    /// The second note, of which an echo expects a class: all ways on but those of each class, along `j`.
    #[inline(always)]
    pub(super) fn compare(
        &self,
        t: usize,
        next: &Values<S::Value>,
        scratch: &mut Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let view = self.lifted.view(&self.lattice, t);
        self.moves_turned(t, scratch);
        for state in 0..self.states {
            for i in 0..n {
                let mut parts = [[ring.zero(); W]; CLASSES];
                let mut others = [[ring.zero(); W]; CLASSES];
                for (residue, part) in parts.iter_mut().enumerate() {
                    let mut sum = [ring.zero(); W];
                    for k in (residue..n).step_by(CLASSES) {
                        let Some(state) = self.go(t, state, k) else { continue };
                        let shapes = view.along_middle(i, row(k));
                        let steps: &[S::Value; W] = lanes(&scratch.turned, k * W);
                        let values: &[S::Value; W] = lanes(&next.data, next.index(state, 0, k, FREE1));
                        for j in 0..W {
                            sum[j] = ring.plus(sum[j], ring.times(ring.times(shapes[j], steps[j]), values[j]));
                        }
                    }
                    *part = sum;
                }
                let total = exclude(ring, &parts, &mut others);
                for class in 0..=CLASSES {
                    let sums = if class == FOLDED_FREE { &total } else { &others[self.residue(t, class)] };
                    let at = out.index(state, i, 0, class);
                    let to: &mut [S::Value; W] = lanes_mut(&mut out.data, at);
                    for j in 0..W {
                        to[j] = ring.settle(sums[j]);
                    }
                }
            }
        }
    }

    /// The first note, which may begin an echo: all ways on but those of each residue.
    #[inline(always)]
    pub(super) fn enter(
        &self,
        t: usize,
        next: &Values<S::Value>,
        scratch: &Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let view = self.lifted.view(&self.lattice, t);
        for state in 0..self.states {
            for j in 0..n {
                let weights = self.moves_valued(t, next, scratch, [state, j, FOLDED_FREE]);
                let mut parts = [[ring.zero(); W]; CLASSES];
                let mut others = [[ring.zero(); W]; CLASSES];
                for (residue, part) in parts.iter_mut().enumerate() {
                    let mut sum = [ring.zero(); W];
                    for k in (residue..n).step_by(CLASSES) {
                        let shapes = view.along_first(j, row(k));
                        for i in 0..W {
                            sum[i] = ring.plus(sum[i], ring.times(shapes[i], weights[k]));
                        }
                    }
                    *part = sum;
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
    ///
    /// `later` are the tables of the layers from `t` on.
    #[inline(always)]
    pub(super) fn recall(
        &self,
        t: usize,
        later: [&Values<S::Value>; 3],
        scratch: &mut Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let n = self.lattice.candidates;
        let next = later[0];
        let view = self.lifted.view(&self.lattice, t);
        let second_shift = usize::from(self.lattice.layers[t - 2].shift);
        // The recorded class runs along rows from class `turn` on.
        let mut turn = 0;
        if next.folded {
            turn = usize::from(self.lattice.layers[t + 1].shift);
            self.moves_turned(t + 2, scratch);
            self.lifted.moves_into(&self.lattice, t + 1, &mut scratch.moves_after);
            self.lifted.moves_into(&self.lattice, t, &mut scratch.moves);
        }
        let mut blocks = std::mem::take(&mut scratch.rows);
        blocks.clear();
        blocks.resize(n * (n * BLOCK + LANES), self.ring.zero());
        for state in 0..self.states {
            self.fill_blocks(t, state, later, scratch, turn, &mut blocks);
            for j in 0..n {
                let blocks = &blocks[j * (n * BLOCK + LANES)..];
                for residue in 0..CLASSES.min(n) {
                    let second = (residue + second_shift) % CLASSES;
                    let mut from = residue;
                    while from < n {
                        let there = (n - from).div_ceil(CLASSES);
                        let at = out.index(state, from, j, 0);
                        let to = &mut out.data[at..];
                        let by = CLASSES * out.by_first;
                        match there {
                            1 => self.recall_from::<1>(&view, [from, j, second, turn], blocks, by, to),
                            2 => self.recall_from::<2>(&view, [from, j, second, turn], blocks, by, to),
                            _ => self.recall_from::<3>(&view, [from, j, second, turn], blocks, by, to),
                        }
                        from += 3 * CLASSES;
                    }
                }
            }
        }
        scratch.rows = blocks;
    }

    /// Values by the recorded class for `P` candidates `i` an octave of classes apart, which share all rows.
    #[inline(always)]
    fn recall_from<const P: usize>(
        &self,
        view: &View<'_, S, W>,
        [i, j, second, turn]: [usize; 4],
        blocks: &[S::Value],
        by: usize,
        to: &mut [S::Value],
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let mut weights = [[ring.zero(); W]; P];
        for (p, weights) in weights.iter_mut().enumerate() {
            *weights = view.along_last(i + p * CLASSES, j);
        }
        let mut sums = [[ring.zero(); LANES]; P];
        for k in 0..n {
            let values: &[S::Value; LANES] = lanes(blocks, row(k) * BLOCK + second * CLASSES);
            for p in 0..P {
                let weight = weights[p][k];
                for x in 0..LANES {
                    sums[p][x] = ring.plus(sums[p][x], ring.times(weight, values[x]));
                }
            }
        }
        for (p, sums) in sums.iter_mut().enumerate() {
            for sum in sums.iter_mut() {
                *sum = ring.settle(*sum);
            }
            let to = &mut to[p * by..p * by + CLASSES];
            to[turn..].copy_from_slice(&sums[..CLASSES - turn]);
            to[..turn].copy_from_slice(&sums[CLASSES - turn..CLASSES]);
        }
    }

    /// Fills, for every `j` and `k`, the `[second class]` rows over the recorded class of head, move and value.
    #[inline(always)]
    fn fill_blocks(
        &self,
        t: usize,
        state: usize,
        later: [&Values<S::Value>; 3],
        scratch: &mut Scratch<S::Value>,
        turn: usize,
        blocks: &mut [S::Value],
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let next = later[0];
        let [shift_j, shift_k] = [t - 1, t].map(|t| usize::from(self.lattice.layers[t].shift));
        let head = self.lifted.head_rows(t);
        let view_after = next.folded.then(|| self.lifted.view(&self.lattice, t + 1));
        let mut values = [ring.zero(); BLOCK + LANES];
        let mut ways = std::mem::take(&mut scratch.ways);
        for k in 0..n {
            let state = self.go(t, state, k);
            if let Some(state) = state.filter(|_| next.folded) {
                self.fill_ways(t, state, k, later, scratch, &mut ways);
            }
            for j in 0..n {
                let Some(state) = state else {
                    blocks[j * (n * BLOCK + LANES) + k * BLOCK..][..BLOCK].fill(ring.zero());
                    continue;
                };
                let step = scratch.moves[j * W + k];
                match &view_after {
                    Some(view) => {
                        let shapes = view.along_last(j, k);
                        let steps: &[S::Value; W] = lanes(&scratch.moves_after, k * W);
                        let mut weights = [ring.zero(); 64 + PAD];
                        for l in 0..W {
                            weights[l] = ring.settle(ring.times(shapes[l], steps[l]));
                        }
                        let kept: &[S::Value; LANES] = lanes(&next.data, next.index(state, j, k, 0));
                        let third = (j + shift_j) % CLASSES;
                        for second in 0..CLASSES {
                            let mut sum = *kept;
                            let at = (third * CLASSES + row(second)) * W;
                            for from in (0..n).step_by(CLASSES) {
                                let ways: &[S::Value; LANES] = lanes(&ways, at + from);
                                let weights: &[S::Value; LANES] = lanes(&weights, from);
                                for x in 0..LANES {
                                    sum[x] = ring.plus(sum[x], ring.times(weights[x], ways[x]));
                                }
                            }
                            values[second * CLASSES..second * CLASSES + LANES].copy_from_slice(&sum);
                        }
                    }
                    None if next.memory == Memory::Nothing => values.fill(next.at(state, j, k, 0)),
                    None => {
                        for second in 0..CLASSES {
                            for first in 0..CLASSES {
                                values[second * CLASSES + first] = next.at(state, j, k, first * CLASSES + second);
                            }
                        }
                    }
                }
                let classes = (j + shift_j) % CLASSES * CLASSES + (k + shift_k) % CLASSES;
                let block = &mut blocks[j * (n * BLOCK + LANES) + k * BLOCK..][..BLOCK + LANES];
                for second in 0..CLASSES {
                    let values: &[S::Value; LANES] = lanes(&values, row(second) * CLASSES);
                    let mut block_row = [ring.zero(); LANES];
                    match head {
                        None => {
                            for x in 0..LANES {
                                block_row[x] = ring.settle(ring.times(step, values[x]));
                            }
                        }
                        Some(head) => {
                            let head: &[S::Value; LANES] = lanes(head, (classes * CLASSES + second) * HEAD_ROW + turn);
                            for x in 0..LANES {
                                block_row[x] = ring.settle(ring.times(ring.times(step, head[x]), values[x]));
                            }
                        }
                    }
                    block[second * CLASSES..second * CLASSES + LANES].copy_from_slice(&block_row);
                }
            }
        }
        scratch.ways = ways;
    }

    /// Writes the values after the first note `l` of a segment, with `k` before and the automaton in `state` after
    /// `k`: `[third class][second class]` rows along `l`, for each echo that `l` may have begun.
    #[inline(always)]
    fn fill_ways(
        &self,
        t: usize,
        state: usize,
        k: usize,
        later: [&Values<S::Value>; 3],
        scratch: &Scratch<S::Value>,
        ways: &mut Vec<S::Value>,
    ) {
        let (ring, n) = (self.ring, self.lattice.candidates);
        let (begun, compared) = (later[1], later[2]);
        let view = self.lifted.view(&self.lattice, t + 2);
        ways.clear();
        ways.resize(CLASSES * CLASSES * W + PAD, ring.zero());
        let mut targets = [None; 64];
        for (l, target) in targets.iter_mut().enumerate().take(n) {
            *target = self.go(t + 1, state, l);
        }
        let all = self.lattice.automaton.is_none();
        // One round for each state of the automaton that `l` can lead to.
        for round in 0..n {
            let Some(state) = targets[round] else { continue };
            if targets[..round].contains(&Some(state)) {
                continue;
            }
            for second in 0..CLASSES {
                let others: &[S::Value; W] = lanes(&begun.data, begun.index(state, k, 0, second));
                let mut count = 0;
                let mut weights = [[ring.zero(); W]; 6];
                let mut froms = [0; 6];
                for m in (self.residue(t + 2, second)..n).step_by(CLASSES) {
                    let Some(state) = self.go(t + 2, state, m) else { continue };
                    let shapes = view.along_middle(k, row(m));
                    let steps: &[S::Value; W] = lanes(&scratch.turned, m * W);
                    for l in 0..W {
                        weights[count][l] = ring.settle(ring.times(shapes[l], steps[l]));
                    }
                    froms[count] = compared.index(state, 0, m, 0);
                    count += 1;
                }
                for third in 0..CLASSES {
                    let mut sum = *others;
                    for (weights, &from) in weights.iter().zip(&froms).take(count) {
                        let values: &[S::Value; W] = lanes(&compared.data, from + row(third) * W);
                        for l in 0..W {
                            sum[l] = ring.plus(sum[l], ring.times(weights[l], values[l]));
                        }
                    }
                    let at = (third * CLASSES + second) * W;
                    let to: &mut [S::Value; W] = lanes_mut(ways, at);
                    if all {
                        for l in 0..W {
                            to[l] = ring.settle(sum[l]);
                        }
                    } else {
                        for l in (0..n).filter(|&l| targets[l] == Some(state)) {
                            to[l] = ring.settle(sum[l]);
                        }
                    }
                }
            }
            if all {
                break;
            }
        }
    }
}

/// Values of one pair `(j, k)`: by second class, then by recorded class.
const BLOCK: usize = CLASSES * CLASSES;
