//! Random paths, exactly in proportion to `exp(score / temperature)`, and how likely each candidate is.
//!
//! The backward pass of the sum-product semiring gives the partition function and, at every state, the conditional
//! probabilities of the next candidate; a path is drawn from the first layer to the last by those (backward filtering,
//! forward sampling: S. Frühwirth-Schnatter, "Data augmentation and dynamic linear models", Journal of Time Series
//! Analysis 15, 1994, with the directions exchanged; from memory).

use std::sync::Arc;

use pulp::Simd;

use crate::active::ActiveFactors;
use crate::auxiliary::Layout;
use crate::dead_end::DeadEnd;
use crate::lattice::Lattice;
use crate::pass::{DpState, Pass, Tables};
use crate::semiring::SumProduct;
use crate::simd::{Work, dispatch};
use crate::width::with_lanes;

/// Why no random path can be drawn.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SampleError {
    /// No path is allowed.
    #[error(transparent)]
    DeadEnd(#[from] DeadEnd),
    /// The temperature is not a positive, finite number of thousandths.
    #[error("the temperature is {0}; write a positive number of thousandths")]
    Temperature(f64),
    /// Weights over temperature leave the range of 64-bit floating point.
    #[error("the temperature {temperature} is too low for these weights; write at least {enough}")]
    TooCold {
        /// The temperature given, in thousandths.
        temperature: f64,
        /// A temperature at which no product of weights can leave the range, in thousandths.
        enough: f64,
    },
}

/// Draws paths of one lattice at one temperature. Made by [`Lattice::sampler`]; drawing changes nothing in it.
pub struct Sampler {
    engine: Box<dyn Engine>,
}

impl std::fmt::Debug for Sampler {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Sampler").finish_non_exhaustive()
    }
}

trait Engine: Send + Sync {
    fn draw(&self, next: &mut dyn FnMut() -> u64, out: &mut Vec<u8>);
    fn probability(&self, path: &[u8]) -> f64;
    fn marginals(&self) -> Vec<Vec<f64>>;
    fn log_partition(&self) -> f64;
}

impl Lattice {
    /// Prepares to draw paths with probability proportional to `exp(score / temperature)`, both in thousandths.
    ///
    /// Every table is kept in 64-bit floating point: 32 bits would bend the proportions visibly after some hundred
    /// layers. Without an automaton that is at most 2 MB per segment of four layers at 33 candidates. Time and memory
    /// are linear in the number of layers, and the result is the same, bit by bit, on every machine.
    ///
    /// # Errors
    /// When no path is allowed, or the temperature is not positive or too low for 64-bit floating point.
    ///
    /// ```
    /// # use std::sync::Arc;
    /// # use linewright_lattice::{BigramTable, LatticeBuilder, Layer, Segment, TrigramTable};
    /// # let bigram = Arc::new(BigramTable::from_fn(2, |_, _| 0)?);
    /// # let trigram = Arc::new(TrigramTable::from_fn(2, |_, _, _, _| 0)?);
    /// # let mut builder = LatticeBuilder::new(2);
    /// # builder.layer(Layer { unary: vec![0, 1_000], shift: 0, feature: 0, bigram, trigram });
    /// # builder.segment(Segment { len: 1, ..Segment::default() });
    /// # let lattice = builder.build()?;
    /// // One layer of two candidates, of which the second scores a temperature more.
    /// let sampler = lattice.sampler(1_000.0)?;
    /// let e = std::f64::consts::E;
    /// assert!((sampler.marginals()[0][1] - e / (1.0 + e)).abs() < 1e-12);
    /// assert!((sampler.log_partition() - (1.0 + e).ln()).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn sampler(&self, temperature: f64) -> Result<Sampler, SampleError> {
        if !(temperature > 0.0 && temperature.is_finite()) {
            return Err(SampleError::Temperature(temperature));
        }
        let enough = self.largest_move() as f64 / 280.0;
        let too_cold = SampleError::TooCold {
            temperature,
            enough,
        };
        if temperature < enough {
            return Err(too_cold);
        }
        let layout = Arc::new(Layout::new(self, &ActiveFactors::all(self)));
        let engine = with_lanes!(self.candidates, 40, W => {
            let sampler = ForwardSampler::<W>::new(Pass::new(SumProduct { temperature }, self, &layout));
            sampler.map(|sampler| Box::new(sampler) as Box<dyn Engine>)
        });
        match engine {
            Some(engine) => Ok(Sampler { engine }),
            None => Err(self.best().map_or_else(SampleError::DeadEnd, |_| too_cold)),
        }
    }

    /// Largest size that the weights added by one candidate can have.
    fn largest_move(&self) -> i64 {
        self.largest_by_layer().max().unwrap_or(0) + self.largest_by_segment().max().unwrap_or(0)
    }
}

impl Sampler {
    /// Draws one path into `out` (its former content is dropped), taking one random number per layer after the
    /// first from `next`, uniform over all 64-bit values.
    ///
    /// The same numbers give the same path. Linear in the number of layers and of candidates, but for those that match a
    /// repetition; nothing is allocated once `out` has room for a path.
    pub fn draw(&self, next: &mut dyn FnMut() -> u64, out: &mut Vec<u8>) {
        out.clear();
        self.engine.draw(next, out);
    }

    /// Probability with which [`Sampler::draw`] gives `path`: the product of its conditionals. As long as a draw.
    ///
    /// # Panics
    /// When the path has not one existing candidate per layer.
    pub fn probability(&self, path: &[u8]) -> f64 {
        self.engine.probability(path)
    }

    /// Posterior marginals: the probability of each candidate at each layer, `[layer][candidate]`; every layer adds up
    /// to 1. One forward pass (forward–backward), about as long as the backward pass.
    pub fn marginals(&self) -> Vec<Vec<f64>> {
        self.engine.marginals()
    }

    /// Natural logarithm of the partition function: of the sum of `exp(score / temperature)` over all allowed paths.
    /// Known from the start.
    pub fn log_partition(&self) -> f64 {
        self.engine.log_partition()
    }
}

/// A number in `0..1` from the upper 53 bits.
fn unit(bits: u64) -> f64 {
    (bits >> 11) as f64 * (1.0 / (1u64 << 53) as f64)
}

struct ForwardSampler<const W: usize> {
    pass: Pass<SumProduct, W>,
    /// Absent for a lattice of one layer.
    tables: Option<Tables<f64>>,
    /// Transition weights into each layer; empty for the first two.
    transitions: Vec<Vec<f64>>,
    /// Value of each state after the first two layers with all its completions; for a lattice of one layer its
    /// candidates.
    initial_states: Vec<(f64, DpState)>,
    total: f64,
}

impl<const W: usize> ForwardSampler<W> {
    /// `None` when the total is zero or out of range.
    fn new(pass: Pass<SumProduct, W>) -> Option<Self> {
        let mut initial_states = Vec::new();
        let mut transitions = vec![Vec::new(); pass.lattice.len().min(2)];
        let tables = if pass.lattice.len() == 1 {
            let at = |k: u8| DpState {
                state: 0,
                pair: [usize::from(k); 2],
                aux: 0,
            };
            initial_states.extend(
                pass.single_layer_paths()
                    .into_iter()
                    .map(|(k, weight)| (weight, at(k))),
            );
            None
        } else {
            let tables = pass.backward_tables(None);
            pass.initial_states(|at, weight| {
                initial_states.push((weight * pass.value(1, tables.get(1), at), at))
            });
            for t in 2..pass.lattice.len() {
                let mut rows = Vec::new();
                pass.embedding
                    .transitions_into(pulp::Scalar, &pass.lattice, t, &mut rows);
                transitions.push(rows);
            }
            Some(tables)
        };
        initial_states.retain(|&(weight, _)| weight != 0.0);
        let total: f64 = initial_states.iter().map(|(weight, _)| weight).sum();
        (total > 0.0 && total.is_finite()).then_some(Self {
            pass,
            tables,
            transitions,
            initial_states,
            total,
        })
    }

    /// Values of all extensions of `at` at layer `t`.
    #[inline(always)]
    fn conditionals<D: Simd>(&self, simd: D, t: usize, at: DpState) -> [f64; W] {
        let tables = self
            .tables
            .as_ref()
            .expect("a lattice of several layers has tables");
        self.pass
            .conditionals(simd, t, at, tables, &self.transitions)
    }

    #[inline(always)]
    fn draw_inner<D: Simd>(&self, simd: D, next: &mut dyn FnMut() -> u64, out: &mut Vec<u8>) {
        let goal = unit(next()) * self.total;
        let mut sum = 0.0;
        let mut at = self.initial_states[self.initial_states.len() - 1].1;
        for &(weight, initial) in &self.initial_states {
            sum += weight;
            if sum > goal {
                at = initial;
                break;
            }
        }
        out.extend(
            at.pair
                .map(|k| k as u8)
                .iter()
                .take(self.pass.lattice.len()),
        );
        for t in 2..self.pass.lattice.len() {
            let conditionals = self.conditionals(simd, t, at);
            let mut sums = [0.0; W];
            let mut sum = 0.0;
            for (conditional, to) in conditionals.iter().zip(&mut sums) {
                sum += conditional;
                *to = sum;
            }
            let goal = unit(next()) * sum;
            // Rounding can make the goal the whole sum; the last extension of some value takes it.
            let k = sums.iter().position(|&sum| sum > goal);
            let k = k
                .or_else(|| {
                    conditionals
                        .iter()
                        .rposition(|&conditional| conditional > 0.0)
                })
                .expect("a drawn state has an extension");
            at = self
                .pass
                .next_state(t, at, k)
                .expect("an extension of some value can be taken");
            out.push(k as u8);
        }
    }
}

/// One draw.
struct Draw<'a, const W: usize> {
    sampler: &'a ForwardSampler<W>,
    next: &'a mut dyn FnMut() -> u64,
    out: &'a mut Vec<u8>,
}

impl<const W: usize> Work for Draw<'_, W> {
    type Output = ();

    #[inline(always)]
    fn run<D: Simd>(self, simd: D) {
        self.sampler.draw_inner(simd, self.next, self.out);
    }
}

impl<const W: usize> Engine for ForwardSampler<W> {
    fn draw(&self, next: &mut dyn FnMut() -> u64, out: &mut Vec<u8>) {
        dispatch(Draw {
            sampler: self,
            next,
            out,
        });
    }

    fn probability(&self, path: &[u8]) -> f64 {
        assert_eq!(
            path.len(),
            self.pass.lattice.len(),
            "a path has one candidate per layer"
        );
        let pair = [0, path.len().min(2) - 1].map(|t| usize::from(path[t]));
        let Some(&(weight, mut at)) = self.initial_states.iter().find(|(_, at)| at.pair == pair)
        else {
            return 0.0;
        };
        let mut probability = weight / self.total;
        for (t, &k) in path.iter().enumerate().skip(2) {
            let conditionals = self.conditionals(pulp::Scalar, t, at);
            let conditional = conditionals[usize::from(k)];
            if conditional == 0.0 {
                return 0.0;
            }
            probability *= conditional / conditionals.iter().sum::<f64>();
            at = self
                .pass
                .next_state(t, at, usize::from(k))
                .expect("an extension of some value can be taken");
        }
        probability
    }

    fn marginals(&self) -> Vec<Vec<f64>> {
        match &self.tables {
            Some(tables) => self
                .pass
                .marginals(tables, &self.transitions, &self.initial_states),
            None => {
                let mut row = vec![0.0; self.pass.lattice.candidates];
                for (weight, at) in &self.initial_states {
                    row[at.pair[0]] += weight / self.total;
                }
                vec![row]
            }
        }
    }

    fn log_partition(&self) -> f64 {
        let exponent = self
            .tables
            .as_ref()
            .map_or(0, |tables| tables.get(1)[0].exponent);
        libm::log(self.total) + exponent as f64 * std::f64::consts::LN_2
    }
}
