//! What lines over the shipped charts in the shipped styles are like: for tests
//! and for tuning.
//!
//! [`shipped`] makes the lines, [`Promises`] says whether they keep what every
//! line keeps, and [`Habits`] how often they do what.

mod habits;
mod limits;
mod promises;
pub mod shipped;

pub use habits::{Habit, Habits, percent};
pub use promises::{Promise, Promises};
