//! Kernels around an echo of three classes between segments of four layers, and the four-class head.
//!
//! Written out, the states between the two segments number 12 · 12 classes for every pair of candidates. But all
//! states that differ only in classes that the next note does not meet have the same ways on. So what is kept
//! between the segments is only, for each class, the combination of all ways on but those of that class (put
//! together without it, never by taking it away), and what does meet an echo is combined when it is recalled at
//! the last note of the segment before.

use pulp::Simd;

use crate::bits::{Bits, with_residue};
use crate::memory::{FREE1, Memory};
use crate::semiring::Semiring;
use crate::table::PAD;
use crate::weight::CLASSES;
use crate::wide::Rows;

use super::kernels::{LANES, exclude};
use super::lifted::{View, lanes, lanes_mut};
use super::values::FOLDED_FREE;
use super::{Pass, Scratch, Values};

impl<S: Semiring, const W: usize> Pass<S, W> {
    /// Moves into layer `t` as `[k][j]` rows; lanes past the candidates are zero.
    #[inline(always)]
    fn moves_turned<D: Simd>(&self, simd: D, t: usize, scratch: &mut Scratch<S::Value>) {
        let n = self.lattice.candidates;
        self.lifted
            .moves_into(simd, &self.lattice, t, &mut scratch.moves);
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
    pub(super) fn compare<D: Simd>(
        &self,
        simd: D,
        t: usize,
        next: &Values<S::Value>,
        scratch: &mut Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let ring = self.ring;
        let work = Rows { ring, simd };
        let view = self.lifted.view(&self.lattice, t);
        self.moves_turned(simd, t, scratch);
        for state in 0..self.states {
            for i in Bits(self.lifted.live(t - 2)) {
                let mut parts = [[ring.zero(); W]; CLASSES];
                let mut others = [[ring.zero(); W]; CLASSES];
                for k in Bits(self.lifted.live(t)) {
                    let Some(state) = self.go(t, state, k) else {
                        continue;
                    };
                    let mut weights = view.along_middle(simd, i, k);
                    work.multiply(&mut weights, &scratch.turned[k * W..(k + 1) * W]);
                    let values: &[S::Value; W] = lanes(&next.data, next.index(state, 0, k, FREE1));
                    work.add_products(
                        &mut parts[k % CLASSES],
                        0..1,
                        #[inline(always)]
                        |_| &weights[..],
                        #[inline(always)]
                        |_| values,
                    );
                }
                let mut total = exclude(work, &parts, &mut others);
                for class in 0..=CLASSES {
                    let sums = if class == FOLDED_FREE {
                        &mut total
                    } else {
                        &mut others[self.residue(t, class)]
                    };
                    work.settle(sums);
                    let at = out.index(state, i, 0, class);
                    lanes_mut::<_, W>(&mut out.data, at).copy_from_slice(sums);
                }
            }
        }
    }

    /// The first note, which may begin an echo: all ways on but those of each class.
    #[inline(always)]
    pub(super) fn enter<D: Simd>(
        &self,
        simd: D,
        t: usize,
        next: &Values<S::Value>,
        scratch: &Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let ring = self.ring;
        let work = Rows { ring, simd };
        let view = self.lifted.view(&self.lattice, t);
        let residues: [usize; CLASSES] = std::array::from_fn(|class| self.residue(t, class));
        for state in 0..self.states {
            for j in Bits(self.lifted.live(t - 1)) {
                let ways_on = self.lifted.ways_on(&self.lattice, t, j);
                let weights =
                    self.moves_valued(simd, t, next, &scratch.moves, [state, j, FOLDED_FREE]);
                let mut parts = [[ring.zero(); W]; CLASSES];
                let mut others = [[ring.zero(); W]; CLASSES];
                for (residue, part) in parts.iter_mut().enumerate() {
                    let ks = Bits(ways_on & with_residue(residue));
                    work.add_weighted(
                        part,
                        ks,
                        #[inline(always)]
                        |k| view.along_first(j, k),
                        #[inline(always)]
                        |k| weights[k],
                    );
                }
                exclude(work, &parts, &mut others);
                for other in &mut others {
                    work.settle(other);
                }
                for i in Bits(self.lifted.live(t - 2)) {
                    let at = out.index(state, i, j, 0);
                    for (to, &residue) in out.data[at..at + CLASSES].iter_mut().zip(&residues) {
                        *to = others[residue][i];
                    }
                }
            }
        }
    }

    /// The fourth note: the recorded class is recalled for the head, and passed on when an echo may follow.
    ///
    /// `later` are the tables of the layers from `t` on.
    #[inline(always)]
    pub(super) fn recall<D: Simd>(
        &self,
        simd: D,
        t: usize,
        later: [&Values<S::Value>; 3],
        scratch: &mut Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let n = self.lattice.candidates;
        let next = later[0];
        let view = self.lifted.view(&self.lattice, t);
        let second_shift = usize::from(self.lattice.layers[t - 2].shift);
        if next.folded {
            self.moves_turned(simd, t + 2, scratch);
            self.lifted
                .moves_into(simd, &self.lattice, t + 1, &mut scratch.moves_after);
            self.lifted
                .moves_into(simd, &self.lattice, t, &mut scratch.moves);
        }
        let mut blocks = std::mem::take(&mut scratch.blocks);
        blocks.resize(n * (n * BLOCK + LANES), self.ring.zero());
        let ways_in = self.lifted.ways_in(&self.lattice, t - 1);
        let by_first = out.by_first;
        for state in 0..self.states {
            self.fill_blocks(simd, t, state, later, scratch, &mut blocks);
            for j in Bits(self.lifted.live(t - 1)) {
                let blocks = &blocks[j * (n * BLOCK + LANES)..];
                let ks = Bits(self.lifted.ways_on(&self.lattice, t, j));
                let at = out.index(state, 0, j, 0);
                for residue in 0..CLASSES {
                    let second = (residue + second_shift) % CLASSES;
                    let which = [j, second];
                    let mut left = Bits(ways_in[j] & with_residue(residue));
                    while let Some(first) = left.next() {
                        let to = &mut out.data[at..];
                        match (left.next(), left.next()) {
                            (Some(second), Some(third)) => {
                                let is = [first, second, third];
                                self.recall_from(simd, &view, is, which, ks, blocks, by_first, to);
                            }
                            (Some(second), None) => {
                                let is = [first, second];
                                self.recall_from(simd, &view, is, which, ks, blocks, by_first, to);
                            }
                            (None, _) => {
                                self.recall_from(
                                    simd,
                                    &view,
                                    [first],
                                    which,
                                    ks,
                                    blocks,
                                    by_first,
                                    to,
                                );
                            }
                        }
                    }
                }
            }
        }
        scratch.blocks = blocks;
    }

    /// Values by the recorded class for `P` candidates `i` of one class, which share all rows.
    #[inline(always)]
    #[expect(
        clippy::too_many_arguments,
        reason = "tables to read and the place to fill"
    )]
    fn recall_from<D: Simd, const P: usize>(
        &self,
        simd: D,
        view: &View<'_, S, W>,
        is: [usize; P],
        [j, second]: [usize; 2],
        ks: Bits,
        blocks: &[S::Value],
        by_first: usize,
        to: &mut [S::Value],
    ) {
        let work = Rows {
            ring: self.ring,
            simd,
        };
        let mut weights = [[self.ring.zero(); W]; P];
        for (weights, i) in weights.iter_mut().zip(is) {
            *weights = view.along_last(simd, i, j);
        }
        let mut sums = [[self.ring.zero(); LANES]; P];
        work.add_weighted_together(
            &mut sums,
            ks,
            #[inline(always)]
            |k| lanes::<_, LANES>(blocks, k * BLOCK + second * CLASSES),
            #[inline(always)]
            |p, k| weights[p][k],
        );
        for (sums, i) in sums.iter_mut().zip(is) {
            work.settle(sums);
            to[i * by_first..][..CLASSES].copy_from_slice(&sums[..CLASSES]);
        }
    }

    /// Fills, for every `j` and `k`, the `[second class]` rows over the recorded class of head, move and value.
    #[inline(always)]
    fn fill_blocks<D: Simd>(
        &self,
        simd: D,
        t: usize,
        state: usize,
        later: [&Values<S::Value>; 3],
        scratch: &mut Scratch<S::Value>,
        blocks: &mut [S::Value],
    ) {
        let n = self.lattice.candidates;
        let work = Rows {
            ring: self.ring,
            simd,
        };
        let next = later[0];
        let [shift_j, shift_k] = [t - 1, t].map(|t| usize::from(self.lattice.layers[t].shift));
        let head = self.head_rows(t);
        let view_after = next.folded.then(|| self.lifted.view(&self.lattice, t + 1));
        let turn = match next.folded {
            true => usize::from(self.lattice.layers[t + 1].shift),
            false => 0,
        };
        let mut values = [self.ring.zero(); BLOCK + LANES];
        let mut ways = std::mem::take(&mut scratch.ways);
        let seconds = self.lifted.live_classes(&self.lattice, t - 2);
        let ways_in = self.lifted.ways_in(&self.lattice, t);
        for k in Bits(self.lifted.live(t)) {
            let state = self.go(t, state, k);
            if let Some(state) = state.filter(|_| next.folded) {
                self.fill_ways(simd, t, state, k, later, scratch, &mut ways);
            }
            for j in Bits(ways_in[k]) {
                let block = &mut blocks[j * (n * BLOCK + LANES) + k * BLOCK..][..BLOCK + LANES];
                let Some(state) = state else {
                    block[..BLOCK].fill(self.ring.zero());
                    continue;
                };
                match &view_after {
                    Some(view) => {
                        let mut weights = view.along_last(simd, j, k);
                        work.multiply(&mut weights, &scratch.moves_after[k * W..(k + 1) * W]);
                        let mut by_class = [self.ring.zero(); FRONT + 64 + PAD];
                        by_class[FRONT..FRONT + W].copy_from_slice(&weights);
                        let kept: &[S::Value; LANES] =
                            lanes(&next.data, next.index(state, j, k, 0));
                        let third = (j + shift_j) % CLASSES;
                        for second in Bits(seconds) {
                            let mut sum = *kept;
                            let at = (third * CLASSES + second) * W;
                            // From the last place before the candidates that would have class 0 on.
                            work.add_products(
                                &mut sum,
                                (FRONT - turn..FRONT + n).step_by(CLASSES),
                                #[inline(always)]
                                |from| lanes::<_, LANES>(&by_class, from),
                                #[inline(always)]
                                |from| lanes::<_, LANES>(&ways, at + from),
                            );
                            *lanes_mut(&mut values, second * CLASSES) = sum;
                        }
                    }
                    None if next.memory == Memory::Nothing => values.fill(next.at(state, j, k, 0)),
                    None => {
                        for second in Bits(seconds) {
                            for first in 0..CLASSES {
                                values[second * CLASSES + first] =
                                    next.at(state, j, k, first * CLASSES + second);
                            }
                        }
                    }
                }
                let step = scratch.moves[j * W + k];
                let last_two = [(j + shift_j) % CLASSES, (k + shift_k) % CLASSES];
                for second in Bits(seconds) {
                    let mut row = *lanes::<_, LANES>(&values, second * CLASSES);
                    if let Some(head) = head {
                        let [third, fourth] = last_two;
                        work.multiply(&mut row, &head.row([second, third, fourth])[..LANES]);
                    }
                    work.scale(&mut row, step);
                    work.settle(&mut row);
                    *lanes_mut(block, second * CLASSES) = row;
                }
            }
        }
        scratch.ways = ways;
    }

    /// Writes the values after the first note `l` of a segment, with `k` before and the automaton in `state` after
    /// `k`: `[third class][second class]` rows along `l`, for each echo that `l` may have begun.
    #[inline(always)]
    #[expect(
        clippy::too_many_arguments,
        reason = "tables to read, rows to work in and the place to fill"
    )]
    fn fill_ways<D: Simd>(
        &self,
        simd: D,
        t: usize,
        state: usize,
        k: usize,
        later: [&Values<S::Value>; 3],
        scratch: &Scratch<S::Value>,
        ways: &mut Vec<S::Value>,
    ) {
        let n = self.lattice.candidates;
        let work = Rows {
            ring: self.ring,
            simd,
        };
        let (begun, compared) = (later[1], later[2]);
        let view = self.lifted.view(&self.lattice, t + 2);
        // Without an automaton every entry is written below.
        if self.lattice.automaton.is_some() {
            ways.clear();
        }
        ways.resize(FRONT + CLASSES * CLASSES * W + PAD, self.ring.zero());
        let mut targets = [None; 64];
        for l in Bits(self.lifted.ways_on(&self.lattice, t + 1, k)) {
            targets[l] = self.go(t + 1, state, l);
        }
        let all = self.lattice.automaton.is_none();
        let seconds = self.lifted.live_classes(&self.lattice, t - 2);
        let thirds = self.lifted.live_classes(&self.lattice, t - 1);
        // One round for each state of the automaton that `l` can lead to.
        for round in 0..n {
            let Some(state) = targets[round] else {
                continue;
            };
            if targets[..round].contains(&Some(state)) {
                continue;
            }
            for second in Bits(seconds) {
                let others: &[S::Value; W] = lanes(&begun.data, begun.index(state, k, 0, second));
                let mut count = 0;
                let mut weights = [[self.ring.zero(); W]; 6];
                let mut froms = [0; 6];
                let ms = self.lifted.live(t + 2) & with_residue(self.residue(t + 2, second));
                for m in Bits(ms) {
                    let Some(state) = self.go(t + 2, state, m) else {
                        continue;
                    };
                    weights[count] = view.along_middle(simd, k, m);
                    work.multiply(&mut weights[count], &scratch.turned[m * W..(m + 1) * W]);
                    froms[count] = compared.index(state, 0, m, 0);
                    count += 1;
                }
                for third in Bits(thirds) {
                    let mut sum = *others;
                    work.add_products(
                        &mut sum,
                        0..count,
                        #[inline(always)]
                        |way| &weights[way][..],
                        #[inline(always)]
                        |way| lanes::<_, W>(&compared.data, froms[way] + third * W),
                    );
                    work.settle(&mut sum);
                    let at = FRONT + (third * CLASSES + second) * W;
                    let to: &mut [S::Value; W] = lanes_mut(ways, at);
                    if all {
                        *to = sum;
                    } else {
                        for l in (0..n).filter(|&l| targets[l] == Some(state)) {
                            to[l] = sum[l];
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

/// Room before the first candidate, so that a row by class can begin with any.
const FRONT: usize = CLASSES;

/// Values of one pair `(j, k)`: by second class, then by recorded class.
const BLOCK: usize = CLASSES * CLASSES;
