//! What can be wrong with the parts of a lattice.

use crate::weight::{MAX_CANDIDATES, MAX_WEIGHT};

/// A lattice, table or automaton that cannot be built: what is wrong, and what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(transparent)]
pub struct BuildError(#[from] Fault);

#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub(crate) enum Fault {
    #[error("a lattice has 1 to {MAX_CANDIDATES} candidates a layer, not {given}")]
    Candidates { given: usize },
    #[error("a {what} of {given} weights was given where {wanted} are needed")]
    TableSize {
        what: &'static str,
        given: usize,
        wanted: usize,
    },
    #[error("weight {at} of a {what} is {given}; write NEVER or a value within ±{MAX_WEIGHT}")]
    Weight {
        what: &'static str,
        at: usize,
        given: i32,
    },
    #[error("a class table covers 1 to 4 classes, not {given}")]
    ClassTableLength { given: usize },
    #[error(
        "a class table of {count} groups has no group {given}; groups are below 12 and count from 0"
    )]
    Group { given: usize, count: usize },
    #[error("a lattice needs at least one layer")]
    NoLayers,
    #[error("layer {layer}: {given} unary weights were given for {wanted} candidates")]
    Notes {
        layer: usize,
        given: usize,
        wanted: usize,
    },
    #[error("layer {layer}: the shift is {given}; it must be below 12")]
    Shift { layer: usize, given: u8 },
    #[error("layer {layer}: its {what} is made for {given} candidates, the lattice has {wanted}")]
    TableFit {
        layer: usize,
        what: &'static str,
        given: usize,
        wanted: usize,
    },
    #[error("segment {segment} has {given} layers; a segment has 1 to 8")]
    SegmentLength { segment: usize, given: usize },
    #[error("the segments cover {covered} layers, but there are {layers}")]
    Cover { covered: usize, layers: usize },
    #[error(
        "segment {segment} of length {length}: prefix and suffix tables cover {prefix} + {suffix} classes; together at most {length}"
    )]
    Windows {
        segment: usize,
        length: usize,
        prefix: usize,
        suffix: usize,
    },
    #[error("segment {segment}: a suffix table covers at most 3 classes, not {given}")]
    Suffix { segment: usize, given: usize },
    #[error("segment {segment}: the first segment has none before it to repeat")]
    RepetitionFirst { segment: usize },
    #[error(
        "segment {segment} has {length} layers and the one before it {before}; a repetition needs equal lengths"
    )]
    RepetitionLengths {
        segment: usize,
        length: usize,
        before: usize,
    },
    #[error(
        "segment {segment} of length {length}: {given} repeated classes; write 3 for length 4, 2 for length 3 to 8, or Candidates for length 2"
    )]
    RepetitionCount {
        segment: usize,
        length: usize,
        given: u8,
    },
    #[error(
        "segment {segment} of length {length}: a repetition of equal candidates needs length 2"
    )]
    RepetitionCandidates { segment: usize, length: usize },
    #[error(
        "pin at layer {layer}, candidate {candidate}: there are {layers} layers of {candidates} candidates"
    )]
    Pin {
        layer: usize,
        candidate: usize,
        layers: usize,
        candidates: usize,
    },
    #[error(
        "an automaton for {given} layers of {given_candidates} candidates was given to a lattice of {layers} layers of {candidates}"
    )]
    AutomatonFit {
        given: usize,
        given_candidates: usize,
        layers: usize,
        candidates: usize,
    },
    #[error("an automaton has 1 to 256 states, not {given}")]
    AutomatonStates { given: usize },
    #[error("the automaton leads to state {given} at layer {layer}; it has {states} states")]
    AutomatonTarget {
        layer: usize,
        given: usize,
        states: usize,
    },
    #[error(
        "the automaton's start or accepting state {given} does not exist; it has {states} states"
    )]
    AutomatonState { given: usize, states: usize },
    #[error("the product of the automata has more than 256 reachable states")]
    ProductTooLarge,
}
