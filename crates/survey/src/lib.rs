//! What lines over the shipped charts in the shipped styles are like: for tests
//! and for tuning.
//!
//! [`shipped`] makes the lines, [`Promises`] says whether they keep what every
//! line keeps, and [`Habits`] how often they do what. [`Sheets`] engraves them in all keys and says
//! whether anything collides.

mod habits;
mod limits;
mod promises;
mod sheets;
pub mod shipped;

pub use habits::{Habit, Habits, percent};
pub use promises::{Promise, Promises};
pub use sheets::Sheets;
