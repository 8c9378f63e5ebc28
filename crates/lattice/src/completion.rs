//! Completion bounds for searches from the front: at every prefix of a path, its extensions with the best score that
//! each can still lead to.
//!
//! The bounds are backward Viterbi values: exact when every factor is active, so that they are a perfect heuristic for
//! A*, and never too low otherwise. Lane counts and number widths end here.

use std::sync::{Arc, OnceLock};

use pulp::Simd;

use crate::active::ActiveFactors;
use crate::auxiliary::Layout;
use crate::bits::Bits;
use crate::lattice::Lattice;
use crate::pass::{DpState, Pass, Tables};
use crate::semiring::{MaxPlus32, MaxPlus64, Semiring};
use crate::simd::{Work, dispatch};
use crate::width::with_lanes;

/// A candidate that can follow a prefix.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Extension {
    pub(crate) candidate: u8,
    /// Weight of taking it, with that of the best completion behind it.
    pub(crate) value: i64,
}

/// The values of the best completions of all prefixes.
pub(crate) trait CompletionBounds: Send + Sync {
    /// Writes the extensions of a prefix of `t` candidates that is in the state `at`, in the order of candidates; each
    /// leads to a whole path. For the empty prefix the state does not matter.
    ///
    /// Linear in the number of candidates, but for those that match a repetition.
    fn extensions(&self, t: usize, at: DpState, extensions: &mut Vec<Extension>);

    /// The state after extending a prefix of `t` candidates, with the weight of doing so. (The weight
    /// of the first two layers comes with the second, where there is one.)
    fn advance(&self, t: usize, at: DpState, candidate: u8) -> (DpState, i64);
}

/// The state that stands for the empty prefix.
pub(crate) const ROOT: DpState = DpState {
    state: 0,
    pair: [0; 2],
    aux: 0,
};

impl Lattice {
    /// Solves the lattice for searches from the front, by all factors or some: then bounds may be too high.
    ///
    /// One backward pass, all of whose tables are kept.
    pub(crate) fn completion_bounds(&self, active: &ActiveFactors) -> Arc<dyn CompletionBounds> {
        let layout = Arc::new(Layout::new(self, active));
        if self.fits_in_32_bits() {
            with_lanes!(self.candidates, 48, W => {
                Arc::new(BackwardValues::new(Pass::<_, W>::new(MaxPlus32, self, &layout)))
            })
        } else {
            Arc::new(BackwardValues::new(Pass::<_, 64>::new(
                MaxPlus64, self, &layout,
            )))
        }
    }
}

/// The bounds of one lattice by the factors that were active when it was solved.
pub(crate) struct BackwardValues<S: Semiring, const W: usize> {
    pass: Pass<S, W>,
    /// Absent for a lattice of one layer.
    tables: Option<Tables<S::Value>>,
    start: OnceLock<Start<S::Value>>,
}

/// What a search from the front needs besides the tables.
struct Start<V> {
    /// Transition weights into each layer; empty for the first two.
    transitions: Vec<Vec<V>>,
    /// States after the first two layers with their weights and the values of their completions, weight included; of
    /// a lattice of one layer, its candidates.
    initial_states: Vec<(DpState, i64, i64)>,
}

impl<S: Semiring, const W: usize> BackwardValues<S, W>
where
    S::Value: Into<i64>,
{
    fn new(pass: Pass<S, W>) -> Self {
        let tables = (pass.lattice.len() > 1).then(|| pass.backward_tables(None));
        Self {
            pass,
            tables,
            start: OnceLock::new(),
        }
    }

    /// A lattice that was solved for its best path; it has at least two layers.
    pub(crate) fn of(pass: Pass<S, W>, tables: Tables<S::Value>) -> Self {
        Self {
            pass,
            tables: Some(tables),
            start: OnceLock::new(),
        }
    }

    fn start(&self) -> &Start<S::Value> {
        self.start.get_or_init(|| {
            let (pass, ring) = (&self.pass, self.pass.ring);
            let mut initial_states = Vec::new();
            let mut transitions = Vec::new();
            match &self.tables {
                None => {
                    for (k, weight) in pass.single_layer_paths() {
                        let pair = [usize::from(k); 2];
                        initial_states.push((
                            DpState { pair, ..ROOT },
                            weight.into(),
                            weight.into(),
                        ));
                    }
                }
                Some(tables) => {
                    pass.initial_states(|at, weight| {
                        let value = pass.value(1, tables.get(1), at);
                        let value = ring.product(weight, value);
                        if value != ring.zero() {
                            initial_states.push((at, weight.into(), value.into()));
                        }
                    });
                    transitions.resize_with(pass.lattice.len(), Vec::new);
                    for (t, rows) in transitions.iter_mut().enumerate().skip(2) {
                        pass.embedding
                            .transitions_into(pulp::Scalar, &pass.lattice, t, rows);
                    }
                }
            }
            Start {
                transitions,
                initial_states,
            }
        })
    }

    /// The initial states that begin with a candidate.
    fn initial_states_from(&self, first: usize) -> &[(DpState, i64, i64)] {
        let initial_states = &self.start().initial_states;
        let from = initial_states.partition_point(|(at, ..)| at.pair[0] < first);
        let count = initial_states[from..].partition_point(|(at, ..)| at.pair[0] == first);
        &initial_states[from..from + count]
    }
}

impl<S: Semiring, const W: usize> CompletionBounds for BackwardValues<S, W>
where
    S::Value: Into<i64>,
{
    fn extensions(&self, t: usize, at: DpState, extensions: &mut Vec<Extension>) {
        extensions.clear();
        match t {
            0 => {
                for &(at, _, value) in &self.start().initial_states {
                    let candidate = at.pair[0] as u8;
                    match extensions.last_mut() {
                        Some(last) if last.candidate == candidate => {
                            last.value = last.value.max(value);
                        }
                        _ => extensions.push(Extension { candidate, value }),
                    }
                }
            }
            1 => extensions.extend(self.initial_states_from(at.pair[1]).iter().map(
                |&(at, _, value)| Extension {
                    candidate: at.pair[1] as u8,
                    value,
                },
            )),
            _ => {
                let bounds = self;
                let conditionals = dispatch(Conditionals { bounds, t, at });
                let Pass {
                    ring,
                    lattice,
                    embedding,
                    ..
                } = &self.pass;
                for k in Bits(embedding.successors(lattice, t, at.pair[1])) {
                    let value = ring.normalize(conditionals[k]);
                    if value != ring.zero() {
                        extensions.push(Extension {
                            candidate: k as u8,
                            value: value.into(),
                        });
                    }
                }
            }
        }
    }

    fn advance(&self, t: usize, at: DpState, candidate: u8) -> (DpState, i64) {
        let k = usize::from(candidate);
        match t {
            0 => {
                let initial = self.initial_states_from(k)[0];
                let weight = if self.tables.is_some() { 0 } else { initial.1 };
                (
                    DpState {
                        pair: [k; 2],
                        ..ROOT
                    },
                    weight,
                )
            }
            1 => {
                let initial_states = self.initial_states_from(at.pair[1]);
                let initial = initial_states.iter().find(|(at, ..)| at.pair[1] == k);
                let &(at, weight, _) = initial.expect("the extension that is taken is there");
                (at, weight)
            }
            _ => {
                let next = self.pass.follow(t, at, k);
                let (at, weight) = next.expect("the extension that is taken is there");
                (at, weight.into())
            }
        }
    }
}

/// The values of all extensions from one state.
struct Conditionals<'a, S: Semiring, const W: usize> {
    bounds: &'a BackwardValues<S, W>,
    t: usize,
    at: DpState,
}

impl<S: Semiring, const W: usize> Work for Conditionals<'_, S, W>
where
    S::Value: Into<i64>,
{
    type Output = [S::Value; W];

    #[inline(always)]
    fn run<D: Simd>(self, simd: D) -> [S::Value; W] {
        let BackwardValues { pass, tables, .. } = self.bounds;
        let transitions = &self.bounds.start().transitions;
        let tables = tables
            .as_ref()
            .expect("a lattice of several layers has tables");
        pass.conditionals(simd, self.t, self.at, tables, transitions)
    }
}
