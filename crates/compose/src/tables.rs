//! Tables that were built once and serve again.

use std::collections::HashMap;
use std::hash::Hash;
use std::sync::Arc;

use linewright_lattice::{ClassTable, MAX_WEIGHT, NEVER, ShapeTable, StepTable};
use linewright_rulebook::{RuleBook, Weighing};

use crate::key::{BarKey, CellPart, ShapeKey, StepKey};

/// Tables that were built once and serve again, for one style and one range of candidates.
#[derive(Default)]
pub struct Tables {
    /// Moves, and the widest of them that is allowed.
    pub(crate) steps: Shelf<StepKey, StepKey, (Arc<StepTable>, i32)>,
    pub(crate) shapes: Shelf<ShapeKey, ShapeKey, Arc<ShapeTable>>,
    pub(crate) bars: Shelf<CellPart, BarKey, Arc<ClassTable>>,
}

impl Tables {
    /// Beyond so many tables, the shelves are cleared.
    const MOST: usize = 4096;

    pub(crate) fn tidy(&mut self) {
        if self.steps.len() + self.shapes.len() + self.bars.len() > Self::MOST {
            *self = Self::default();
        }
    }
}

/// Tables of one kind, by what they depend on: how rulebooks weigh, and what else they see. What
/// a single rulebook gives to tables of several, which may depend on less, stands here, too.
pub(crate) struct Shelf<Part, Key, Table> {
    boards: Vec<Board<Part, Key, Table>>,
}

/// What rulebooks that weigh alike have on a shelf.
struct Board<Part, Key, Table> {
    weights: Vec<Weighing>,
    parts: HashMap<Part, Arc<[i32]>>,
    tables: HashMap<Key, Table>,
}

/// Where the tables of some rulebooks together stand on a shelf, and the parts of them that each
/// gives: by the number of the kind of part.
pub(crate) struct Shelved<'a> {
    board: usize,
    parts: Vec<(&'a RuleBook, usize, usize)>,
}

/// What a rulebook weighs in one kind of part.
pub(crate) type Weigh = fn(&RuleBook) -> Vec<Weighing>;

impl Shelved<'_> {
    /// The rulebooks that give parts.
    pub(crate) fn books(&self) -> impl Iterator<Item = &RuleBook> {
        self.parts.iter().map(|(book, ..)| *book)
    }
}

impl<Part, Key, Table> Default for Shelf<Part, Key, Table> {
    fn default() -> Self {
        Self { boards: Vec::new() }
    }
}

impl<Part: Eq + Hash, Key: Eq + Hash, Table: Clone> Shelf<Part, Key, Table> {
    fn board(&mut self, weights: Vec<Weighing>) -> usize {
        let known = self
            .boards
            .iter()
            .position(|board| board.weights == weights);
        known.unwrap_or_else(|| {
            self.boards.push(Board {
                weights,
                parts: HashMap::new(),
                tables: HashMap::new(),
            });
            self.boards.len() - 1
        })
    }

    /// Finds the boards of some rulebooks, which give parts of some kinds where they weigh
    /// anything there, and whose tables hang on all that they weigh.
    pub(crate) fn shelved<'a>(
        &mut self,
        books: &[&'a RuleBook],
        kinds: &[Weigh],
        in_all: Weigh,
    ) -> Shelved<'a> {
        let board = self.board(books.iter().flat_map(|book| in_all(book)).collect());
        let mut parts = Vec::new();
        for &book in books {
            for (kind, weights) in kinds.iter().enumerate() {
                let weights = weights(book);
                if !weights.is_empty() {
                    parts.push((book, kind, self.board(weights)));
                }
            }
        }
        Shelved { board, parts }
    }

    /// The table of some rulebooks. Where it is not on its board, it is made from as many weights
    /// as `size` says, the sums of what each of the rulebooks gives: that is worked out where it
    /// is not known either.
    pub(crate) fn table(
        &mut self,
        shelved: &Shelved,
        key: Key,
        size: usize,
        part: impl Fn(&RuleBook, usize) -> Part,
        weigh: impl Fn(&RuleBook, usize) -> Vec<i32>,
        make: impl FnOnce(Vec<i32>) -> Table,
    ) -> Table {
        if let Some(table) = self.boards[shelved.board].tables.get(&key) {
            return table.clone();
        }
        let mut sums: Option<Vec<i32>> = None;
        for &(book, kind, board) in &shelved.parts {
            let parts = &mut self.boards[board].parts;
            let part = parts
                .entry(part(book, kind))
                .or_insert_with(|| weigh(book, kind).into());
            match &mut sums {
                None => sums = Some(part.to_vec()),
                Some(sums) => {
                    for (sum, &more) in sums.iter_mut().zip(&**part) {
                        *sum = together(*sum, more);
                    }
                }
            }
        }
        let table = make(sums.unwrap_or_else(|| vec![0; size]));
        let tables = &mut self.boards[shelved.board].tables;
        tables.insert(key, table.clone());
        table
    }

    fn len(&self) -> usize {
        let count = |board: &Board<_, _, _>| board.tables.len() + board.parts.len();
        self.boards.iter().map(count).sum()
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
