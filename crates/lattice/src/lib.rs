//! A lattice for bars of beats with twelve classes: exact search over layers of candidates.
//!
//! Beats are layers, bars are segments of layers, and candidates, numbered from 0, have a class modulo twelve.
//!
//! A path takes one candidate per layer. Its score is the sum of integer weights, in thousandths, that *factors* give
//! to the candidates in their scopes:
//!
//! | factor | scope |
//! | --- | --- |
//! | unary | one candidate |
//! | bigram, trigram | two or three neighbouring candidates |
//! | prefix, suffix of a segment | the classes of its first one to four, or of its last one to three candidates |
//! | repetition | the first candidates of a segment and of the one before |
//!
//! Any weight can be [`NEVER`], which forbids the path; an [`Automaton`] can forbid paths too.
//!
//! | question | answered by | method |
//! | --- | --- | --- |
//! | what does this path score, and why | [`Lattice::score`], [`Lattice::terms`] | the definition |
//! | the best path, or why there is none | [`Lattice::best`], [`DeadEnd`] | Viterbi, lazy constraints |
//! | the best few | [`Lattice::k_best`] | lazy k best |
//! | the best few that keep a distance from each other | [`Lattice::apart`] | Lagrangian relaxation, branch and bound |
//! | all paths in rank order under a prefix predicate | [`Lattice::ranked_where`] | A* with an exact heuristic |
//! | the path nearest to a given one that scores enough | [`Lattice::nearest`] | Lagrangian relaxation, branch and bound |
//! | the same several times near one path, or under penalties | [`Lattice::relaxation`] | the same |
//! | a random path, in proportion to `exp(score / temperature)` | [`Lattice::sampler`] | sum-product, drawn by conditionals |
//! | how likely each candidate is; the partition function | [`Sampler::marginals`], [`Sampler::log_partition`] | forward–backward |
//! | how many paths are allowed | [`Lattice::count`] | counting semiring |
//! | the same with some candidates fixed | [`Lattice::pinned`] | |
//! | the same under further limits | [`Lattice::with_automaton`] | automaton product |
//! | the graph itself, for other algorithms | [`Lattice::to_graph`] | |
//!
//! All answers are exact, and the same on every machine: scores are integers, sums use `+` and `*` alone in a fixed
//! order. All but the graph come from one backward pass of dynamic programming, run in the semiring that the question
//! asks for. The state of that programme after a layer is the automaton's state, the last two candidates and an auxiliary
//! state for the factors with longer scopes; modules say which papers their algorithms are from.
//!
//! ```
//! use std::sync::Arc;
//! use linewright_lattice::{BigramTable, LatticeBuilder, Layer, NEVER, Segment, TrigramTable};
//!
//! // Three layers of four candidates: near ones cost little, staying is forbidden, turning back costs more.
//! let bigram = BigramTable::from_fn(4, |_class, diff| if diff == 0 { NEVER } else { -100 * diff.abs() })?;
//! let turn = |first: i32, second: i32| if first * second < 0 { -250 } else { 0 };
//! let trigram = TrigramTable::from_fn(4, |_, _, first, second| turn(first, second))?;
//! let (bigram, trigram) = (Arc::new(bigram), Arc::new(trigram));
//! let mut builder = LatticeBuilder::new(4);
//! for unary in [[0, 0, 0, 0], [0, 0, 0, 50], [500, 0, 0, 0]] {
//!     let (bigram, trigram) = (Arc::clone(&bigram), Arc::clone(&trigram));
//!     builder.layer(Layer { unary: unary.to_vec(), shift: 0, feature: 0, bigram, trigram });
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

mod active;
mod apart;
mod automaton;
mod auxiliary;
mod best;
mod bits;
mod class_table;
mod completion;
mod count;
mod dead_end;
mod error;
mod frontier;
mod graph;
mod k_best;
mod lattice;
mod nearest;
mod pass;
mod ranked;
mod sampler;
mod score;
mod semiring;
mod simd;
mod table;
mod viterbi;
mod weight;
mod width;

pub use apart::{Apart, Found};
pub use automaton::Automaton;
pub use class_table::ClassTable;
pub use dead_end::{DeadEnd, Obstacle};
pub use error::BuildError;
pub use graph::{Node, StateGraph};
pub use lattice::{Lattice, LatticeBuilder, Layer, Repetition, Segment};
pub use nearest::{Bounds, Nearest, NearestError, NearestLimits, PenaltyOracle, Relaxation};
pub use ranked::{ExpansionLimit, Ranked};
pub use sampler::{SampleError, Sampler};
pub use score::{Factor, Scored, Term};
pub use table::{BigramTable, TrigramTable};
pub use weight::{CLASSES, MAX_CANDIDATES, MAX_WEIGHT, NEVER};
