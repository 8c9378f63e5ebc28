//! A style with its rulebook.

use std::sync::Arc;

use linewright_theory::Pitch;

use crate::book::RuleBook;
use crate::plan::Plan;
use crate::reading::{Reading, read};
use linewright_diagnostic::Diagnostic;

use crate::style::Style;

/// A style with its rulebook: all that lines are composed, read and marked by. Copies share one.
#[derive(Clone, Debug)]
pub struct StyleBook {
    style: Arc<Style>,
    book: Arc<RuleBook>,
    hash: u64,
}

impl StyleBook {
    /// The rulebook of a style, with it.
    ///
    /// # Errors
    /// A style that weighs a rule which does not exist.
    pub fn new(style: Style) -> Result<Self, Diagnostic> {
        Ok(Self {
            book: Arc::new(RuleBook::new(&style)?),
            hash: style.hash(),
            style: Arc::new(style),
        })
    }

    /// The style.
    pub fn style(&self) -> &Arc<Style> {
        &self.style
    }

    /// The style's rulebook.
    pub fn book(&self) -> &Arc<RuleBook> {
        &self.book
    }

    /// The hash of the style.
    pub fn hash(&self) -> u64 {
        self.hash
    }

    /// Reads a line under its plan: one pitch for each slot.
    ///
    /// # Panics
    /// If there are not as many pitches as slots.
    pub fn read(&self, plan: &Plan, pitches: &[Pitch]) -> Reading {
        read(&self.book, &self.style, plan, pitches)
    }
}
