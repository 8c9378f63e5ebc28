//! Tables that were built once and serve again.

use std::collections::HashMap;
use std::hash::Hash;
use std::sync::Arc;

use linewright_lattice::{ClassTable, MAX_WEIGHT, NEVER, ShapeTable, StepTable};
use linewright_rules::{RuleBook, Weighing};

use crate::key::{BarKey, ShapeKey, StepKey};

/// Tables that were built once and serve again, for one style and one range of candidates.
#[derive(Default)]
pub struct Tables {
    /// Moves, and the widest of them that is allowed.
    pub(crate) steps: Shelf<StepKey, (Arc<StepTable>, i32)>,
    pub(crate) shapes: Shelf<ShapeKey, Arc<ShapeTable>>,
    pub(crate) bars: Shelf<BarKey, Arc<ClassTable>>,
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

/// Tables of one kind, by what they depend on: how rulebooks weigh, and what else they see.
pub(crate) struct Shelf<Key, Table> {
    boards: Vec<Board<Key, Table>>,
}

/// The tables of some rulebooks together.
struct Board<Key, Table> {
    weights: Vec<Weighing>,
    /// What a single rulebook adds to tables of several.
    parts: HashMap<Key, Arc<[i32]>>,
    tables: HashMap<Key, Table>,
}

/// Where the tables of some rulebooks together stand on a shelf, and those of each that weighs
/// anything there.
pub(crate) struct Shelved<'a> {
    board: usize,
    parts: Vec<(&'a RuleBook, usize)>,
}

impl Shelved<'_> {
    /// The rulebooks.
    pub(crate) fn books(&self) -> impl Iterator<Item = &RuleBook> {
        self.parts.iter().map(|(book, _)| *book)
    }
}

impl<Key, Table> Default for Shelf<Key, Table> {
    fn default() -> Self {
        Self { boards: Vec::new() }
    }
}

impl<Key: Eq + Hash + Clone, Table: Clone> Shelf<Key, Table> {
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

    /// Finds the boards of some rulebooks.
    pub(crate) fn shelved<'a>(
        &mut self,
        books: &[&'a RuleBook],
        weights: impl Fn(&RuleBook) -> Vec<Weighing>,
    ) -> Shelved<'a> {
        let weighs = |book: &&&RuleBook| !weights(book).is_empty();
        let books: Vec<&RuleBook> = books.iter().filter(weighs).copied().collect();
        let parts = books.iter().map(|&book| (book, self.board(weights(book))));
        let parts = parts.collect();
        let board = self.board(books.iter().flat_map(|book| weights(book)).collect());
        Shelved { board, parts }
    }

    /// The table of some rulebooks. Where it is not on its board, it is made from as many weights
    /// as `size` says, the sums of what each of the rulebooks adds: `add` works that out for
    /// those of which it is not known.
    pub(crate) fn table(
        &mut self,
        shelved: &Shelved,
        key: Key,
        size: usize,
        add: impl FnOnce(&[&RuleBook]) -> Vec<Vec<i32>>,
        make: impl FnOnce(Vec<i32>) -> Table,
    ) -> Table {
        if let Some(table) = self.boards[shelved.board].tables.get(&key) {
            return table.clone();
        }
        let weights = match shelved.parts.as_slice() {
            [] => vec![0; size],
            [(book, _)] => add(&[book]).remove(0),
            parts => self.sum(parts, &key, size, add),
        };
        let table = make(weights);
        let tables = &mut self.boards[shelved.board].tables;
        tables.insert(key, table.clone());
        table
    }

    fn sum(
        &mut self,
        parts: &[(&RuleBook, usize)],
        key: &Key,
        size: usize,
        add: impl FnOnce(&[&RuleBook]) -> Vec<Vec<i32>>,
    ) -> Vec<i32> {
        let missing = parts.iter();
        let missing = missing.filter(|(_, board)| !self.boards[*board].parts.contains_key(key));
        let (books, boards): (Vec<&RuleBook>, Vec<usize>) = missing.copied().unzip();
        for (board, added) in boards.into_iter().zip(add(&books)) {
            self.boards[board].parts.insert(key.clone(), added.into());
        }
        let mut sums = vec![0; size];
        for (_, board) in parts {
            for (sum, &more) in sums.iter_mut().zip(&*self.boards[*board].parts[key]) {
                *sum = together(*sum, more);
            }
        }
        sums
    }

    fn len(&self) -> usize {
        let count = |board: &Board<Key, Table>| board.tables.len() + board.parts.len();
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
