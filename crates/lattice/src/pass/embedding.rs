//! The semiring embedding: a lattice's tables as values of one semiring, laid out so that every inner loop
//! runs along a row.

use std::sync::{Arc, OnceLock};

use pulp::Simd;

use crate::auxiliary::Layout;
use crate::bits::Bits;
use crate::class_table::ClassTable;
use crate::lattice::Lattice;
use crate::semiring::Semiring;
use crate::simd::Rows;
use crate::table::{PAD, TrigramTable};
use crate::weight::{CLASSES, NEVER};

/// A trigram table in the three orders in which passes run along it; see [`TrigramTable`].
struct Trigrams<V> {
    first: Arc<[V]>,
    middle: Arc<[V]>,
    last: Arc<[V]>,
}

impl<V> Trigrams<V> {
    fn new<S: Semiring<Value = V>>(ring: S, table: &TrigramTable) -> Self {
        Self {
            first: ring.embed_all(table.along_first()),
            middle: ring.embed_all(table.along_middle()),
            last: ring.embed_all(table.along_last()),
        }
    }
}

/// A table of three classes along its first and along its last class, repeated over all candidates.
pub(crate) struct ClassTriples<V> {
    row: usize,
    along_first: Vec<V>,
    along_last: Vec<V>,
}

impl<V: Copy> ClassTriples<V> {
    fn new<S: Semiring<Value = V>>(ring: S, table: &ClassTable, lanes: usize) -> Self {
        let row = lanes + CLASSES;
        let mut along_first = Vec::with_capacity(CLASSES * CLASSES * row);
        let mut along_last = Vec::with_capacity(CLASSES * CLASSES * row);
        for a in 0..CLASSES {
            for b in 0..CLASSES {
                along_first
                    .extend((0..row).map(|at| ring.embed(table.weight(&[at % CLASSES, a, b]))));
                along_last
                    .extend((0..row).map(|at| ring.embed(table.weight(&[a, b, at % CLASSES]))));
            }
        }
        Self {
            row,
            along_first,
            along_last,
        }
    }
}

/// The table of a prefix factor of four classes, and once they are needed its rows: see [`ClassTable::along_first`].
struct Prefix<V> {
    table: Arc<ClassTable>,
    rows: OnceLock<Arc<[V]>>,
}

/// A prefix factor of four classes, embedded.
#[derive(Clone, Copy)]
pub(crate) struct PrefixRows<'a, V> {
    table: &'a ClassTable,
    rows: &'a [V],
}

impl<'a, V> PrefixRows<'a, V> {
    /// Weights by the first class, of which there are [`CLASSES`], and more behind, given the classes after it.
    #[inline(always)]
    pub(crate) fn row(self, last_three: [usize; 3]) -> &'a [V] {
        &self.rows[self.table.row(last_three)..]
    }
}

/// Which embedded tables a layer uses.
struct LayerTables {
    trigrams: usize,
    bigrams: usize,
    triples: Option<usize>,
    pair: Option<Arc<ClassTable>>,
    single: Option<Arc<ClassTable>>,
    prefix4: Option<usize>,
}

/// Weights that let through the candidates of a layer whose feature is unset, and those whose feature is set.
pub(crate) struct FeatureMasks<V, const W: usize> {
    unset: [V; W],
    set: [V; W],
}

/// Everything of a lattice that a pass reads, in the semiring's values.
pub(crate) struct Embedding<S: Semiring, const W: usize> {
    pub(crate) ring: S,
    trigrams: Vec<Trigrams<S::Value>>,
    /// `[first class]` rows by difference.
    bigrams: Vec<Arc<[S::Value]>>,
    triples: Vec<ClassTriples<S::Value>>,
    prefixes: Vec<Prefix<S::Value>>,
    tables_of: Vec<LayerTables>,
    features: Vec<FeatureMasks<S::Value, W>>,
    /// Candidates of each layer that are not forbidden by themselves.
    live: Vec<u64>,
}

impl<V: Copy, const W: usize> FeatureMasks<V, W> {
    fn new<S: Semiring<Value = V>>(ring: S, feature: u64) -> Self {
        let (mut unset, mut set) = ([ring.weight_one(); W], [ring.zero(); W]);
        for k in (0..W).filter(|k| feature >> k & 1 == 1) {
            std::mem::swap(&mut unset[k], &mut set[k]);
        }
        Self { unset, set }
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

impl<S: Semiring, const W: usize> Embedding<S, W> {
    pub(crate) fn new(ring: S, lattice: &Lattice, layout: &Layout) -> Self {
        let mut trigram_tables = Vec::new();
        let mut bigram_tables = Vec::new();
        let mut triple_tables = Vec::new();
        let mut prefix_tables = Vec::new();
        let mut tables_of = Vec::with_capacity(lattice.len());
        for (layer, scopes) in lattice.layers.iter().zip(&layout.layers) {
            let segment = &lattice.segments[scopes.segment];
            let run = if scopes.run_is_prefix {
                &segment.prefix
            } else {
                &segment.suffix
            };
            let of_length = |length: usize| run.clone().filter(|_| scopes.run == length);
            tables_of.push(LayerTables {
                trigrams: index_of(&mut trigram_tables, &layer.trigram),
                bigrams: index_of(&mut bigram_tables, &layer.bigram),
                triples: of_length(3).map(|table| index_of(&mut triple_tables, &table)),
                pair: of_length(2),
                single: of_length(1),
                prefix4: segment
                    .prefix
                    .as_ref()
                    .filter(|table| table.len() == 4 && scopes.nth == 4)
                    .map(|table| index_of(&mut prefix_tables, table)),
            });
        }
        let live = (0..lattice.len())
            .map(|t| {
                let single = |k| {
                    tables_of[t]
                        .single
                        .as_ref()
                        .map(|table| table.weight(&[lattice.class(t, k)]))
                };
                Bits(lattice.allowed[t])
                    .filter(|&k| lattice.layers[t].unary[k] != NEVER && single(k) != Some(NEVER))
                    .fold(0, |live, k| live | 1 << k)
            })
            .collect();
        Self {
            ring,
            trigrams: trigram_tables
                .iter()
                .map(|table| Trigrams::new(ring, table))
                .collect(),
            bigrams: bigram_tables
                .iter()
                .map(|table| ring.embed_all(table.kept()))
                .collect(),
            triples: triple_tables
                .iter()
                .map(|table| ClassTriples::new(ring, table, W))
                .collect(),
            prefixes: prefix_tables
                .into_iter()
                .map(|table| Prefix {
                    table,
                    rows: OnceLock::new(),
                })
                .collect(),
            tables_of,
            features: lattice
                .layers
                .iter()
                .map(|layer| FeatureMasks::new(ring, layer.feature))
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

    /// The candidates at `t` (from 1 on) that the bigram factor allows after `j`.
    #[inline(always)]
    pub(crate) fn successors(&self, lattice: &Lattice, t: usize, j: usize) -> u64 {
        let targets = lattice.layers[t].bigram.targets(lattice.class(t - 1, j), j);
        targets & self.live[t]
    }

    /// By candidate at `t` (from 1 on), those before it after which the bigram factor allows it.
    pub(crate) fn predecessors(&self, lattice: &Lattice, t: usize) -> [u64; W] {
        let mut predecessors = [0; W];
        for j in Bits(self.live[t - 1]) {
            for k in Bits(self.successors(lattice, t, j)) {
                predecessors[k] |= 1 << j;
            }
        }
        predecessors
    }

    /// Weight of candidate `k` alone at layer `t`: unary factor, pins, and a segment factor of one class.
    pub(crate) fn unary_weight(&self, lattice: &Lattice, t: usize, k: usize) -> S::Value {
        if !lattice.is_allowed(t, k) {
            return self.ring.zero();
        }
        let mut weight = lattice.layers[t].unary[k];
        if let Some(table) = &self.tables_of[t].single {
            let more = table.weight(&[lattice.class(t, k)]);
            weight = if more == NEVER || weight == NEVER {
                NEVER
            } else {
                weight + more
            };
        }
        self.ring.embed(weight)
    }

    /// Weight of the transition from `j` at `t - 1` to `k` at `t`, apart from trigrams: one entry of
    /// [`Embedding::transitions_into`].
    pub(crate) fn transition(&self, lattice: &Lattice, t: usize, j: usize, k: usize) -> S::Value {
        let ring = self.ring;
        let bigram = self.bigrams[self.tables_of[t].bigrams][self.bigram_row(lattice, t, j) + k];
        let weight = ring.product(bigram, self.unary_weight(lattice, t, k));
        match &self.tables_of[t].pair {
            None => weight,
            Some(table) => {
                let pair = table.weight(&[lattice.class(t - 1, j), lattice.class(t, k)]);
                ring.product(weight, ring.embed(pair))
            }
        }
    }

    /// Where among the bigrams into layer `t` those from `j` begin.
    #[inline(always)]
    fn bigram_row(&self, lattice: &Lattice, t: usize, j: usize) -> usize {
        let reach = lattice.candidates - 1;
        lattice.class(t - 1, j) * (2 * reach + 1) + reach - j
    }

    /// Writes the weights of the transitions from `j` at `t - 1` to `k` at `t`, apart from trigrams, as `[j][k]` rows:
    /// unary and bigram factors and segment factors of one or two classes. Rows and lanes of forbidden candidates, and
    /// those past the candidates, are as good as zero.
    #[inline(always)]
    pub(crate) fn transitions_into<D: Simd>(
        &self,
        simd: D,
        lattice: &Lattice,
        t: usize,
        rows: &mut Vec<S::Value>,
    ) {
        let (ring, n) = (self.ring, lattice.candidates);
        let mut unary = [ring.zero(); W];
        for k in Bits(self.live[t]) {
            unary[k] = self.unary_weight(lattice, t, k);
        }
        rows.clear();
        rows.resize(n * W + PAD, ring.zero());
        let bigrams = &self.bigrams[self.tables_of[t].bigrams];
        let work = Rows::new(ring, simd);
        for j in Bits(self.live[t - 1]) {
            let row: &mut [S::Value; W] = lanes_mut(rows, j * W);
            *row = *lanes(bigrams, self.bigram_row(lattice, t, j));
            work.multiply(row, &unary);
            S::normalize_weights(ring, simd, row);
        }
        if let Some(table) = &self.tables_of[t].pair {
            for j in Bits(self.live[t - 1]) {
                for k in Bits(self.live[t]) {
                    let weight = table.weight(&[lattice.class(t - 1, j), lattice.class(t, k)]);
                    let to = &mut rows[j * W + k];
                    *to = ring.product(*to, ring.embed(weight));
                }
            }
        }
    }

    /// The trigram factor of layer `t` (at least 2), ready for a loop over candidates.
    #[inline(always)]
    pub(crate) fn view(&self, lattice: &Lattice, t: usize) -> TrigramView<'_, S, W> {
        let tables_of = &self.tables_of[t];
        let [two_before, before, here] =
            [t - 2, t - 1, t].map(|t| usize::from(lattice.layers[t].shift));
        TrigramView {
            ring: self.ring,
            trigrams: &self.trigrams[tables_of.trigrams],
            triples: tables_of.triples.map(|triples| &self.triples[triples]),
            reach: lattice.candidates - 1,
            features: [lattice.layers[t - 1].feature, lattice.layers[t].feature],
            feature_masks: [&self.features[t - 1], &self.features[t]],
            shifts: [two_before, before, here],
        }
    }

    /// The prefix factor of four classes whose scope ends at `t`, active or not.
    #[inline(always)]
    pub(crate) fn prefix_rows(&self, t: usize) -> Option<PrefixRows<'_, S::Value>> {
        let Prefix { table, rows } = &self.prefixes[self.tables_of[t].prefix4?];
        let rows = rows.get_or_init(|| self.ring.embed_all(table.along_first()));
        Some(PrefixRows { table, rows })
    }

    /// Weight of one run of classes by that factor; one when there is none.
    #[inline(always)]
    pub(crate) fn prefix_weight(&self, t: usize, [c1, c2, c3, c4]: [usize; 4]) -> S::Value {
        self.prefix_rows(t)
            .map_or(self.ring.weight_one(), |prefix| {
                prefix.row([c2, c3, c4])[c1]
            })
    }
}

/// One layer's trigram factor, for candidates `(i, j, k)` at the two layers before and the layer itself.
pub(crate) struct TrigramView<'a, S: Semiring, const W: usize> {
    ring: S,
    trigrams: &'a Trigrams<S::Value>,
    triples: Option<&'a ClassTriples<S::Value>>,
    /// Largest difference of indices.
    reach: usize,
    /// Features of the middle and of the last candidates.
    features: [u64; 2],
    feature_masks: [&'a FeatureMasks<S::Value, W>; 2],
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

impl<'a, S: Semiring, const W: usize> TrigramView<'a, S, W> {
    /// Number of differences of indices.
    #[inline(always)]
    fn width(&self) -> usize {
        2 * self.reach + 1
    }

    #[inline(always)]
    fn has_feature(&self, which: usize, candidate: usize) -> usize {
        (self.features[which] >> candidate & 1) as usize
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

    /// Weights along `i`, without a table of three classes. Lanes past the candidates hold anything.
    #[inline(always)]
    pub(crate) fn along_first(&self, j: usize, k: usize) -> &'a [S::Value; W] {
        let features = self.has_feature(0, j) * 2 + self.has_feature(1, k);
        let line = features * self.width() + k + self.reach - j;
        lanes(&self.trigrams.first, line * self.width() + self.reach - j)
    }

    /// The table of three classes along `i`; one without it.
    #[inline(always)]
    pub(crate) fn triples_along_first(&self, j: usize, k: usize) -> [S::Value; W] {
        match self.triples {
            None => [self.ring.weight_one(); W],
            Some(triples) => {
                let line = self.class(1, j) * CLASSES + self.class(2, k);
                *lanes(&triples.along_first, line * triples.row + self.shifts[0])
            }
        }
    }

    /// Weights with the table of three classes along `k`. Lanes past the candidates hold anything.
    #[inline(always)]
    pub(crate) fn along_last<D: Simd>(&self, simd: D, i: usize, j: usize) -> [S::Value; W] {
        let line = |feature: usize| {
            let line = (self.has_feature(0, j) * 2 + feature) * self.width() + j + self.reach - i;
            lanes(&self.trigrams.last, line * self.width() + self.reach - j)
        };
        let mut row = self.blend(simd, 1, line(0), line(1));
        if let Some(triples) = self.triples {
            let line = self.class(0, i) * CLASSES + self.class(1, j);
            let more: &[S::Value; W] =
                lanes(&triples.along_last, line * triples.row + self.shifts[2]);
            Rows::new(self.ring, simd).multiply(&mut row, more);
        }
        row
    }

    /// Weights along `j`, without a table of three classes. Lanes past the candidates hold anything.
    #[inline(always)]
    pub(crate) fn along_middle<D: Simd>(&self, simd: D, i: usize, k: usize) -> [S::Value; W] {
        let line = |feature: usize| {
            let line = (feature * 2 + self.has_feature(1, k)) * self.width() + k + self.reach - i;
            lanes(&self.trigrams.middle, line * self.width() + self.reach - i)
        };
        self.blend(simd, 0, line(0), line(1))
    }

    /// Lanes of `unset` or, where the feature is set, of `set`: by weights of one and zero, so that it is exact
    /// everywhere.
    #[inline(always)]
    fn blend<D: Simd>(
        &self,
        simd: D,
        which: usize,
        unset: &[S::Value; W],
        set: &[S::Value; W],
    ) -> [S::Value; W] {
        let mut row = *unset;
        if self.features[which] != 0 {
            let features = self.feature_masks[which];
            let work = Rows::new(self.ring, simd);
            work.multiply(&mut row, &features.unset);
            work.add_products(
                &mut row,
                0..1,
                #[inline(always)]
                |_| &features.set[..],
                #[inline(always)]
                |_| &set[..],
            );
        }
        row
    }

    /// Weight of one triple of candidates, with the table of three classes.
    #[inline(always)]
    pub(crate) fn at(&self, [i, j, k]: [usize; 3]) -> S::Value {
        let features = self.has_feature(0, j) * 2 + self.has_feature(1, k);
        let line = features * self.width() + j + self.reach - i;
        let trigram = self.trigrams.last[line * self.width() + k + self.reach - j];
        match self.triples {
            None => trigram,
            Some(triples) => {
                let line = self.class(0, i) * CLASSES + self.class(1, j);
                self.ring.times(
                    trigram,
                    triples.along_last[line * triples.row + self.class(2, k)],
                )
            }
        }
    }
}
