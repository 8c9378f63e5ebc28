//! Tables that were built once and serve again.

use std::collections::HashMap;
use std::hash::Hash;
use std::sync::Arc;

use linewright_lattice::{BigramTable, ClassTable, MAX_WEIGHT, NEVER, TrigramTable};
use linewright_rulebook::{RuleBook, Weighing};

use crate::key::{BarKey, CellPart, ShapeKey, StepKey};

/// Tables that were built once and serve again, for one style and one range of candidates.
#[derive(Default)]
pub struct Tables {
    /// Moves, and the widest of them that is allowed.
    pub(crate) steps: TableCache<StepKey, StepKey, (Arc<BigramTable>, i32)>,
    pub(crate) shapes: TableCache<ShapeKey, ShapeKey, Arc<TrigramTable>>,
    pub(crate) bars: TableCache<CellPart, BarKey, Arc<ClassTable>>,
}

impl Tables {
    /// Beyond so many tables, the caches are cleared.
    const MOST: usize = 4096;

    pub(crate) fn tidy(&mut self) {
        if self.steps.len() + self.shapes.len() + self.bars.len() > Self::MOST {
            *self = Self::default();
        }
    }
}

/// A cache of tables of one kind, by what they depend on: how rulebooks weigh, and what else they
/// see. What a single rulebook gives to tables of several, which may depend on less, is kept, too.
pub(crate) struct TableCache<PartKey, Key, Table> {
    by_weighing: Vec<Cached<PartKey, Key, Table>>,
}

/// What is kept for rulebooks that weigh alike.
struct Cached<PartKey, Key, Table> {
    weights: Vec<Weighing>,
    parts: HashMap<PartKey, Arc<[i32]>>,
    tables: HashMap<Key, Table>,
}

/// Where a cache holds the tables of some rulebooks together, and the parts of them that each
/// rulebook gives. Places are numbers of [`Cached`].
pub(crate) struct CacheEntry<'a, Part> {
    place: usize,
    parts: Vec<(&'a RuleBook, Part, usize)>,
}

/// What a rulebook weighs in one part.
pub(crate) type Weigh = fn(&RuleBook) -> Vec<Weighing>;

/// How a table is put together from the parts that rulebooks give.
pub(crate) struct Parts<KeyOf, Weights> {
    /// Number of weights.
    pub size: usize,
    /// What a part of a rulebook depends on, besides how the rulebook weighs.
    pub key: KeyOf,
    /// Works out the weights of a part.
    pub weigh: Weights,
}

impl<Part> CacheEntry<'_, Part> {
    /// The rulebooks that give parts.
    pub(crate) fn books(&self) -> impl Iterator<Item = &RuleBook> {
        self.parts.iter().map(|(book, ..)| *book)
    }
}

impl<PartKey, Key, Table> Default for TableCache<PartKey, Key, Table> {
    fn default() -> Self {
        Self {
            by_weighing: Vec::new(),
        }
    }
}

impl<PartKey: Eq + Hash, Key: Eq + Hash, Table: Clone> TableCache<PartKey, Key, Table> {
    fn place(&mut self, weights: Vec<Weighing>) -> usize {
        let known = self
            .by_weighing
            .iter()
            .position(|cached| cached.weights == weights);
        known.unwrap_or_else(|| {
            self.by_weighing.push(Cached {
                weights,
                parts: HashMap::new(),
                tables: HashMap::new(),
            });
            self.by_weighing.len() - 1
        })
    }

    /// Finds where the tables of some rulebooks are. They give those parts in which they weigh
    /// anything; their tables depend on all that they weigh.
    pub(crate) fn entry<'a, Part: Copy>(
        &mut self,
        books: &[&'a RuleBook],
        parts: &[(Part, Weigh)],
        in_all: Weigh,
    ) -> CacheEntry<'a, Part> {
        let place = self.place(books.iter().flat_map(|book| in_all(book)).collect());
        let mut given = Vec::new();
        for &book in books {
            for &(part, weights) in parts {
                let weights = weights(book);
                if !weights.is_empty() {
                    given.push((book, part, self.place(weights)));
                }
            }
        }
        CacheEntry {
            place,
            parts: given,
        }
    }

    /// The table of some rulebooks for a key. Where it is not cached, it is made from the sums of
    /// the weights that the rulebooks give; a part is worked out where it is not cached either.
    pub(crate) fn table<Part: Copy>(
        &mut self,
        entry: &CacheEntry<Part>,
        key: Key,
        parts: Parts<impl Fn(&RuleBook, Part) -> PartKey, impl Fn(&RuleBook, Part) -> Vec<i32>>,
        make: impl FnOnce(Vec<i32>) -> Table,
    ) -> Table {
        if let Some(table) = self.by_weighing[entry.place].tables.get(&key) {
            return table.clone();
        }
        let mut sums: Option<Vec<i32>> = None;
        for &(book, part, place) in &entry.parts {
            let cached = &mut self.by_weighing[place].parts;
            let weights = cached
                .entry((parts.key)(book, part))
                .or_insert_with(|| (parts.weigh)(book, part).into());
            match &mut sums {
                None => sums = Some(weights.to_vec()),
                Some(sums) => {
                    for (sum, &more) in sums.iter_mut().zip(&**weights) {
                        *sum = together(*sum, more);
                    }
                }
            }
        }
        let table = make(sums.unwrap_or_else(|| vec![0; parts.size]));
        let tables = &mut self.by_weighing[entry.place].tables;
        tables.insert(key, table.clone());
        table
    }

    fn len(&self) -> usize {
        let count = |cached: &Cached<_, _, _>| cached.tables.len() + cached.parts.len();
        self.by_weighing.iter().map(count).sum()
    }
}

/// Points as the lattice takes them.
pub(crate) fn weight(points: Option<i32>) -> i32 {
    points.map_or(NEVER, |points| points.clamp(-MAX_WEIGHT, MAX_WEIGHT))
}

/// Two weights together.
pub(crate) fn together(one: i32, other: i32) -> i32 {
    match one == NEVER || other == NEVER {
        true => NEVER,
        false => (one + other).clamp(-MAX_WEIGHT, MAX_WEIGHT),
    }
}
