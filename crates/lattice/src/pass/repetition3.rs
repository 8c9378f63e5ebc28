//! Kernels around a repetition factor of three classes between segments of four layers, and the prefix factor of four
//! classes.
//!
//! Written out, the states between the two segments number 12 · 12 classes for every pair of candidates. But states
//! that differ only in classes that the next candidate does not match have the same completions. So the tables between
//! the segments are folded: they keep, for each class, only the combination of all extensions but those of that class
//! (put together without it, never by taking it away: a semiring has no difference). The extensions that do match are
//! combined when the recorded class is met at the last candidate of the segment before.

use pulp::Simd;

use crate::auxiliary::{Auxiliary, NO_MATCH1};
use crate::bits::{Bits, with_residue};
use crate::semiring::Semiring;
use crate::simd::Rows;
use crate::table::PAD;
use crate::weight::CLASSES;

use super::embedding::{TrigramView, lanes, lanes_mut};
use super::kernels::{LANES, leave_one_out};
use super::values::FOLDED_NO_MATCH;
use super::{Pass, Scratch, Values};

/// A layer of the backward pass with the tables of it and the two after it, for one state of the automaton.
#[derive(Clone, Copy)]
struct At<'a, V, D> {
    simd: D,
    t: usize,
    state: usize,
    later: [&'a Values<V>; 3],
}

/// What the values of states `(i, j)` are combined from, for one `j` and one class of `i`.
struct ExtensionRows<'a, S: Semiring, const W: usize> {
    view: &'a TrigramView<'a, S, W>,
    j: usize,
    /// The candidates that can follow `j`.
    ks: Bits,
    /// Rows over the recorded class, one for each `k`, [`BLOCK`] apart.
    rows: &'a [S::Value],
}

impl<S: Semiring, const W: usize> ExtensionRows<'_, S, W> {
    /// Values by the recorded class for `P` candidates `i` of one class, which have all rows in common.
    #[inline(always)]
    fn combine<D: Simd, const P: usize>(
        &self,
        work: Rows<S, D>,
        is: [usize; P],
    ) -> [[S::Value; LANES]; P] {
        let mut weights = [[work.ring.zero(); W]; P];
        for (weights, i) in weights.iter_mut().zip(is) {
            *weights = self.view.along_last(work.simd, i, self.j);
        }
        let mut sums = [[work.ring.zero(); LANES]; P];
        work.add_weighted_together(
            &mut sums,
            self.ks,
            #[inline(always)]
            |k| lanes::<_, LANES>(self.rows, k * BLOCK),
            #[inline(always)]
            |p, k| weights[p][k],
        );
        for sums in &mut sums {
            work.normalize(sums);
        }
        sums
    }
}

/// Weights of the extensions to the candidates of one class, along the candidate between, and where their values begin
/// in the table that they lead to.
struct Matching<V, const W: usize> {
    count: usize,
    /// No class has more candidates: see [`MAX_CANDIDATES`](crate::MAX_CANDIDATES).
    weights: [[V; W]; 6],
    values: [usize; 6],
}

impl<S: Semiring, const W: usize> Pass<S, W> {
    /// Transition weights into layer `t` as `[k][j]` rows; lanes past the candidates are zero.
    #[inline(always)]
    fn transposed_transitions<D: Simd>(&self, simd: D, t: usize, scratch: &mut Scratch<S::Value>) {
        let n = self.lattice.candidates;
        self.embedding
            .transitions_into(simd, &self.lattice, t, &mut scratch.transitions);
        scratch.transposed.clear();
        scratch.transposed.resize(n * W, self.ring.zero());
        for (j, transitions) in scratch.transitions.chunks_exact(W).enumerate().take(n) {
            let column = scratch.transposed[j..].iter_mut().step_by(W);
            for (to, &transition) in column.zip(&transitions[..n]) {
                *to = transition;
            }
        }
    }

    /// The second candidate of a segment, which may match the second class of the segment before: along `j`, all
    /// extensions but those of each class.
    #[inline(always)]
    pub(super) fn match_second<D: Simd>(
        &self,
        simd: D,
        t: usize,
        next: &Values<S::Value>,
        scratch: &mut Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let ring = self.ring;
        let work = Rows::new(ring, simd);
        let view = self.embedding.view(&self.lattice, t);
        self.transposed_transitions(simd, t, scratch);
        for state in 0..self.states {
            for i in Bits(self.embedding.live(t - 2)) {
                let mut parts = [[ring.zero(); W]; CLASSES];
                let mut others = [[ring.zero(); W]; CLASSES];
                for k in Bits(self.embedding.live(t)) {
                    let Some(state) = self.lattice.automaton_next(t, state, k) else {
                        continue;
                    };
                    let mut weights = view.along_middle(simd, i, k);
                    work.multiply(&mut weights, &scratch.transposed[k * W..(k + 1) * W]);
                    let values: &[S::Value; W] =
                        lanes(&next.data, next.index(state, 0, k, NO_MATCH1));
                    work.add_products(
                        &mut parts[k % CLASSES],
                        0..1,
                        #[inline(always)]
                        |_| &weights[..],
                        #[inline(always)]
                        |_| values,
                    );
                }
                let mut total = leave_one_out(work, &parts, &mut others);
                for class in 0..=CLASSES {
                    let sums = if class == FOLDED_NO_MATCH {
                        &mut total
                    } else {
                        &mut others[self.residue(t, class)]
                    };
                    work.normalize(sums);
                    let at = out.index(state, i, 0, class);
                    lanes_mut::<_, W>(&mut out.data, at).copy_from_slice(sums);
                }
            }
        }
    }

    /// The first candidate of a segment, which may match the first class of the segment before: all extensions but
    /// those of each class.
    #[inline(always)]
    pub(super) fn match_first<D: Simd>(
        &self,
        simd: D,
        t: usize,
        next: &Values<S::Value>,
        scratch: &Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let ring = self.ring;
        let work = Rows::new(ring, simd);
        let view = self.embedding.view(&self.lattice, t);
        let residues: [usize; CLASSES] = std::array::from_fn(|class| self.residue(t, class));
        for state in 0..self.states {
            for j in Bits(self.embedding.live(t - 1)) {
                let successors = self.embedding.successors(&self.lattice, t, j);
                let from = [state, j, FOLDED_NO_MATCH];
                let weights = self.valued_transitions(simd, t, next, &scratch.transitions, from);
                let mut parts = [[ring.zero(); W]; CLASSES];
                let mut others = [[ring.zero(); W]; CLASSES];
                for (residue, part) in parts.iter_mut().enumerate() {
                    let ks = Bits(successors & with_residue(residue));
                    work.add_weighted(
                        part,
                        ks,
                        #[inline(always)]
                        |k| view.along_first(j, k),
                        #[inline(always)]
                        |k| weights[k],
                    );
                }
                leave_one_out(work, &parts, &mut others);
                for other in &mut others {
                    work.normalize(other);
                }
                for i in Bits(self.embedding.live(t - 2)) {
                    let at = out.index(state, i, j, 0);
                    for (to, &residue) in out.data[at..at + CLASSES].iter_mut().zip(&residues) {
                        *to = others[residue][i];
                    }
                }
            }
        }
    }

    /// The fourth candidate of a segment: the recorded first class completes the scope of the prefix factor, and is
    /// passed on when a repetition factor follows.
    ///
    /// `later` are the tables of the layers from `t` on.
    #[inline(always)]
    pub(super) fn complete_prefix<D: Simd>(
        &self,
        simd: D,
        t: usize,
        later: [&Values<S::Value>; 3],
        scratch: &mut Scratch<S::Value>,
        out: &mut Values<S::Value>,
    ) {
        let n = self.lattice.candidates;
        let ring = self.ring;
        let work = Rows::new(ring, simd);
        let view = self.embedding.view(&self.lattice, t);
        let second_shift = usize::from(self.lattice.layers[t - 2].shift);
        if later[0].folded {
            self.transposed_transitions(simd, t + 2, scratch);
            let after = &mut scratch.transitions_after;
            self.embedding
                .transitions_into(simd, &self.lattice, t + 1, after);
            self.embedding
                .transitions_into(simd, &self.lattice, t, &mut scratch.transitions);
        }
        let mut blocks = std::mem::take(&mut scratch.blocks);
        blocks.resize(n * (n * BLOCK + LANES), ring.zero());
        let predecessors = self.embedding.predecessors(&self.lattice, t - 1);
        let by_first = out.by_first;
        for state in 0..self.states {
            let here = At {
                simd,
                t,
                state,
                later,
            };
            self.fill_prefix_rows(here, scratch, &mut blocks);
            for j in Bits(self.embedding.live(t - 1)) {
                let blocks = &blocks[j * (n * BLOCK + LANES)..];
                let ks = Bits(self.embedding.successors(&self.lattice, t, j));
                let at = out.index(state, 0, j, 0);
                for residue in 0..CLASSES {
                    let second = (residue + second_shift) % CLASSES;
                    let rows = ExtensionRows {
                        view: &view,
                        j,
                        ks,
                        rows: &blocks[second * CLASSES..],
                    };
                    let to = &mut out.data[at..];
                    let mut left = Bits(predecessors[j] & with_residue(residue));
                    while let Some(first) = left.next() {
                        match (left.next(), left.next()) {
                            (Some(second), Some(third)) => {
                                let is = [first, second, third];
                                put(to, by_first, is, rows.combine(work, is));
                            }
                            (Some(second), None) => {
                                let is = [first, second];
                                put(to, by_first, is, rows.combine(work, is));
                            }
                            (None, _) => {
                                put(to, by_first, [first], rows.combine(work, [first]));
                            }
                        }
                    }
                }
            }
        }
        scratch.blocks = blocks;
    }

    /// Fills, for every `j` and `k`, the `[second class]` rows over the recorded class: prefix factor times transition
    /// times value.
    #[inline(always)]
    fn fill_prefix_rows<D: Simd>(
        &self,
        here: At<'_, S::Value, D>,
        scratch: &mut Scratch<S::Value>,
        blocks: &mut [S::Value],
    ) {
        let At {
            simd,
            t,
            state,
            later,
        } = here;
        let n = self.lattice.candidates;
        let ring = self.ring;
        let work = Rows::new(ring, simd);
        let next = later[0];
        let [shift_j, shift_k] = [t - 1, t].map(|t| usize::from(self.lattice.layers[t].shift));
        let prefix = self.prefix_rows(t);
        let view_after = next
            .folded
            .then(|| self.embedding.view(&self.lattice, t + 1));
        let turn = match next.folded {
            true => usize::from(self.lattice.layers[t + 1].shift),
            false => 0,
        };
        let mut values = [ring.zero(); BLOCK + LANES];
        let mut unfolded = std::mem::take(&mut scratch.unfolded);
        let seconds = self.embedding.live_classes(&self.lattice, t - 2);
        let predecessors = self.embedding.predecessors(&self.lattice, t);
        for k in Bits(self.embedding.live(t)) {
            let state = self.lattice.automaton_next(t, state, k);
            if let Some(state) = state.filter(|_| next.folded) {
                self.unfold(At { state, ..here }, k, scratch, &mut unfolded);
            }
            for j in Bits(predecessors[k]) {
                let block = &mut blocks[j * (n * BLOCK + LANES) + k * BLOCK..][..BLOCK + LANES];
                let Some(state) = state else {
                    block[..BLOCK].fill(ring.zero());
                    continue;
                };
                match &view_after {
                    Some(view) => {
                        let mut weights = view.along_last(simd, j, k);
                        work.multiply(&mut weights, &scratch.transitions_after[k * W..(k + 1) * W]);
                        let mut by_class = [ring.zero(); FRONT + 64 + PAD];
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
                                |from| lanes::<_, LANES>(&unfolded, at + from),
                            );
                            *lanes_mut(&mut values, second * CLASSES) = sum;
                        }
                    }
                    None if next.aux == Auxiliary::Empty => {
                        values.fill(next.at(state, j, k, 0));
                    }
                    None => {
                        for second in Bits(seconds) {
                            for first in 0..CLASSES {
                                values[second * CLASSES + first] =
                                    next.at(state, j, k, first * CLASSES + second);
                            }
                        }
                    }
                }
                let transition = scratch.transitions[j * W + k];
                let [third, fourth] = [(j + shift_j) % CLASSES, (k + shift_k) % CLASSES];
                for second in Bits(seconds) {
                    let mut row = *lanes::<_, LANES>(&values, second * CLASSES);
                    if let Some(prefix) = prefix {
                        work.multiply(&mut row, &prefix.row([second, third, fourth])[..LANES]);
                    }
                    work.scale(&mut row, transition);
                    work.normalize(&mut row);
                    *lanes_mut(block, second * CLASSES) = row;
                }
            }
        }
        scratch.unfolded = unfolded;
    }

    /// Writes the unfolded values after the first candidate `l` of a segment that matches, with `k` before it and the
    /// automaton in the state of `here` after `k`: `[third class][second class]` rows along `l`.
    #[inline(always)]
    fn unfold<D: Simd>(
        &self,
        here: At<'_, S::Value, D>,
        k: usize,
        scratch: &Scratch<S::Value>,
        unfolded: &mut Vec<S::Value>,
    ) {
        let (t, n) = (here.t, self.lattice.candidates);
        let all = self.lattice.automaton.is_none();
        // Without an automaton every entry is written below.
        if !all {
            unfolded.clear();
        }
        unfolded.resize(FRONT + CLASSES * CLASSES * W + PAD, self.ring.zero());
        let mut targets = [None; 64];
        for l in Bits(self.embedding.successors(&self.lattice, t + 1, k)) {
            targets[l] = self.lattice.automaton_next(t + 1, here.state, l);
        }
        // One round for each state of the automaton that `l` can lead to; without an automaton there is one in all.
        for round in 0..n {
            let Some(state) = targets[round] else {
                continue;
            };
            if targets[..round].contains(&Some(state)) {
                continue;
            }
            let reached = (0..n).filter(|&l| targets[l] == Some(state));
            let reached = (!all).then(|| reached.fold(0, |reached, l| reached | 1 << l));
            self.unfold_state(At { state, ..here }, k, reached, scratch, unfolded);
            if all {
                break;
            }
        }
    }

    /// The part of [`Pass::unfold`] for the candidates `l` that lead to one state of the automaton: those `reached`, or
    /// all.
    #[inline(always)]
    fn unfold_state<D: Simd>(
        &self,
        here: At<'_, S::Value, D>,
        k: usize,
        reached: Option<u64>,
        scratch: &Scratch<S::Value>,
        unfolded: &mut [S::Value],
    ) {
        let (ring, simd) = (self.ring, here.simd);
        let work = Rows::new(ring, simd);
        let [_, first, second_table] = here.later;
        let view = self.embedding.view(&self.lattice, here.t + 2);
        let thirds = self.embedding.live_classes(&self.lattice, here.t - 1);
        for second in Bits(self.embedding.live_classes(&self.lattice, here.t - 2)) {
            let others: &[S::Value; W] = lanes(&first.data, first.index(here.state, k, 0, second));
            let matching = self.matching_seconds(here, &view, [k, second], scratch);
            for third in Bits(thirds) {
                let mut sum = *others;
                work.add_products(
                    &mut sum,
                    0..matching.count,
                    #[inline(always)]
                    |nth| &matching.weights[nth][..],
                    #[inline(always)]
                    |nth| lanes::<_, W>(&second_table.data, matching.values[nth] + third * W),
                );
                work.normalize(&mut sum);
                let to: &mut [S::Value; W] =
                    lanes_mut(unfolded, FRONT + (third * CLASSES + second) * W);
                match reached {
                    None => *to = sum,
                    Some(reached) => Bits(reached).for_each(|l| to[l] = sum[l]),
                }
            }
        }
    }

    /// The second candidates `m` of a segment that match the class `second`, with `k` two layers before; `view` is that
    /// of their layer.
    #[inline(always)]
    fn matching_seconds<D: Simd>(
        &self,
        here: At<'_, S::Value, D>,
        view: &TrigramView<'_, S, W>,
        [k, second]: [usize; 2],
        scratch: &Scratch<S::Value>,
    ) -> Matching<S::Value, W> {
        let (ring, simd, t) = (self.ring, here.simd, here.t + 2);
        let work = Rows::new(ring, simd);
        let mut matching = Matching {
            count: 0,
            weights: [[ring.zero(); W]; 6],
            values: [0; 6],
        };
        for m in Bits(self.embedding.live(t) & with_residue(self.residue(t, second))) {
            let Some(state) = self.lattice.automaton_next(t, here.state, m) else {
                continue;
            };
            let weights = &mut matching.weights[matching.count];
            *weights = view.along_middle(simd, k, m);
            work.multiply(weights, &scratch.transposed[m * W..(m + 1) * W]);
            matching.values[matching.count] = here.later[2].index(state, 0, m, 0);
            matching.count += 1;
        }
        matching
    }
}

/// Writes what belongs to some candidates `i`, `by_first` apart.
#[inline(always)]
fn put<V: Copy, const P: usize>(
    to: &mut [V],
    by_first: usize,
    is: [usize; P],
    sums: [[V; LANES]; P],
) {
    for (sums, i) in sums.iter().zip(is) {
        to[i * by_first..][..CLASSES].copy_from_slice(&sums[..CLASSES]);
    }
}

/// Room before the first candidate, so that a row by class can begin with any.
const FRONT: usize = CLASSES;

/// Values of one pair `(j, k)`: by second class, then by recorded class.
const BLOCK: usize = CLASSES * CLASSES;
