//! The weights that make lines likeliest, held back towards those of a base.
//!
//! Newton's method on the penalised log-likelihood; each step is halved until the objective,
//! which is known exactly, grows.

use super::cholesky::Cholesky;
use super::model::{Likelihood, Model};
use super::run::Run;

/// Most steps.
const MOST_STEPS: usize = 30;

/// Most times that a step is halved.
const MOST_HALVINGS: usize = 12;

/// The search ends when a step gains less, in nats.
const LEAST_GAIN: f64 = 0.02;

/// Where weights are held: each as far from its own as the deviation lets it.
#[derive(Clone, Debug)]
pub(super) struct Prior {
    /// Over temperature.
    pub mean: Vec<f64>,
    /// Over temperature.
    pub deviation: Vec<f64>,
}

impl Prior {
    /// What it adds to the logarithm of the likelihood.
    fn log(&self, weights: &[f64]) -> f64 {
        let terms = weights.iter().zip(&self.mean).zip(&self.deviation);
        terms
            .map(|((w, mean), deviation)| -(w - mean) * (w - mean) / (2.0 * deviation * deviation))
            .sum()
    }
}

/// Weights that were fitted.
#[derive(Clone, Debug)]
pub(super) struct Fitted {
    /// Over temperature.
    pub weights: Vec<f64>,
    /// Standard errors, over temperature.
    pub errors: Vec<f64>,
    /// What they say of the runs.
    pub likelihood: Likelihood,
    /// Steps that were taken.
    pub steps: usize,
}

/// Fits weights to runs, from `start`; it is asked `go_on` before each step. `None` where it must stop, or the first
/// weights cannot be reckoned with.
pub(super) fn fit(
    model: &Model,
    prior: &Prior,
    runs: &[&Run],
    start: &[f64],
    go_on: &dyn Fn() -> bool,
) -> Option<Fitted> {
    let size = model.free.len();
    let mut weights = start.to_vec();
    let mut now = model.likelihood(runs, &weights)?;
    let mut objective = now.total() + prior.log(&weights);
    let mut steps = 0;
    loop {
        if !go_on() {
            return None;
        }
        let mut curvature = now.curvature.clone();
        let mut slope = now.gradient.clone();
        for at in 0..size {
            let precision = 1.0 / (prior.deviation[at] * prior.deviation[at]);
            curvature[at * size + at] += precision;
            slope[at] -= (weights[at] - prior.mean[at]) * precision;
        }
        let cholesky = Cholesky::of(size, &curvature)?;
        let mut step = cholesky.solve(&slope);
        let mut better = None;
        for _ in 0..MOST_HALVINGS {
            let moved: Vec<f64> = weights
                .iter()
                .zip(&step)
                .map(|(w, step)| w + step)
                .collect();
            if let Some(then) = model.likelihood(runs, &moved) {
                let reached = then.total() + prior.log(&moved);
                if reached > objective {
                    better = Some((moved, then, reached));
                    break;
                }
            }
            step.iter_mut().for_each(|step| *step /= 2.0);
        }
        let mut gain = 0.0;
        if let Some((moved, then, reached)) = better {
            gain = reached - objective;
            (weights, now, objective) = (moved, then, reached);
            steps += 1;
        }
        if gain < LEAST_GAIN || steps == MOST_STEPS {
            let errors = cholesky
                .inverse_diagonal()
                .into_iter()
                .map(f64::sqrt)
                .collect();
            return Some(Fitted {
                weights,
                errors,
                likelihood: now,
                steps,
            });
        }
    }
}
