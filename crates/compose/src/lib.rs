//! Composing: plan + rulebook → lattice → line.
//!
//! [`Composer::compose`] draws a plan, lets the rulebook weigh every candidate
//! note, every move, every pair of moves and every cell once, hands the tables
//! to the lattice, and reads the chosen path back by the same rulebook.

mod books;
mod build;
mod composer;
mod key;
mod line;
mod no_line;
mod passage;
mod provenance;
mod tables;
pub mod thousandths;
mod weights;
pub mod written;

pub use books::Books;
pub use composer::{Batch, Composer, Workbench};
pub use line::{Credits, Line};
pub use no_line::{Cause, NoLine};
pub use passage::Passage;
pub use provenance::{Choice, Origin, Provenance, Tempo, VERSION};
pub use tables::Tables;
pub use written::{Role, Sound, Written};
