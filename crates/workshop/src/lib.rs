//! For developers: what lines over the shipped charts in the shipped styles are like, and
//! whether they are as they should be. Nothing that ships depends on it.
//!
//! [`shipped`] makes the lines. [`Judge`](judge::Judge) says what is wrong with a line, by code
//! that shares nothing with the rules; [`Promises`] says by it whether lines keep what every line
//! keeps, and [`Habits`] counts how often they do what. [`Sheets`] engraves them in all keys and
//! says whether anything collides. [`practice`] says how far lines lie from what professional
//! players play. [`count`] counts the product's lines of code.

pub mod count;
mod habits;
pub mod judge;
pub mod practice;
mod promises;
mod sheets;
pub mod shipped;

pub use habits::{Habit, Habits, percent};
pub use promises::{Promise, Promises};
pub use sheets::Sheets;
