//! A solved lattice as a search from the front sees it: at every beginning, the ways on with the best score that each
//! can still lead to. Lane counts and number widths end here.

use std::sync::{Arc, OnceLock};

use pulp::Simd;

use crate::best::only_layer;
use crate::bits::Bits;
use crate::lattice::Lattice;
use crate::memory::{Plan, Watched};
use crate::pass::{At, Pass, Tables};
use crate::semiring::{Best32, Best64, Semiring};
use crate::wide::{Work, dispatch};
use crate::width::with_lanes;

/// A candidate that can follow a beginning.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Way {
    pub(crate) candidate: u8,
    /// Weight of taking it, with that of the best completion behind it.
    pub(crate) value: i64,
}

/// The exact values of all completions of all beginnings.
pub(crate) trait Ahead: Send + Sync {
    /// Puts the ways on from a beginning of `t` candidates that is in the state `at` into `ways`, in the order of
    /// candidates; none of them is a blind alley. For the empty beginning the state does not matter.
    fn ways(&self, t: usize, at: At, ways: &mut Vec<Way>);

    /// The state after taking a way on from a beginning of `t` candidates, with the weight of doing so. (The weight
    /// of the first two layers comes with the second, where there is one.)
    fn take(&self, t: usize, at: At, candidate: u8) -> (At, i64);
}

/// The state that stands for the empty beginning.
pub(crate) const NOWHERE: At = At {
    state: 0,
    pair: [0; 2],
    memory: 0,
};

impl Lattice {
    /// Solves the lattice for searches from the front, with all watched or only some: then values may be too high.
    pub(crate) fn look_ahead(&self, watched: &Watched) -> Arc<dyn Ahead> {
        let plan = Arc::new(Plan::new(self, watched));
        if self.fits_in_32_bits() {
            with_lanes!(self.candidates, 48, W => {
                Arc::new(Solved::new(Pass::<_, W>::new(Best32, self, &plan)))
            })
        } else {
            Arc::new(Solved::new(Pass::<_, 64>::new(Best64, self, &plan)))
        }
    }
}

pub(crate) struct Solved<S: Semiring, const W: usize> {
    pass: Pass<S, W>,
    /// Absent for a lattice of one layer.
    tables: Option<Tables<S::Value>>,
    front: OnceLock<Front<S::Value>>,
}

/// What a search from the front needs besides the tables.
struct Front<V> {
    /// Moves into each layer; empty for the first two.
    moves: Vec<Vec<V>>,
    /// States after the first two layers with their weights and the values of their completions, weight included; of
    /// a lattice of one layer, its candidates.
    openings: Vec<(At, i64, i64)>,
}

impl<S: Semiring, const W: usize> Solved<S, W>
where
    S::Value: Into<i64>,
{
    fn new(pass: Pass<S, W>) -> Self {
        let tables = (pass.lattice.len() > 1).then(|| pass.sweep(None));
        Self {
            pass,
            tables,
            front: OnceLock::new(),
        }
    }

    /// A lattice that was solved for its best path; it has at least two layers.
    pub(crate) fn of(pass: Pass<S, W>, tables: Tables<S::Value>) -> Self {
        Self {
            pass,
            tables: Some(tables),
            front: OnceLock::new(),
        }
    }

    fn front(&self) -> &Front<S::Value> {
        self.front.get_or_init(|| {
            let (pass, ring) = (&self.pass, self.pass.ring);
            let mut openings = Vec::new();
            let mut moves = Vec::new();
            match &self.tables {
                None => {
                    for (k, weight) in only_layer(pass) {
                        let pair = [usize::from(k); 2];
                        openings.push((At { pair, ..NOWHERE }, weight.into(), weight.into()));
                    }
                }
                Some(tables) => {
                    pass.openings(|at, weight| {
                        let value = pass.value(1, tables.get(1), at);
                        let value = ring.settle(ring.times(weight, value));
                        if value != ring.zero() {
                            openings.push((at, weight.into(), value.into()));
                        }
                    });
                    moves.resize_with(pass.lattice.len(), Vec::new);
                    for (t, rows) in moves.iter_mut().enumerate().skip(2) {
                        pass.lifted.moves_into(pulp::Scalar, &pass.lattice, t, rows);
                    }
                }
            }
            Front { moves, openings }
        })
    }

    /// The openings that begin with a candidate.
    fn openings_from(&self, first: usize) -> &[(At, i64, i64)] {
        let openings = &self.front().openings;
        let from = openings.partition_point(|(at, ..)| at.pair[0] < first);
        let count = openings[from..].partition_point(|(at, ..)| at.pair[0] == first);
        &openings[from..from + count]
    }
}

impl<S: Semiring, const W: usize> Ahead for Solved<S, W>
where
    S::Value: Into<i64>,
{
    fn ways(&self, t: usize, at: At, ways: &mut Vec<Way>) {
        ways.clear();
        match t {
            0 => {
                for &(at, _, value) in &self.front().openings {
                    let candidate = at.pair[0] as u8;
                    match ways.last_mut() {
                        Some(last) if last.candidate == candidate => {
                            last.value = last.value.max(value);
                        }
                        _ => ways.push(Way { candidate, value }),
                    }
                }
            }
            1 => ways.extend(
                self.openings_from(at.pair[1])
                    .iter()
                    .map(|&(at, _, value)| Way {
                        candidate: at.pair[1] as u8,
                        value,
                    }),
            ),
            _ => {
                let shares = dispatch(WaysOn {
                    solved: self,
                    t,
                    at,
                });
                let ring = self.pass.ring;
                for k in Bits(self.pass.lifted.ways_on(&self.pass.lattice, t, at.pair[1])) {
                    let value = ring.settle(shares[k]);
                    if value != ring.zero() {
                        ways.push(Way {
                            candidate: k as u8,
                            value: value.into(),
                        });
                    }
                }
            }
        }
    }

    fn take(&self, t: usize, at: At, candidate: u8) -> (At, i64) {
        let k = usize::from(candidate);
        match t {
            0 => {
                let opening = self.openings_from(k)[0];
                let weight = if self.tables.is_some() { 0 } else { opening.1 };
                (
                    At {
                        pair: [k; 2],
                        ..NOWHERE
                    },
                    weight,
                )
            }
            1 => {
                let openings = self.openings_from(at.pair[1]);
                let opening = openings.iter().find(|(at, ..)| at.pair[1] == k);
                let &(at, weight, _) = opening.expect("the way that is taken is there");
                (at, weight)
            }
            _ => {
                let next = self.pass.follow(t, at, k);
                let (at, weight) = next.expect("the way that is taken is there");
                (at, weight.into())
            }
        }
    }
}

/// The values of all ways on from one state.
struct WaysOn<'a, S: Semiring, const W: usize> {
    solved: &'a Solved<S, W>,
    t: usize,
    at: At,
}

impl<S: Semiring, const W: usize> Work for WaysOn<'_, S, W>
where
    S::Value: Into<i64>,
{
    type Output = [S::Value; W];

    #[inline(always)]
    fn run<D: Simd>(self, simd: D) -> [S::Value; W] {
        let Solved { pass, tables, .. } = self.solved;
        let moves = &self.solved.front().moves;
        let tables = tables
            .as_ref()
            .expect("a lattice of several layers has tables");
        pass.shares(simd, self.t, self.at, tables, moves)
    }
}
