//! The lattice: layers of candidates, segments of layers, and how they are put together.

use std::sync::Arc;

use crate::automaton::Automaton;
use crate::class_table::ClassTable;
use crate::error::{BuildError, Fault};
use crate::table::{ShapeTable, StepTable};
use crate::weight::{MAX_CANDIDATES, is_legal, largest};

/// One layer: what each of its candidates weighs, and how it is entered.
#[derive(Debug, Clone)]
pub struct Layer {
    /// Weight of each candidate, or [`NEVER`](crate::NEVER); one per candidate.
    pub notes: Vec<i32>,
    /// Class of candidate `k` is `(k + shift) mod 12`; below 12.
    pub shift: u8,
    /// Bit `k` is the gate of candidate `k`; it chooses among the four shapes.
    pub gate: u64,
    /// Weights of the steps into this layer; unused at the first layer.
    pub step: Arc<StepTable>,
    /// Weights of the pairs of steps that end in this layer; unused at the first two layers.
    pub shape: Arc<ShapeTable>,
}

/// A price on a segment that begins like the segment just before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Echo {
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
    Same {
        /// Weight added on equality, or [`NEVER`](crate::NEVER).
        weight: i32,
    },
}

impl Echo {
    /// The weight that the echo adds.
    pub fn weight(&self) -> i32 {
        match *self {
            Self::Classes { weight, .. } | Self::Same { weight } => weight,
        }
    }
}

/// A run of one to eight neighbouring layers that is weighed as a whole.
#[derive(Debug, Clone, Default)]
pub struct Segment {
    /// Number of layers, 1 to 8.
    pub len: usize,
    /// Weight of the classes of the first notes (as many as the table covers).
    pub head: Option<Arc<ClassTable>>,
    /// Weight of the classes of the last notes (as many as the table covers, at most three).
    pub tail: Option<Arc<ClassTable>>,
    /// Weight of beginning like the segment just before.
    pub echo: Option<Echo>,
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
    /// When sizes disagree, a weight is out of bounds, the segments do not cover the layers exactly, or an echo
    /// does not fit its segments; the message says which layer or segment and what would fit.
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
    if layer.notes.len() != candidates {
        return Err(Fault::Notes {
            layer: at,
            given: layer.notes.len(),
            wanted: candidates,
        }
        .into());
    }
    if let Some(k) = layer.notes.iter().position(|&w| !is_legal(w)) {
        return Err(Fault::Weight {
            what: "row of notes",
            at: k,
            given: layer.notes[k],
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
        ("step table", layer.step.candidates()),
        ("shape table", layer.shape.candidates()),
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
    let (head, tail) = (cover(&segment.head), cover(&segment.tail));
    if tail > 3 {
        return Err(Fault::Tail {
            segment: at,
            given: tail,
        }
        .into());
    }
    if head + tail > length {
        return Err(Fault::Windows {
            segment: at,
            length,
            head,
            tail,
        }
        .into());
    }
    let Some(echo) = segment.echo else {
        return Ok(());
    };
    if !is_legal(echo.weight()) {
        return Err(Fault::Weight {
            what: "echo",
            at,
            given: echo.weight(),
        }
        .into());
    }
    let Some(before) = before else {
        return Err(Fault::EchoFirst { segment: at }.into());
    };
    if before.len != length {
        return Err(Fault::EchoLengths {
            segment: at,
            length,
            before: before.len,
        }
        .into());
    }
    match echo {
        Echo::Same { .. } if length != 2 => Err(Fault::EchoSame {
            segment: at,
            length,
        }
        .into()),
        Echo::Same { .. } => Ok(()),
        Echo::Classes { count: 3, .. } if length == 4 => Ok(()),
        Echo::Classes { count: 2, .. } if length >= 3 => Ok(()),
        Echo::Classes { count, .. } => Err(Fault::EchoCount {
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
    /// Pins add up; two different pins on one layer leave no path.
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
    /// With an automaton already there, both must accept: the product is taken.
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

    /// Class of candidate `candidate` at layer `layer`.
    #[inline]
    pub fn class(&self, layer: usize, candidate: usize) -> usize {
        (candidate + usize::from(self.layers[layer].shift)) % crate::weight::CLASSES
    }

    /// For each layer, the largest size that its own weights can add up to.
    pub(crate) fn largest_by_layer(&self) -> impl Iterator<Item = i64> {
        self.layers
            .iter()
            .map(|layer| largest(&layer.notes) + layer.step.largest() + layer.shape.largest())
    }

    /// For each segment, the largest size that its tables and its echo can add up to.
    pub(crate) fn largest_by_segment(&self) -> impl Iterator<Item = i64> {
        self.segments.iter().map(|segment| {
            let tables = [&segment.head, &segment.tail];
            let tables = tables.map(|table| table.as_ref().map_or(0, |table| table.largest()));
            let echo = segment.echo.map_or(0, |echo| echo.weight());
            tables.iter().sum::<i64>() + largest(&[echo])
        })
    }

    #[inline]
    pub(crate) fn gate(&self, layer: usize, candidate: usize) -> bool {
        self.layers[layer].gate >> candidate & 1 == 1
    }

    #[inline]
    pub(crate) fn is_allowed(&self, layer: usize, candidate: usize) -> bool {
        self.allowed[layer] >> candidate & 1 == 1
    }
}
