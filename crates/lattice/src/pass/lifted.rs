//! A lattice's tables lifted into one semiring and laid out so that every inner loop runs along a row.

use std::sync::{Arc, OnceLock};

use pulp::Simd;

use crate::bits::Bits;
use crate::class_table::ClassTable;
use crate::lattice::Lattice;
use crate::memory::Plan;
use crate::semiring::Semiring;
use crate::table::{PAD, ShapeTable};
use crate::weight::{CLASSES, NEVER};
use crate::wide::Rows;

/// A shape table in the three orders in which passes run along it; see [`ShapeTable`].
struct Shapes<V> {
    first: Arc<[V]>,
    middle: Arc<[V]>,
    last: Arc<[V]>,
}

impl<V> Shapes<V> {
    fn new<S: Semiring<Value = V>>(ring: S, table: &ShapeTable) -> Self {
        Self {
            first: ring.lift_all(table.along_first()),
            middle: ring.lift_all(table.along_middle()),
            last: ring.lift_all(table.along_last()),
        }
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

/// A table of four classes, and once they are needed its rows: see [`ClassTable::along_first`].
struct Head<V> {
    table: Arc<ClassTable>,
    rows: OnceLock<Arc<[V]>>,
}

/// A four-class head, lifted.
#[derive(Clone, Copy)]
pub(crate) struct HeadRows<'a, V> {
    table: &'a ClassTable,
    rows: &'a [V],
}

impl<'a, V> HeadRows<'a, V> {
    /// Weights by the first class, of which there are [`CLASSES`], and more behind, given the classes after it.
    #[inline(always)]
    pub(crate) fn row(self, last_three: [usize; 3]) -> &'a [V] {
        &self.rows[self.table.row(last_three)..]
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
    /// `[class left]` rows by difference.
    steps: Vec<Arc<[S::Value]>>,
    triples: Vec<Triples<S::Value>>,
    heads: Vec<Head<S::Value>>,
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
        let mut triple_tables = Vec::new();
        let mut head_tables = Vec::new();
        let mut uses = Vec::with_capacity(lattice.len());
        for (layer, place) in lattice.layers.iter().zip(&plan.places) {
            let segment = &lattice.segments[place.segment];
            let window = if place.window_is_head {
                &segment.head
            } else {
                &segment.tail
            };
            let of_length = |length: usize| window.clone().filter(|_| place.window == length);
            uses.push(Uses {
                shapes: index_of(&mut shape_tables, &layer.shape),
                steps: index_of(&mut step_tables, &layer.step),
                triples: of_length(3).map(|table| index_of(&mut triple_tables, &table)),
                pair: of_length(2),
                single: of_length(1),
                head4: segment
                    .head
                    .as_ref()
                    .filter(|table| table.len() == 4 && place.nth == 4)
                    .map(|table| index_of(&mut head_tables, table)),
            });
        }
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
                .map(|table| Shapes::new(ring, table))
                .collect(),
            steps: step_tables
                .iter()
                .map(|table| ring.lift_all(table.kept()))
                .collect(),
            triples: triple_tables
                .iter()
                .map(|table| Triples::new(ring, table, W))
                .collect(),
            heads: head_tables
                .into_iter()
                .map(|table| Head {
                    table,
                    rows: OnceLock::new(),
                })
                .collect(),
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
    pub(crate) fn ways_on(&self, lattice: &Lattice, t: usize, j: usize) -> u64 {
        let targets = lattice.layers[t].step.targets(lattice.class(t - 1, j), j);
        targets & self.live[t]
    }

    /// By candidate at `t` (from 1 on), those before it from which a step may come.
    pub(crate) fn ways_in(&self, lattice: &Lattice, t: usize) -> [u64; W] {
        let mut ways = [0; W];
        for j in Bits(self.live[t - 1]) {
            for k in Bits(self.ways_on(lattice, t, j)) {
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
        let step = self.steps[self.uses[t].steps][self.step_row(lattice, t, j) + k];
        let weight = ring.settle(ring.times(step, self.note(lattice, t, k)));
        match &self.uses[t].pair {
            None => weight,
            Some(table) => {
                let pair = table.weight(&[lattice.class(t - 1, j), lattice.class(t, k)]);
                ring.settle(ring.times(weight, ring.lift(pair)))
            }
        }
    }

    /// Where among the steps into layer `t` those from `j` begin.
    #[inline(always)]
    fn step_row(&self, lattice: &Lattice, t: usize, j: usize) -> usize {
        let reach = lattice.candidates - 1;
        lattice.class(t - 1, j) * (2 * reach + 1) + reach - j
    }

    /// Writes the weights of going from `j` at `t - 1` to `k` at `t`, apart from shapes, as `[j][k]` rows:
    /// note, step and tables of one or two classes. Rows and lanes of forbidden candidates, and those past the
    /// candidates, are as good as zero.
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
        for k in Bits(self.live[t]) {
            notes[k] = self.note(lattice, t, k);
        }
        rows.clear();
        rows.resize(n * W + PAD, ring.zero());
        let steps = &self.steps[self.uses[t].steps];
        let work = Rows { ring, simd };
        for j in Bits(self.live[t - 1]) {
            let row: &mut [S::Value; W] = lanes_mut(rows, j * W);
            *row = *lanes(steps, self.step_row(lattice, t, j));
            work.multiply(row, &notes);
            S::settle_weights(ring, simd, row);
        }
        if let Some(table) = &self.uses[t].pair {
            for j in Bits(self.live[t - 1]) {
                for k in Bits(self.live[t]) {
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

    /// Four-class head completed at `t`, watched or not.
    #[inline(always)]
    pub(crate) fn head_rows(&self, t: usize) -> Option<HeadRows<'_, S::Value>> {
        let Head { table, rows } = &self.heads[self.uses[t].head4?];
        let rows = rows.get_or_init(|| self.ring.lift_all(table.along_first()));
        Some(HeadRows { table, rows })
    }

    /// Four-class head weight of one run of classes completed at `t`; neutral when there is no such head.
    #[inline(always)]
    pub(crate) fn head(&self, t: usize, [c1, c2, c3, c4]: [usize; 4]) -> S::Value {
        self.head_rows(t)
            .map_or(self.ring.neutral(), |head| head.row([c2, c3, c4])[c1])
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
    /// Number of differences of indices.
    #[inline(always)]
    fn width(&self) -> usize {
        2 * self.reach + 1
    }

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
        let line = gates * self.width() + k + self.reach - j;
        lanes(&self.shapes.first, line * self.width() + self.reach - j)
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
            let line = (self.gate(0, j) * 2 + gate) * self.width() + j + self.reach - i;
            lanes(&self.shapes.last, line * self.width() + self.reach - j)
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
            let line = (gate * 2 + self.gate(1, k)) * self.width() + k + self.reach - i;
            lanes(&self.shapes.middle, line * self.width() + self.reach - i)
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
        let line = gates * self.width() + j + self.reach - i;
        let shape = self.shapes.last[line * self.width() + k + self.reach - j];
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
