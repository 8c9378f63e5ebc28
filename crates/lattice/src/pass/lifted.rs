//! A lattice's tables lifted into one semiring and laid out so that every inner loop runs along a row.

use std::sync::Arc;

use pulp::Simd;

use crate::bits::Bits;
use crate::lattice::Lattice;
use crate::memory::Plan;
use crate::semiring::Semiring;
use crate::table::{ClassTable, ShapeTable, StepTable};
use crate::weight::{CLASSES, NEVER};
use crate::wide::Rows;

/// Room behind every flat table, so that a row may be read past its end.
pub(crate) const PAD: usize = 64;
/// Length of a row of head weights: the twelve first classes twice, so that it can be read from any class on.
pub(crate) const HEAD_ROW: usize = 2 * CLASSES + 4;

/// A shape table in the three orders in which passes run along it.
pub(crate) struct Shapes<V> {
    row: usize,
    /// `[gates][second difference]`, along the first candidate.
    first: Vec<V>,
    /// `[gates][sum of both differences]`, along the middle candidate.
    middle: Vec<V>,
    /// `[gates][first difference]`, along the last candidate.
    last: Vec<V>,
}

impl<V: Copy> Shapes<V> {
    fn new<S: Semiring<Value = V>>(ring: S, table: &ShapeTable, lanes: usize) -> Self {
        let n = table.candidates();
        let row = n - 1 + lanes;
        let (width, wide) = (2 * n - 1, 4 * n - 3);
        let zero = ring.zero();
        let mut first = vec![zero; 4 * width * row];
        let mut middle = vec![zero; 4 * wide * row];
        let mut last = vec![zero; 4 * width * row];
        let weights = table.weights().chunks_exact(width);
        for (line, weights) in weights.enumerate() {
            let (gates, one) = (line / width, line % width);
            for (two, &weight) in weights.iter().enumerate() {
                let value = ring.lift(weight);
                // Differences are counted from the most negative one.
                first[(gates * width + two) * row + width - 1 - one] = value;
                middle[(gates * wide + one + two) * row + one] = value;
                last[(gates * width + one) * row + two] = value;
            }
        }
        Self {
            row,
            first,
            middle,
            last,
        }
    }
}

/// Steps of one table from layers of one shift.
struct Steps<V> {
    /// `[from][to]` in rows of the lane count.
    weights: Vec<V>,
    /// By the candidate left, those that it can go to.
    targets: Vec<u64>,
}

impl<V: Copy> Steps<V> {
    fn new<S: Semiring<Value = V>>(ring: S, table: &StepTable, shift: u8, lanes: usize) -> Self {
        let n = table.candidates();
        let mut weights = vec![ring.zero(); n * lanes];
        let mut targets = vec![0; n];
        for j in 0..n {
            let row = table.weights_from((j + usize::from(shift)) % CLASSES, j);
            for (k, &weight) in row.iter().enumerate() {
                weights[j * lanes + k] = ring.lift(weight);
                targets[j] |= u64::from(weight != NEVER) << k;
            }
        }
        Self { weights, targets }
    }
}

/// A table of three classes along its first and along its last class, repeated over all candidates.
pub(crate) struct Triples<V> {
    row: usize,
    along_first: Vec<V>,
    along_last: Vec<V>,
}

impl<V: Copy> Triples<V> {
    fn new<S: Semiring<Value = V>>(ring: S, table: &ClassTable, lanes: usize) -> Self {
        let row = lanes + CLASSES;
        let mut along_first = Vec::with_capacity(CLASSES * CLASSES * row);
        let mut along_last = Vec::with_capacity(CLASSES * CLASSES * row);
        for a in 0..CLASSES {
            for b in 0..CLASSES {
                along_first
                    .extend((0..row).map(|at| ring.lift(table.weight(&[at % CLASSES, a, b]))));
                along_last
                    .extend((0..row).map(|at| ring.lift(table.weight(&[a, b, at % CLASSES]))));
            }
        }
        Self {
            row,
            along_first,
            along_last,
        }
    }
}

/// Which lifted tables a layer uses.
struct Uses {
    shapes: usize,
    steps: usize,
    triples: Option<usize>,
    pair: Option<Arc<ClassTable>>,
    single: Option<Arc<ClassTable>>,
    head4: Option<usize>,
}

/// Weights that let through the closed and the open candidates of a layer.
pub(crate) struct Gates<V, const W: usize> {
    closed: [V; W],
    open: [V; W],
}

/// Everything of a lattice that a pass reads, in the semiring's values.
pub(crate) struct Lifted<S: Semiring, const W: usize> {
    pub(crate) ring: S,
    shapes: Vec<Shapes<S::Value>>,
    steps: Vec<Steps<S::Value>>,
    triples: Vec<Triples<S::Value>>,
    /// `[third][fourth][second]` rows of [`HEAD_ROW`] first classes.
    heads: Vec<Vec<S::Value>>,
    uses: Vec<Uses>,
    gates: Vec<Gates<S::Value, W>>,
    /// Candidates of each layer that are not forbidden by themselves.
    live: Vec<u64>,
}

impl<V: Copy, const W: usize> Gates<V, W> {
    fn new<S: Semiring<Value = V>>(ring: S, gate: u64) -> Self {
        let (mut closed, mut open) = ([ring.neutral(); W], [ring.zero(); W]);
        for k in (0..W).filter(|k| gate >> k & 1 == 1) {
            std::mem::swap(&mut closed[k], &mut open[k]);
        }
        Self { closed, open }
    }
}

/// Position of `item` among `seen`, compared by address; appended when new.
fn index_of<T>(seen: &mut Vec<Arc<T>>, item: &Arc<T>) -> usize {
    seen.iter()
        .position(|other| Arc::ptr_eq(other, item))
        .unwrap_or_else(|| {
            seen.push(Arc::clone(item));
            seen.len() - 1
        })
}

impl<S: Semiring, const W: usize> Lifted<S, W> {
    pub(crate) fn new(ring: S, lattice: &Lattice, plan: &Plan) -> Self {
        let mut shape_tables = Vec::new();
        let mut step_tables = Vec::new();
        let mut step_keys: Vec<(usize, u8)> = Vec::new();
        let mut triple_tables = Vec::new();
        let mut head_tables = Vec::new();
        let mut uses = Vec::with_capacity(lattice.len());
        for (t, (layer, place)) in lattice.layers.iter().zip(&plan.places).enumerate() {
            let segment = &lattice.segments[place.segment];
            let window = if place.window_is_head {
                &segment.head
            } else {
                &segment.tail
            };
            let of_length = |length: usize| window.clone().filter(|_| place.window == length);
            let key = (
                index_of(&mut step_tables, &layer.step),
                lattice.layers[t.saturating_sub(1)].shift,
            );
            let steps = step_keys
                .iter()
                .position(|&other| other == key)
                .unwrap_or_else(|| {
                    step_keys.push(key);
                    step_keys.len() - 1
                });
            uses.push(Uses {
                shapes: index_of(&mut shape_tables, &layer.shape),
                steps,
                triples: of_length(3).map(|table| index_of(&mut triple_tables, &table)),
                pair: of_length(2),
                single: of_length(1),
                head4: segment
                    .head
                    .as_ref()
                    .filter(|_| place.head4)
                    .map(|table| index_of(&mut head_tables, table)),
            });
        }
        let steps = step_keys
            .iter()
            .map(|&(table, shift)| Steps::new(ring, &step_tables[table], shift, W))
            .collect();
        let heads = head_tables
            .iter()
            .map(|table: &Arc<ClassTable>| {
                let lifted: Vec<_> = table
                    .weights()
                    .iter()
                    .map(|&weight| ring.lift(weight))
                    .collect();
                let mut rows = Vec::with_capacity(CLASSES.pow(3) * HEAD_ROW);
                for c3 in 0..CLASSES {
                    for c4 in 0..CLASSES {
                        for c2 in 0..CLASSES {
                            let from = (c2 * CLASSES + c3) * CLASSES + c4;
                            let row = lifted[from..].iter().step_by(CLASSES.pow(3)).cycle();
                            rows.extend(row.take(HEAD_ROW));
                        }
                    }
                }
                rows
            })
            .collect();
        let live = (0..lattice.len())
            .map(|t| {
                let single = |k| {
                    uses[t]
                        .single
                        .as_ref()
                        .map(|table| table.weight(&[lattice.class(t, k)]))
                };
                Bits(lattice.allowed[t])
                    .filter(|&k| lattice.layers[t].notes[k] != NEVER && single(k) != Some(NEVER))
                    .fold(0, |live, k| live | 1 << k)
            })
            .collect();
        Self {
            ring,
            shapes: shape_tables
                .iter()
                .map(|table| Shapes::new(ring, table, W))
                .collect(),
            steps,
            triples: triple_tables
                .iter()
                .map(|table| Triples::new(ring, table, W))
                .collect(),
            heads,
            uses,
            gates: lattice
                .layers
                .iter()
                .map(|layer| Gates::new(ring, layer.gate))
                .collect(),
            live,
        }
    }

    /// The candidates at `t` that are not forbidden by themselves.
    #[inline(always)]
    pub(crate) fn live(&self, t: usize) -> u64 {
        self.live[t]
    }

    /// The classes of the candidates at `t` that are not forbidden by themselves.
    #[inline(always)]
    pub(crate) fn live_classes(&self, lattice: &Lattice, t: usize) -> u64 {
        Bits(self.live[t]).fold(0, |classes, k| classes | 1 << lattice.class(t, k))
    }

    /// The candidates at `t` (from 1 on) to which a step from `j` may go.
    #[inline(always)]
    pub(crate) fn ways_on(&self, t: usize, j: usize) -> u64 {
        self.steps[self.uses[t].steps].targets[j] & self.live[t]
    }

    /// By candidate at `t` (from 1 on), those before it from which a step may come.
    pub(crate) fn ways_in(&self, t: usize) -> [u64; W] {
        let mut ways = [0; W];
        for j in Bits(self.live[t - 1]) {
            for k in Bits(self.ways_on(t, j)) {
                ways[k] |= 1 << j;
            }
        }
        ways
    }

    /// Weight of candidate `k` alone at layer `t`: its note, the pins, a table of one class.
    pub(crate) fn note(&self, lattice: &Lattice, t: usize, k: usize) -> S::Value {
        if !lattice.is_allowed(t, k) {
            return self.ring.zero();
        }
        let mut weight = lattice.layers[t].notes[k];
        if let Some(table) = &self.uses[t].single {
            let more = table.weight(&[lattice.class(t, k)]);
            weight = if more == NEVER || weight == NEVER {
                NEVER
            } else {
                weight + more
            };
        }
        self.ring.lift(weight)
    }

    /// Weight of going from `j` at `t - 1` to `k` at `t`, apart from shapes: one entry of [`Lifted::moves_into`].
    pub(crate) fn move_into(&self, lattice: &Lattice, t: usize, j: usize, k: usize) -> S::Value {
        let ring = self.ring;
        let step = self.steps[self.uses[t].steps].weights[j * W + k];
        let weight = ring.settle(ring.times(step, self.note(lattice, t, k)));
        match &self.uses[t].pair {
            None => weight,
            Some(table) => {
                let pair = table.weight(&[lattice.class(t - 1, j), lattice.class(t, k)]);
                ring.settle(ring.times(weight, ring.lift(pair)))
            }
        }
    }

    /// Writes the weights of going from `j` at `t - 1` to `k` at `t`, apart from shapes, as `[j][k]` rows:
    /// note, step and tables of one or two classes. Lanes past the candidates are zero.
    #[inline(always)]
    pub(crate) fn moves_into<D: Simd>(
        &self,
        simd: D,
        lattice: &Lattice,
        t: usize,
        rows: &mut Vec<S::Value>,
    ) {
        let (ring, n) = (self.ring, lattice.candidates);
        let mut notes = [ring.zero(); W];
        for (k, note) in notes.iter_mut().enumerate().take(n) {
            *note = self.note(lattice, t, k);
        }
        rows.clear();
        rows.extend_from_slice(&self.steps[self.uses[t].steps].weights);
        let work = Rows { ring, simd };
        for row in rows.chunks_exact_mut(W) {
            work.multiply(row, &notes);
            S::settle_weights(ring, simd, row);
        }
        rows.resize(n * W + PAD, ring.zero());
        if let Some(table) = &self.uses[t].pair {
            for j in 0..n {
                for k in 0..n {
                    let weight = table.weight(&[lattice.class(t - 1, j), lattice.class(t, k)]);
                    let to = &mut rows[j * W + k];
                    *to = ring.settle(ring.times(*to, ring.lift(weight)));
                }
            }
        }
    }

    /// The shapes of layer `t` (at least 2), ready for a loop over candidates.
    #[inline(always)]
    pub(crate) fn view(&self, lattice: &Lattice, t: usize) -> View<'_, S, W> {
        let uses = &self.uses[t];
        let [two_before, before, here] =
            [t - 2, t - 1, t].map(|t| usize::from(lattice.layers[t].shift));
        View {
            ring: self.ring,
            shapes: &self.shapes[uses.shapes],
            triples: uses.triples.map(|triples| &self.triples[triples]),
            reach: lattice.candidates - 1,
            gates: [lattice.layers[t - 1].gate, lattice.layers[t].gate],
            gate_rows: [&self.gates[t - 1], &self.gates[t]],
            shifts: [two_before, before, here],
        }
    }

    /// Four-class head completed at `t`, `[third][fourth][second]` rows of [`HEAD_ROW`] first classes.
    #[inline(always)]
    pub(crate) fn head_rows(&self, t: usize) -> Option<&[S::Value]> {
        self.uses[t].head4.map(|head| &self.heads[head][..])
    }

    /// Four-class head weight of one run of classes completed at `t`; neutral when there is no such head.
    #[inline(always)]
    pub(crate) fn head(&self, t: usize, [c1, c2, c3, c4]: [usize; 4]) -> S::Value {
        self.uses[t].head4.map_or(self.ring.neutral(), |head| {
            self.heads[head][((c3 * CLASSES + c4) * CLASSES + c2) * HEAD_ROW + c1]
        })
    }
}

/// One layer's shapes, for candidates `(i, j, k)` at the two layers before and the layer itself.
pub(crate) struct View<'a, S: Semiring, const W: usize> {
    ring: S,
    shapes: &'a Shapes<S::Value>,
    triples: Option<&'a Triples<S::Value>>,
    /// Largest difference of indices.
    reach: usize,
    /// Gates of the middle and of the last candidates.
    gates: [u64; 2],
    gate_rows: [&'a Gates<S::Value, W>; 2],
    shifts: [usize; 3],
}

/// The `W` lanes of `from` that begin at `at`.
#[inline(always)]
pub(crate) fn lanes<V, const W: usize>(from: &[V], at: usize) -> &[V; W] {
    from[at..at + W].try_into().expect("a row is W lanes")
}

/// The `W` lanes of `to` that begin at `at`.
#[inline(always)]
pub(crate) fn lanes_mut<V, const W: usize>(to: &mut [V], at: usize) -> &mut [V; W] {
    (&mut to[at..at + W]).try_into().expect("a row is W lanes")
}

impl<'a, S: Semiring, const W: usize> View<'a, S, W> {
    #[inline(always)]
    fn gate(&self, which: usize, candidate: usize) -> usize {
        (self.gates[which] >> candidate & 1) as usize
    }

    #[inline(always)]
    fn class(&self, which: usize, candidate: usize) -> usize {
        (candidate + self.shifts[which]) % CLASSES
    }

    /// Whether there is a table of three classes.
    #[inline(always)]
    pub(crate) fn has_triples(&self) -> bool {
        self.triples.is_some()
    }

    /// Shapes along `i`. Lanes past the candidates hold anything.
    #[inline(always)]
    pub(crate) fn along_first(&self, j: usize, k: usize) -> &'a [S::Value; W] {
        let gates = self.gate(0, j) * 2 + self.gate(1, k);
        let line = gates * (2 * self.reach + 1) + k + self.reach - j;
        lanes(&self.shapes.first, line * self.shapes.row + self.reach - j)
    }

    /// The table of three classes along `i`; neutral without one.
    #[inline(always)]
    pub(crate) fn triples_along_first(&self, j: usize, k: usize) -> [S::Value; W] {
        match self.triples {
            None => [self.ring.neutral(); W],
            Some(triples) => {
                let line = self.class(1, j) * CLASSES + self.class(2, k);
                *lanes(&triples.along_first, line * triples.row + self.shifts[0])
            }
        }
    }

    /// Shapes with the table of three classes along `k`. Lanes past the candidates hold anything.
    #[inline(always)]
    pub(crate) fn along_last<D: Simd>(&self, simd: D, i: usize, j: usize) -> [S::Value; W] {
        let line = |gate: usize| {
            let line = (self.gate(0, j) * 2 + gate) * (2 * self.reach + 1) + j + self.reach - i;
            lanes(&self.shapes.last, line * self.shapes.row + self.reach - j)
        };
        let mut row = self.blend(simd, 1, line(0), line(1));
        if let Some(triples) = self.triples {
            let line = self.class(0, i) * CLASSES + self.class(1, j);
            let more: &[S::Value; W] =
                lanes(&triples.along_last, line * triples.row + self.shifts[2]);
            Rows {
                ring: self.ring,
                simd,
            }
            .multiply(&mut row, more);
        }
        row
    }

    /// Shapes along `j`, without a table of three classes. Lanes past the candidates hold anything.
    #[inline(always)]
    pub(crate) fn along_middle<D: Simd>(&self, simd: D, i: usize, k: usize) -> [S::Value; W] {
        let line = |gate: usize| {
            let line = (gate * 2 + self.gate(1, k)) * (4 * self.reach + 1) + k + 2 * self.reach - i;
            lanes(&self.shapes.middle, line * self.shapes.row + self.reach - i)
        };
        self.blend(simd, 0, line(0), line(1))
    }

    /// Lanes of `closed` or, where the gate is open, of `open`; said in weights, so that it is exact everywhere.
    #[inline(always)]
    fn blend<D: Simd>(
        &self,
        simd: D,
        which: usize,
        closed: &[S::Value; W],
        open: &[S::Value; W],
    ) -> [S::Value; W] {
        let mut row = *closed;
        if self.gates[which] != 0 {
            let gates = self.gate_rows[which];
            let work = Rows {
                ring: self.ring,
                simd,
            };
            work.multiply(&mut row, &gates.closed);
            work.add_products(
                &mut row,
                0..1,
                #[inline(always)]
                |_| &gates.open[..],
                #[inline(always)]
                |_| &open[..],
            );
        }
        row
    }

    /// Shape and table of three classes for one triple of candidates.
    #[inline(always)]
    pub(crate) fn at(&self, [i, j, k]: [usize; 3]) -> S::Value {
        let gates = self.gate(0, j) * 2 + self.gate(1, k);
        let line = gates * (2 * self.reach + 1) + j + self.reach - i;
        let shape = self.shapes.last[line * self.shapes.row + k + self.reach - j];
        match self.triples {
            None => shape,
            Some(triples) => {
                let line = self.class(0, i) * CLASSES + self.class(1, j);
                self.ring.times(
                    shape,
                    triples.along_last[line * triples.row + self.class(2, k)],
                )
            }
        }
    }
}
