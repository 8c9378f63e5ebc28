//! What a line does, bar by bar: its cells and their order, its cadences, where tension builds
//! and lets go, where it lies, and a summary of it all in numbers.

mod cadences;
mod cells;
mod counts;

use linewright_compose::Line;

pub(crate) use cadences::hear;
pub use cadences::{Landing, landings};
pub use cells::{BarOrder, orders_of_bars};
pub use counts::{Counts, Share};

/// A line explained.
#[derive(Clone, Debug)]
pub struct Explanation {
    /// For each bar of the reading, how its cell stands to the bar before and to the stock cells.
    pub orders: Vec<BarOrder>,
    /// Where the line cadences, in order.
    pub landings: Vec<Landing>,
    /// The line in numbers.
    pub counts: Counts,
}

impl Explanation {
    /// Explains a line that has been read.
    pub fn of(line: &Line) -> Self {
        Self {
            orders: orders_of_bars(line),
            landings: landings(line),
            counts: Counts::of(line),
        }
    }
}
