//! A lattice's tables lifted into one semiring and laid out so that every inner loop runs along a row.

use std::sync::Arc;

use crate::lattice::Lattice;
use crate::memory::Plan;
use crate::semiring::Semiring;
use crate::table::{ClassTable, ShapeTable};
use crate::weight::{CLASSES, NEVER};

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
        let n = table.candidates() as i32;
        let d = n - 1;
        let row = d as usize + lanes;
        let (width, wide) = ((2 * n - 1) as usize, (4 * n - 3) as usize);
        let zero = ring.zero();
        let mut first = vec![zero; 4 * width * row];
        let mut middle = vec![zero; 4 * wide * row];
        let mut last = vec![zero; 4 * width * row];
        for gates in 0..4 {
            for one in -d..=d {
                for two in -d..=d {
                    let value = ring.lift(table.weight(gates & 2 != 0, gates & 1 != 0, one, two));
                    let put = |to: &mut [V], width: usize, line: i32, at: i32| {
                        if (at as usize) < row {
                            to[(gates * width + line as usize) * row + at as usize] = value;
                        }
                    };
                    put(&mut first, width, two + d, d - one);
                    put(&mut middle, wide, one + two + 2 * d, one + d);
                    put(&mut last, width, one + d, two + d);
                }
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

/// Steps of one table from layers of one shift, `[from][to]` in rows of the lane count.
type Steps<V> = Vec<V>;

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

/// Everything of a lattice that a pass reads, in the semiring's values.
pub(crate) struct Lifted<S: Semiring, const W: usize> {
    pub(crate) ring: S,
    shapes: Vec<Shapes<S::Value>>,
    steps: Vec<Steps<S::Value>>,
    triples: Vec<Triples<S::Value>>,
    /// `[third][fourth][second]` rows of [`HEAD_ROW`] first classes.
    heads: Vec<Vec<S::Value>>,
    uses: Vec<Uses>,
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
        let n = lattice.candidates;
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
            .map(|&(table, shift)| {
                let mut rows = vec![ring.zero(); n * W];
                for j in 0..n {
                    let class = (j + usize::from(shift)) % CLASSES;
                    for k in 0..n {
                        rows[j * W + k] =
                            ring.lift(step_tables[table].weight(class, k as i32 - j as i32));
                    }
                }
                rows
            })
            .collect();
        let heads = head_tables
            .iter()
            .map(|table: &Arc<ClassTable>| {
                let mut rows = Vec::with_capacity(CLASSES.pow(3) * HEAD_ROW + PAD);
                for c3 in 0..CLASSES {
                    for c4 in 0..CLASSES {
                        for c2 in 0..CLASSES {
                            rows.extend(
                                (0..HEAD_ROW)
                                    .map(|at| ring.lift(table.weight(&[at % CLASSES, c2, c3, c4]))),
                            );
                        }
                    }
                }
                rows
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
        }
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
        let step = self.steps[self.uses[t].steps][j * W + k];
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
    pub(crate) fn moves_into(&self, lattice: &Lattice, t: usize, rows: &mut Vec<S::Value>) {
        let (ring, n) = (self.ring, lattice.candidates);
        let mut notes = [ring.zero(); W];
        for (k, note) in notes.iter_mut().enumerate().take(n) {
            *note = self.note(lattice, t, k);
        }
        rows.clear();
        rows.resize(n * W + PAD, ring.zero());
        let steps = &self.steps[self.uses[t].steps];
        for (row, steps) in rows.chunks_exact_mut(W).zip(steps.chunks_exact(W)) {
            for ((to, &step), &note) in row.iter_mut().zip(steps).zip(&notes) {
                *to = ring.settle(ring.times(step, note));
            }
        }
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

    /// Shapes for `(i, j, k)` along `i`, for `j` at `t - 1` and `k` at `t`. Lanes past the candidates hold anything.
    #[inline(always)]
    pub(crate) fn along_first(
        &self,
        lattice: &Lattice,
        t: usize,
        j: usize,
        k: usize,
    ) -> &[S::Value; W] {
        let shapes = &self.shapes[self.uses[t].shapes];
        let d = lattice.candidates - 1;
        let gates = usize::from(lattice.gate(t - 1, j)) * 2 + usize::from(lattice.gate(t, k));
        let at = (gates * (2 * d + 1) + k + d - j) * shapes.row + d - j;
        shapes.first[at..at + W]
            .try_into()
            .expect("a row is W lanes")
    }

    /// Table of three classes along `i`, when layer `t` has one.
    #[inline(always)]
    pub(crate) fn triples_along_first(
        &self,
        lattice: &Lattice,
        t: usize,
        j: usize,
        k: usize,
    ) -> Option<&[S::Value; W]> {
        let triples = &self.triples[self.uses[t].triples?];
        let line = lattice.class(t - 1, j) * CLASSES + lattice.class(t, k);
        let at = line * triples.row + usize::from(lattice.layers[t - 2].shift);
        Some(
            triples.along_first[at..at + W]
                .try_into()
                .expect("a row is W lanes"),
        )
    }

    /// Shapes (with a table of three classes) for `(i, j, k)` along `k`. Lanes past the candidates hold anything.
    #[inline(always)]
    pub(crate) fn along_last(
        &self,
        lattice: &Lattice,
        t: usize,
        i: usize,
        j: usize,
    ) -> [S::Value; W] {
        let ring = self.ring;
        let shapes = &self.shapes[self.uses[t].shapes];
        let d = lattice.candidates - 1;
        let line = |last: usize| {
            let gates = usize::from(lattice.gate(t - 1, j)) * 2 + last;
            let at = (gates * (2 * d + 1) + j + d - i) * shapes.row + d - j;
            let row: &[S::Value; W] = shapes.last[at..at + W]
                .try_into()
                .expect("a row is W lanes");
            row
        };
        let gate = lattice.layers[t].gate;
        let mut row = *line(0);
        if gate != 0 {
            let open = line(1);
            for k in 0..W {
                row[k] = if gate >> k & 1 == 1 { open[k] } else { row[k] };
            }
        }
        if let Some(triples) = self.uses[t].triples {
            let triples = &self.triples[triples];
            let line = lattice.class(t - 2, i) * CLASSES + lattice.class(t - 1, j);
            let at = line * triples.row + usize::from(lattice.layers[t].shift);
            let more: &[S::Value; W] = triples.along_last[at..at + W]
                .try_into()
                .expect("a row is W lanes");
            for (to, &more) in row.iter_mut().zip(more) {
                *to = ring.times(*to, more);
            }
        }
        row
    }

    /// Shapes for `(i, j, k)` along `j`, the middle. Lanes past the candidates hold anything.
    #[inline(always)]
    pub(crate) fn along_middle(
        &self,
        lattice: &Lattice,
        t: usize,
        i: usize,
        k: usize,
    ) -> [S::Value; W] {
        let shapes = &self.shapes[self.uses[t].shapes];
        let d = lattice.candidates - 1;
        let last = usize::from(lattice.gate(t, k));
        let line = |middle: usize| {
            let at = ((middle * 2 + last) * (4 * d + 1) + k + 2 * d - i) * shapes.row + d - i;
            let row: &[S::Value; W] = shapes.middle[at..at + W]
                .try_into()
                .expect("a row is W lanes");
            row
        };
        let gate = lattice.layers[t - 1].gate;
        let mut row = *line(0);
        if gate != 0 {
            let open = line(1);
            for j in 0..W {
                row[j] = if gate >> j & 1 == 1 { open[j] } else { row[j] };
            }
        }
        row
    }

    /// Shape and table of three classes for one triple of candidates.
    #[inline(always)]
    pub(crate) fn shape(&self, lattice: &Lattice, t: usize, [i, j, k]: [usize; 3]) -> S::Value {
        let shapes = &self.shapes[self.uses[t].shapes];
        let d = lattice.candidates - 1;
        let gates = usize::from(lattice.gate(t - 1, j)) * 2 + usize::from(lattice.gate(t, k));
        let shape = shapes.last[(gates * (2 * d + 1) + j + d - i) * shapes.row + k + d - j];
        match self.uses[t].triples {
            None => shape,
            Some(triples) => {
                let triples = &self.triples[triples];
                let line = lattice.class(t - 2, i) * CLASSES + lattice.class(t - 1, j);
                self.ring.times(
                    shape,
                    triples.along_last[line * triples.row + lattice.class(t, k)],
                )
            }
        }
    }

    /// Four-class head weights along the first class, beginning at class `from`, when the head is complete at `t`.
    #[inline(always)]
    pub(crate) fn head_row(
        &self,
        t: usize,
        [c2, c3, c4]: [usize; 3],
        from: usize,
    ) -> Option<&[S::Value; 16]> {
        let at = ((c3 * CLASSES + c4) * CLASSES + c2) * HEAD_ROW + from;
        self.uses[t].head4.map(|head| {
            self.heads[head][at..at + 16]
                .try_into()
                .expect("a row is 16 lanes")
        })
    }

    /// Four-class head weight of one run of classes completed at `t`; neutral when there is no such head.
    #[inline(always)]
    pub(crate) fn head(&self, t: usize, [c1, c2, c3, c4]: [usize; 4]) -> S::Value {
        self.uses[t].head4.map_or(self.ring.neutral(), |head| {
            self.heads[head][((c3 * CLASSES + c4) * CLASSES + c2) * HEAD_ROW + c1]
        })
    }
}
