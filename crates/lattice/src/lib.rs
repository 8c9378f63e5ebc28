//! Exact search over a layered lattice.
#![doc = ""]

mod automaton;
mod best;
mod dead_end;
mod error;
mod lattice;
mod memory;
mod pass;
mod score;
mod semiring;
mod table;
mod weight;
mod width;

pub use automaton::Automaton;
pub use best::Scored;
pub use dead_end::{DeadEnd, Obstacle};
pub use error::BuildError;
pub use lattice::{Echo, Lattice, LatticeBuilder, Layer, Segment};
pub use score::{Source, Term};
pub use table::{ClassTable, ShapeTable, StepTable};
pub use weight::{CLASSES, MAX_CANDIDATES, MAX_WEIGHT, NEVER};
