//! Which rulebooks each slot of a plan goes by.

use linewright_rulebook::RuleBook;

/// The rulebooks that each slot of a plan goes by: what they give adds up.
pub struct Books<'a> {
    pub(crate) books: Vec<Vec<&'a RuleBook>>,
    /// By slot, which of them; the first ones beyond its end.
    by_slot: Vec<usize>,
}

impl<'a> From<&'a RuleBook> for Books<'a> {
    /// One rulebook for all slots.
    fn from(book: &'a RuleBook) -> Self {
        Self {
            books: vec![vec![book]],
            by_slot: Vec::new(),
        }
    }
}

impl<'a> Books<'a> {
    /// Several sets of rulebooks, and for each slot the number of its own.
    ///
    /// # Panics
    /// If there is no such set.
    pub fn by_slot(books: Vec<Vec<&'a RuleBook>>, by_slot: Vec<usize>) -> Self {
        assert!(by_slot.iter().all(|&number| number < books.len()));
        Self { books, by_slot }
    }

    pub(crate) fn number(&self, slot: usize) -> usize {
        self.by_slot.get(slot).copied().unwrap_or(0)
    }

    pub(crate) fn of(&self, slot: usize) -> &[&'a RuleBook] {
        &self.books[self.number(slot)]
    }
}
