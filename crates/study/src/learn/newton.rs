//! The weights that make lines likeliest, held back towards those of a base.
//!
//! Newton's method on the penalised log-likelihood; each step is halved until the objective,
//! which is known exactly, grows. Without that it runs off where the first weights are far away:
//! the curvature there is that of other lines.

use super::LearnError;
use super::cholesky::Cholesky;
use super::model::Likelihood;
use super::progress::Teller;

/// Most steps.
const MOST_STEPS: usize = 30;

/// Most times that a step is halved.
const MOST_HALVINGS: usize = 60;

/// Where weights are held, and how far they may go from there, all over temperature.
#[derive(Clone, Debug)]
pub(super) struct Prior {
    /// One for each weight.
    pub mean: Vec<f64>,
    /// One standard deviation.
    pub deviation: f64,
}

impl Prior {
    /// What it adds to the logarithm of the likelihood.
    fn log(&self, weights: &[f64]) -> f64 {
        let far = |(w, mean): (&f64, &f64)| {
            let far = (w - mean) / self.deviation;
            -far * far / 2.0
        };
        weights.iter().zip(&self.mean).map(far).sum()
    }

    /// What it adds to the curvature of each weight.
    pub(super) fn precision(&self) -> f64 {
        1.0 / (self.deviation * self.deviation)
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

/// Fits weights, from `start`. `likelihood` tells how likely some weights make the lines; `None`
/// where they cannot be reckoned with: a step there is refused as one that gains nothing. The
/// search ends where a step gains less than `least_gain`, in nats, or promises less.
///
/// # Errors
/// When it is stopped, or the first weights cannot be reckoned with.
pub(super) fn fit(
    likelihood: &dyn Fn(&[f64]) -> Option<Likelihood>,
    prior: &Prior,
    start: &[f64],
    least_gain: f64,
    teller: &mut Teller,
) -> Result<Fitted, LearnError> {
    let size = start.len();
    let mut weights = start.to_vec();
    let mut now = likelihood(&weights).ok_or(LearnError::Unreckonable)?;
    let mut objective = now.total() + prior.log(&weights);
    let mut steps = 0;
    loop {
        teller.go_on()?;
        let mut curvature = now.curvature.clone();
        let mut slope = now.gradient.clone();
        for at in 0..size {
            curvature[at * size + at] += prior.precision();
            slope[at] -= (weights[at] - prior.mean[at]) * prior.precision();
        }
        let cholesky = Cholesky::of(size, &curvature).ok_or(LearnError::Unreckonable)?;
        let mut step = cholesky.solve(&slope);
        let mut better = None;
        for _ in 0..MOST_HALVINGS {
            let promised: f64 = slope.iter().zip(&step).map(|(s, d)| s * d / 2.0).sum();
            if promised.is_nan() || promised < least_gain {
                break;
            }
            let moved: Vec<f64> = weights.iter().zip(&step).map(|(w, d)| w + d).collect();
            if let Some(then) = likelihood(&moved) {
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
        if gain < least_gain || steps == MOST_STEPS {
            let errors = cholesky.inverse_diagonal().into_iter().map(f64::sqrt);
            return Ok(Fitted {
                errors: errors.collect(),
                weights,
                likelihood: now,
                steps,
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A thousand throws of a coin that fell heads 900 times, by its log-odds; beyond `widest`
    /// nothing can be reckoned with.
    fn coin(widest: f64) -> impl Fn(&[f64]) -> Option<Likelihood> {
        move |weights: &[f64]| {
            let w = weights[0];
            let heads = 1.0 / (1.0 + (-w).exp());
            (w.abs() <= widest).then(|| Likelihood {
                by_run: vec![900.0 * heads.ln() + 100.0 * (1.0 - heads).ln()],
                gradient: vec![900.0 - 1000.0 * heads],
                curvature: vec![1000.0 * heads * (1.0 - heads)],
            })
        }
    }

    fn prior() -> Prior {
        Prior {
            mean: vec![0.0],
            deviation: 1000.0,
        }
    }

    #[test]
    fn far_away_steps_are_halved_until_they_gain() {
        // A whole step from here goes to the other side, and further away with each.
        let undamped = |w: f64| {
            let heads = 1.0 / (1.0 + (-w).exp());
            w + (900.0 - 1000.0 * heads) / (1000.0 * heads * (1.0 - heads))
        };
        assert!(undamped(undamped(-4.0)).is_infinite() || undamped(-4.0) > 40.0);
        for widest in [1e9, 30.0, 6.0] {
            let mut go_on = |_| true;
            let mut teller = Teller::new(1, &mut go_on);
            let fitted = fit(&coin(widest), &prior(), &[-4.0], 1e-9, &mut teller).unwrap();
            assert!((fitted.weights[0] - 9f64.ln()).abs() < 1e-3, "{fitted:?}");
            // The error of log-odds: 1 / √(n p (1 − p)).
            assert!((fitted.errors[0] - 1.0 / 90f64.sqrt()).abs() < 1e-3);
        }
    }

    #[test]
    fn what_cannot_be_reckoned_with_at_first_is_an_error_and_so_is_a_stop() {
        let told = |widest, go_on: bool| {
            let mut go_on = |_| go_on;
            let mut teller = Teller::new(1, &mut go_on);
            fit(&coin(widest), &prior(), &[-4.0], 1e-9, &mut teller).map(|fitted| fitted.steps)
        };
        assert_eq!(told(1.0, true), Err(LearnError::Unreckonable));
        assert_eq!(told(100.0, false), Err(LearnError::Stopped));
    }

    #[test]
    fn a_weight_that_nothing_tells_stays_where_the_prior_has_it() {
        let flat = |_: &[f64]| {
            Some(Likelihood {
                by_run: vec![-1.0],
                gradient: vec![0.0],
                curvature: vec![0.0],
            })
        };
        let prior = Prior {
            mean: vec![0.7],
            deviation: 0.5,
        };
        let mut go_on = |_| true;
        let mut teller = Teller::new(1, &mut go_on);
        let fitted = fit(&flat, &prior, &[2.0], 1e-9, &mut teller).unwrap();
        assert!((fitted.weights[0] - 0.7).abs() < 1e-9 && (fitted.errors[0] - 0.5).abs() < 1e-9);
    }
}
