//! What the rulebook cannot say: features beyond it that lines have more or less often than it
//! expects.
//!
//! Rao's score test: what the lines have of a feature less what the fitted rulebook expects, over
//! its standard deviation, of which as much is taken away as the fitted weights account for
//! (C. R. Rao, 1948; from memory).

use super::cholesky::Cholesky;
use super::features::{FEATURES, Places, Seen};
use super::model::{Counted, Model, Moments};
use super::newton::Prior;
use super::prepared::Prepared;
use super::run::Run;
use linewright_theory::Pitch;

/// How far from what is expected a feature must lie to be told, in standard deviations: of 27
/// features one in ten times one would by chance.
const TELLING: f64 = 2.9;

/// A feature that the rulebook does not hear, or not enough.
#[derive(Clone, Debug, PartialEq)]
pub struct Residual {
    /// What lines do.
    pub name: &'static str,
    /// What shares are taken of.
    pub of: Places,
    /// In how many places it could be.
    pub places: u64,
    /// In how many the lines have it.
    pub observed: u64,
    /// In how many the rulebook expects it.
    pub expected: f64,
    /// How far that lies apart, in standard deviations; above 0 where lines have it more often.
    pub deviations: f64,
}

impl Residual {
    /// Whether it lies further from what is expected than chance would have it.
    pub fn is_telling(&self) -> bool {
        self.deviations.abs() >= TELLING
    }
}

/// All features, the one furthest from what is expected first. `None` where the weights cannot
/// be reckoned with.
pub(super) fn residuals(
    prepared: &Prepared,
    model: &Model,
    weights: &[f64],
    prior: &Prior,
    samples: usize,
) -> Option<Vec<Residual>> {
    let rules = model.free.len();
    let count = |run: &Run, pitches: &[Pitch], into: &mut Counted| {
        model.count(run, pitches, into);
        let seen = Seen::new(run, pitches);
        for (nth, feature) in FEATURES.iter().enumerate() {
            let (hits, _) = feature.times(&seen);
            if hits > 0 {
                into.push((rules + nth, f64::from(hits)));
            }
        }
    };
    let runs: Vec<&Run> = prepared.runs.iter().collect();
    let (_, told) = model.moments(&runs, weights, samples, rules + FEATURES.len(), &count)?;
    let fitted = Cholesky::of(rules, &of_rules(&told, rules, prior))?;
    let mut found: Vec<Residual> = Vec::new();
    for (nth, feature) in FEATURES.iter().enumerate() {
        let places = runs.iter().map(|run| {
            let (_, places) = feature.times(&Seen::new(run, &run.pitches));
            u64::from(places)
        });
        let (at, places) = (rules + nth, places.sum());
        let row = &told.covariance[at * told.observed.len()..][..told.observed.len()];
        let explained: f64 = {
            let solved = fitted.solve(&row[..rules]);
            row.iter().zip(&solved).map(|(v, w)| v * w).sum()
        };
        let variance = row[at] - explained;
        let (observed, expected) = (told.observed[at], told.expected[at]);
        // Where next to nothing is left, the rules hear all of it.
        if places == 0 || variance <= row[at] * 0.02 || variance <= 0.0 {
            continue;
        }
        found.push(Residual {
            name: feature.name,
            of: feature.of,
            places,
            observed: observed as u64,
            expected,
            deviations: (observed - expected) / variance.sqrt(),
        });
    }
    // The sort keeps the order of equals.
    found.sort_by(|one, other| other.deviations.abs().total_cmp(&one.deviations.abs()));
    Some(found)
}

/// How what lines have of the rules varies together, with what the prior adds.
fn of_rules(told: &Moments, rules: usize, prior: &Prior) -> Vec<f64> {
    let size = told.observed.len();
    let mut matrix = Vec::with_capacity(rules * rules);
    for a in 0..rules {
        for b in 0..rules {
            let own = if a == b { prior.precision() } else { 0.0 };
            matrix.push(told.covariance[a * size + b] + own);
        }
    }
    matrix
}
