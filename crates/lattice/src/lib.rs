//! Exact search over a layered lattice.
//!
//! A lattice has layers, each with the same candidates on a line. A path takes one candidate per layer. Its score is
//! the sum of integer weights, in thousandths: of each candidate, each step, each pair of neighbouring steps, the
//! classes at the head and at the tail of each segment (a run of layers), and of a segment that echoes the beginning
//! of the one before. Any weight can be [`NEVER`], which forbids the path; an [`Automaton`] can forbid paths too.
//!
//! | question | answered by |
//! | --- | --- |
//! | what does this path score, and why | [`Lattice::score`], [`Lattice::terms`] |
//! | the best path, or why there is none | [`Lattice::best`], [`DeadEnd`] |
//! | the best few | [`Lattice::k_best`] |
//! | the best few that differ throughout | [`Lattice::k_apart`] |
//! | all paths in rank order, as far as a predicate admits them | [`Lattice::ranked_where`] |
//! | the path nearest to a given one that scores enough | [`Lattice::nearest`] |
//! | the same several times near one path, or of those that pass a test | [`Lattice::near`] |
//! | a random path, in proportion to `exp(score / temperature)` | [`Lattice::sampler`] |
//! | how likely each candidate is | [`Lattice::marginals`] |
//! | how many paths are allowed | [`Lattice::count`] |
//! | the same with some candidates fixed | [`Lattice::pinned`] |
//! | the same under further limits | [`Lattice::with_automaton`] |
//! | the graph itself, for other algorithms | [`Lattice::to_graph`] |
//!
//! All answers are exact, and the same on every machine: scores are integers, sums use `+` and `*` alone in a fixed
//! order. All but the graph come from one backward pass, run under the arithmetic that the question asks for.
//!
//! ```
//! use std::sync::Arc;
//! use linewright_lattice::{LatticeBuilder, Layer, NEVER, Segment, ShapeTable, StepTable};
//!
//! // Three layers of four candidates: small steps cost little, staying is forbidden, turning back costs more.
//! let step = StepTable::from_fn(4, |_class, diff| if diff == 0 { NEVER } else { -100 * diff.abs() })?;
//! let shape = ShapeTable::from_fn(4, |_, _, first, second| if first * second < 0 { -250 } else { 0 })?;
//! let (step, shape) = (Arc::new(step), Arc::new(shape));
//! let mut builder = LatticeBuilder::new(4);
//! for notes in [[0, 0, 0, 0], [0, 0, 0, 50], [500, 0, 0, 0]] {
//!     let (step, shape) = (Arc::clone(&step), Arc::clone(&shape));
//!     builder.layer(Layer { notes: notes.to_vec(), shift: 0, gate: 0, step, shape });
//! }
//! builder.segment(Segment { len: 3, ..Segment::default() });
//! let lattice = builder.build()?;
//!
//! let best = lattice.best()?;
//! assert_eq!((&best.path[..], best.score), (&[2, 1, 0][..], 300));
//! assert_eq!(lattice.score(&best.path), Some(300));
//! assert_eq!(lattice.count(), 36u32.into());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod ahead;
mod automaton;
mod best;
mod bits;
mod class_table;
mod count;
mod dead_end;
mod error;
mod frontier;
mod graph;
mod k_apart;
mod k_best;
mod lattice;
mod memory;
mod nearest;
mod pass;
mod ranked;
mod sampler;
mod score;
mod semiring;
mod table;
mod weight;
mod wide;
mod width;

pub use automaton::Automaton;
pub use best::Scored;
pub use class_table::ClassTable;
pub use dead_end::{DeadEnd, Obstacle};
pub use error::BuildError;
pub use graph::Node;
pub use k_apart::{Apart, Shortage};
pub use lattice::{Echo, Lattice, LatticeBuilder, Layer, Segment};
pub use nearest::{Bounds, Near, Nearest, NearestLimits, NotNear, Truth};
pub use ranked::{Ranked, StepsSpent};
pub use sampler::{SampleError, Sampler};
pub use score::{Source, Term};
pub use table::{ShapeTable, StepTable};
pub use weight::{CLASSES, MAX_CANDIDATES, MAX_WEIGHT, NEVER};
