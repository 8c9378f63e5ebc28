//! Exact search over a layered lattice.
#![doc = ""]

mod automaton;
mod best;
mod count;
mod dead_end;
mod error;
mod graph;
mod k_apart;
mod k_best;
mod lattice;
mod memory;
mod pass;
mod sampler;
mod score;
mod semiring;
mod table;
mod weight;
mod wide;
mod width;

pub use automaton::Automaton;
pub use best::Scored;
pub use dead_end::{DeadEnd, Obstacle};
pub use error::BuildError;
pub use graph::Node;
pub use k_apart::{Apart, Shortage};
pub use lattice::{Echo, Lattice, LatticeBuilder, Layer, Segment};
pub use sampler::{SampleError, Sampler};
pub use score::{Source, Term};
pub use table::{ClassTable, ShapeTable, StepTable};
pub use weight::{CLASSES, MAX_CANDIDATES, MAX_WEIGHT, NEVER};
