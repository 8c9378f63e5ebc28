//! The order of notes, in the bar and against the bar before.

mod cell_again;
mod cells;
mod chromatic_fill;
mod reordered_cell;
mod sequence;
mod stock_cell;
mod thin_bar;

pub use cell_again::CELL_AGAIN;
pub use cells::stock_cell_of;
pub use chromatic_fill::CHROMATIC_FILL;
pub use reordered_cell::REORDERED_CELL;
pub use sequence::SEQUENCE;
pub use stock_cell::STOCK_CELL;
pub use thin_bar::THIN_BAR;
