//! The lattice: layers of candidates, segments of layers, the factors over them, and how they are put together.
//!
//! A factor gives a weight to the candidates in its scope; the score of a path is the sum over all factors (a
//! log-linear model, as in J. Lafferty, A. McCallum, F. Pereira, "Conditional random fields", International Conference
//! on Machine Learning, 2001; from memory).

use std::sync::Arc;

use crate::automaton::Automaton;
use crate::class_table::ClassTable;
use crate::error::{BuildError, Fault};
use crate::semiring::MaxPlus32;
use crate::table::{BigramTable, TrigramTable};
use crate::weight::{CLASSES, MAX_CANDIDATES, is_legal, largest};

/// One layer: the factors whose scope ends in it, apart from those of segments.
#[derive(Debug, Clone)]
pub struct Layer {
    /// Unary factor: weight of each candidate, or [`NEVER`](crate::NEVER); one per candidate.
    pub unary: Vec<i32>,
    /// Class of candidate `k` is `(k + shift) mod 12`; below 12.
    pub shift: u8,
    /// Bit `k` is a binary feature of candidate `k`, which trigram factors read.
    pub feature: u64,
    /// Bigram factor of the candidate before and that of this layer; unused at the first layer.
    pub bigram: Arc<BigramTable>,
    /// Trigram factor of the two candidates before and that of this layer; unused at the first two layers.
    pub trigram: Arc<TrigramTable>,
}

/// A repetition factor: a weight on a segment that begins like the segment just before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Repetition {
    /// Applied when the first `count` candidates of both segments have equal classes, place by place.
    ///
    /// `count` is 3 for segments of four layers, or 2 for segments of three to eight.
    Classes {
        /// Number of places that are compared.
        count: u8,
        /// Weight added on equality, or [`NEVER`](crate::NEVER).
        weight: i32,
    },
    /// For segments of two layers: applied when both candidates are the same, index by index.
    Candidates {
        /// Weight added on equality, or [`NEVER`](crate::NEVER).
        weight: i32,
    },
}

impl Repetition {
    /// The weight of the factor.
    pub fn weight(&self) -> i32 {
        match *self {
            Self::Classes { weight, .. } | Self::Candidates { weight } => weight,
        }
    }
}

/// A run of one to eight neighbouring layers with factors of its own.
#[derive(Debug, Clone, Default)]
pub struct Segment {
    /// Number of layers, 1 to 8.
    pub len: usize,
    /// Prefix factor: weight of the classes of the first candidates (as many as the table covers).
    pub prefix: Option<Arc<ClassTable>>,
    /// Suffix factor: weight of the classes of the last candidates (as many as the table covers, at most three).
    pub suffix: Option<Arc<ClassTable>>,
    /// Repetition factor: weight of beginning like the segment just before.
    pub repetition: Option<Repetition>,
}

/// A validated lattice. Cloning is cheap: the layers are shared.
#[derive(Debug, Clone)]
pub struct Lattice {
    pub(crate) candidates: usize,
    pub(crate) layers: Arc<Vec<Layer>>,
    pub(crate) segments: Arc<Vec<Segment>>,
    /// First layer of each segment.
    pub(crate) starts: Arc<Vec<usize>>,
    /// Candidates that the pins leave at each layer, as bits.
    pub(crate) allowed: Vec<u64>,
    pub(crate) automaton: Option<Arc<Automaton>>,
}

/// Collects layers and segments, and checks them.
#[derive(Debug, Clone)]
pub struct LatticeBuilder {
    candidates: usize,
    layers: Vec<Layer>,
    segments: Vec<Segment>,
}

impl LatticeBuilder {
    /// Begins a lattice with `candidates` candidates a layer (1 to 64).
    pub fn new(candidates: usize) -> Self {
        Self {
            candidates,
            layers: Vec::new(),
            segments: Vec::new(),
        }
    }

    /// Adds the next layer.
    pub fn layer(&mut self, layer: Layer) -> &mut Self {
        self.layers.push(layer);
        self
    }

    /// Adds the next segment; it covers the layers that follow those of the segment before.
    pub fn segment(&mut self, segment: Segment) -> &mut Self {
        self.segments.push(segment);
        self
    }

    /// Checks everything and gives the lattice.
    ///
    /// # Errors
    /// When sizes disagree, a weight is out of bounds, the segments do not cover the layers exactly, or a repetition
    /// factor does not fit its segments; the message says which layer or segment and what would fit.
    ///
    /// Linear in the number of weights in layers.
    pub fn build(self) -> Result<Lattice, BuildError> {
        let Self {
            candidates,
            layers,
            segments,
        } = self;
        if !(1..=MAX_CANDIDATES).contains(&candidates) {
            return Err(Fault::Candidates { given: candidates }.into());
        }
        if layers.is_empty() {
            return Err(Fault::NoLayers.into());
        }
        for (at, layer) in layers.iter().enumerate() {
            check_layer(at, layer, candidates)?;
        }
        let mut starts = Vec::with_capacity(segments.len());
        let mut covered = 0;
        for (at, segment) in segments.iter().enumerate() {
            check_segment(
                at,
                segment,
                at.checked_sub(1).map(|before| &segments[before]),
            )?;
            starts.push(covered);
            covered += segment.len;
        }
        if covered != layers.len() {
            return Err(Fault::Cover {
                covered,
                layers: layers.len(),
            }
            .into());
        }
        let allowed = vec![all_candidates(candidates); layers.len()];
        Ok(Lattice {
            candidates,
            layers: Arc::new(layers),
            segments: Arc::new(segments),
            starts: Arc::new(starts),
            allowed,
            automaton: None,
        })
    }
}

fn all_candidates(candidates: usize) -> u64 {
    u64::MAX >> (64 - candidates)
}

fn check_layer(at: usize, layer: &Layer, candidates: usize) -> Result<(), BuildError> {
    if layer.unary.len() != candidates {
        return Err(Fault::Notes {
            layer: at,
            given: layer.unary.len(),
            wanted: candidates,
        }
        .into());
    }
    if let Some(k) = layer.unary.iter().position(|&w| !is_legal(w)) {
        return Err(Fault::Weight {
            what: "row of unary weights",
            at: k,
            given: layer.unary[k],
        }
        .into());
    }
    if layer.shift >= 12 {
        return Err(Fault::Shift {
            layer: at,
            given: layer.shift,
        }
        .into());
    }
    for (what, given) in [
        ("bigram table", layer.bigram.candidates()),
        ("trigram table", layer.trigram.candidates()),
    ] {
        if given != candidates {
            return Err(Fault::TableFit {
                layer: at,
                what,
                given,
                wanted: candidates,
            }
            .into());
        }
    }
    Ok(())
}

fn check_segment(at: usize, segment: &Segment, before: Option<&Segment>) -> Result<(), BuildError> {
    let length = segment.len;
    if !(1..=8).contains(&length) {
        return Err(Fault::SegmentLength {
            segment: at,
            given: length,
        }
        .into());
    }
    let cover = |table: &Option<Arc<ClassTable>>| table.as_ref().map_or(0, |table| table.len());
    let (prefix, suffix) = (cover(&segment.prefix), cover(&segment.suffix));
    if suffix > 3 {
        return Err(Fault::Suffix {
            segment: at,
            given: suffix,
        }
        .into());
    }
    if prefix + suffix > length {
        return Err(Fault::Windows {
            segment: at,
            length,
            prefix,
            suffix,
        }
        .into());
    }
    let Some(repetition) = segment.repetition else {
        return Ok(());
    };
    if !is_legal(repetition.weight()) {
        return Err(Fault::Weight {
            what: "repetition",
            at,
            given: repetition.weight(),
        }
        .into());
    }
    let Some(before) = before else {
        return Err(Fault::RepetitionFirst { segment: at }.into());
    };
    if before.len != length {
        return Err(Fault::RepetitionLengths {
            segment: at,
            length,
            before: before.len,
        }
        .into());
    }
    match repetition {
        Repetition::Candidates { .. } if length != 2 => Err(Fault::RepetitionCandidates {
            segment: at,
            length,
        }
        .into()),
        Repetition::Candidates { .. } => Ok(()),
        Repetition::Classes { count: 3, .. } if length == 4 => Ok(()),
        Repetition::Classes { count: 2, .. } if length >= 3 => Ok(()),
        Repetition::Classes { count, .. } => Err(Fault::RepetitionCount {
            segment: at,
            length,
            given: count,
        }
        .into()),
    }
}

impl Lattice {
    /// Number of layers.
    #[expect(
        clippy::len_without_is_empty,
        reason = "a lattice has at least one layer"
    )]
    pub fn len(&self) -> usize {
        self.layers.len()
    }

    /// Number of candidates a layer.
    pub fn candidates(&self) -> usize {
        self.candidates
    }

    /// The layers, in order.
    pub fn layers(&self) -> &[Layer] {
        &self.layers
    }

    /// The segments, in order.
    pub fn segments(&self) -> &[Segment] {
        &self.segments
    }

    /// First layer of each segment.
    pub fn segment_starts(&self) -> &[usize] {
        &self.starts
    }

    /// The automaton that paths must satisfy, if any.
    pub fn automaton(&self) -> Option<&Automaton> {
        self.automaton.as_deref()
    }

    /// The same lattice with a layer's candidate fixed, for each `(layer, candidate)`.
    ///
    /// Pins add up; two different pins on one layer leave no path. Linear in the number of layers and of pins.
    ///
    /// # Errors
    /// When a layer or candidate does not exist.
    pub fn pinned(&self, pins: &[(usize, usize)]) -> Result<Self, BuildError> {
        let mut pinned = self.clone();
        for &(layer, candidate) in pins {
            if layer >= self.len() || candidate >= self.candidates {
                let (layers, candidates) = (self.len(), self.candidates);
                return Err(Fault::Pin {
                    layer,
                    candidate,
                    layers,
                    candidates,
                }
                .into());
            }
            pinned.allowed[layer] &= 1 << candidate;
        }
        Ok(pinned)
    }

    /// The same lattice, whose paths must also be accepted by `automaton`.
    ///
    /// With an automaton already there, both must accept: the product is taken ([`Automaton::product`]).
    ///
    /// # Errors
    /// When the automaton is made for another number of layers or candidates, or the product has more than 256
    /// reachable states.
    pub fn with_automaton(&self, automaton: Automaton) -> Result<Self, BuildError> {
        if automaton.layers() != self.len() || automaton.candidates() != self.candidates {
            return Err(Fault::AutomatonFit {
                given: automaton.layers(),
                given_candidates: automaton.candidates(),
                layers: self.len(),
                candidates: self.candidates,
            }
            .into());
        }
        let automaton = match &self.automaton {
            Some(present) => present.product(&automaton)?,
            None => automaton,
        };
        Ok(Self {
            automaton: Some(Arc::new(automaton)),
            ..self.clone()
        })
    }

    /// The same lattice with other weights in its layers.
    pub(crate) fn with_layers(&self, change: impl FnOnce(&mut [Layer])) -> Self {
        let mut layers = self.layers.as_ref().clone();
        change(&mut layers);
        Self {
            layers: Arc::new(layers),
            ..self.clone()
        }
    }

    /// Class of candidate `candidate` at layer `layer`.
    #[inline]
    pub fn class(&self, layer: usize, candidate: usize) -> usize {
        (candidate + usize::from(self.layers[layer].shift)) % CLASSES
    }

    /// Number of states of the automaton; without one there is a single state that never stops.
    pub(crate) fn automaton_states(&self) -> usize {
        let automaton = self.automaton.as_ref();
        automaton.map_or(1, |automaton| automaton.states())
    }

    /// State of the automaton before the first layer.
    pub(crate) fn automaton_start(&self) -> usize {
        let automaton = self.automaton.as_ref();
        automaton.map_or(0, |automaton| automaton.start())
    }

    /// State of the automaton after `candidate` at `layer`; `None` when it stops.
    #[inline(always)]
    pub(crate) fn automaton_next(
        &self,
        layer: usize,
        state: usize,
        candidate: usize,
    ) -> Option<usize> {
        match &self.automaton {
            None => Some(0),
            Some(automaton) => automaton.next(layer, state, candidate),
        }
    }

    /// Whether the automaton accepts a path that ends in `state`.
    pub(crate) fn accepts_in(&self, state: usize) -> bool {
        let automaton = self.automaton.as_ref();
        automaton.is_none_or(|automaton| automaton.accepts_in(state))
    }

    /// For each layer, the largest size that its factors can add up to.
    pub(crate) fn largest_by_layer(&self) -> impl Iterator<Item = i64> {
        self.layers
            .iter()
            .map(|layer| largest(&layer.unary) + layer.bigram.largest() + layer.trigram.largest())
    }

    /// For each segment, the largest size that its factors can add up to.
    pub(crate) fn largest_by_segment(&self) -> impl Iterator<Item = i64> {
        self.segments.iter().map(|segment| {
            let tables = [&segment.prefix, &segment.suffix];
            let tables = tables.map(|table| table.as_ref().map_or(0, |table| table.largest()));
            let repetition = segment
                .repetition
                .map_or(0, |repetition| repetition.weight());
            tables.iter().sum::<i64>() + largest(&[repetition])
        })
    }

    /// Whether every total of finite weights stays within [`MaxPlus32::BOUND`].
    pub(crate) fn fits_in_32_bits(&self) -> bool {
        let layers: i64 = self.largest_by_layer().sum();
        let segments: i64 = self.largest_by_segment().sum();
        layers + segments < MaxPlus32::BOUND
    }

    #[inline]
    pub(crate) fn has_feature(&self, layer: usize, candidate: usize) -> bool {
        self.layers[layer].feature >> candidate & 1 == 1
    }

    #[inline]
    pub(crate) fn is_allowed(&self, layer: usize, candidate: usize) -> bool {
        self.allowed[layer] >> candidate & 1 == 1
    }
}
