//! Other ways through a passage: each the best of its strategy that keeps a distance from the
//! line and from every other answer, found by exact search with the notes around it given.

mod cut;
mod search;
mod strategy;

use std::ops::Range;

use linewright_compose::Line;
use linewright_rulebook::StyleBook;

pub use cut::cut;
pub use strategy::{STRATEGIES, Strategy, strategy_named};

/// What is asked for.
#[derive(Clone, Debug)]
pub struct Asked {
    /// How many answers.
    pub count: usize,
    /// By which strategies; every one that fits the passage when there are none.
    pub strategies: Vec<&'static Strategy>,
    /// In how many notes each answer differs at least from the line and from every other
    /// answer; three eighths of the notes of the passage, but two at least, when `None`.
    pub distance: Option<usize>,
}

/// One way through the passage.
#[derive(Clone, Debug)]
pub struct Variation {
    /// Its strategy.
    pub strategy: &'static Strategy,
    /// What the strategy did here, where it has a choice: `by Gb7`.
    pub by: Option<String>,
    /// The whole line with this answer in it.
    pub line: Line,
    /// The notes that differ from the line's, by slot.
    pub changed: Vec<usize>,
    /// Its worth beside the line's own passage, in milli-points, both read with no wish for the
    /// clarity and the cadence of these bars.
    pub worth: i64,
}

/// The answers for a passage, best first.
#[derive(Clone, Debug)]
pub struct Varied {
    /// The line.
    pub line: Line,
    /// The bars of the passage, as indices in the timeline.
    pub bars: Range<usize>,
    /// Any two of the answers, and each of them and the line, differ in so many notes at least.
    pub distance: usize,
    /// The answers, by worth.
    pub variations: Vec<Variation>,
    /// The line and then each answer with the bars around the passage only, to be heard.
    pub heard: Vec<Line>,
    /// Strategies that were asked for by name and do not fit the passage.
    pub unfit: Vec<&'static Strategy>,
    /// Whether the search was ended for some answer before it was known that nothing better is
    /// left, or nothing at all.
    pub cut_short: bool,
}

/// Why a passage cannot be varied.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum VaryError {
    /// The passage has no notes.
    #[error("there are no notes in these bars to vary\n  hint: give bars in which chords sound")]
    NoNotes,
    /// The passage has too many notes for an exact search.
    #[error("the passage has {notes} notes; at most {most} are searched\n  hint: give fewer bars")]
    TooLong {
        /// How many notes it has.
        notes: usize,
        /// How many it may have.
        most: usize,
    },
    /// The given notes around it lie too far apart.
    #[error(
        "the notes around the passage lie too far apart\n  hint: put them into one register first"
    )]
    TooWide,
}

/// Finds other ways through some bars of a line.
///
/// Strategies take turns: each answer is the best line of its strategy (the highest score under
/// the plan that the strategy makes) among all that keep the distance from the line and from
/// the answers before it; in long passages with many answers, the best that is found in about a
/// second for all of them ([`Varied::cut_short`]). Answers are then ranked by worth.
///
/// # Errors
/// When the passage has no notes, or too many.
pub fn vary(
    style_book: &StyleBook,
    line: &Line,
    bars: Range<usize>,
    asked: &Asked,
) -> Result<Varied, VaryError> {
    search::Search::new(style_book, line, bars, asked)?.run(asked)
}
