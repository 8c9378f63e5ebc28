//! How likely the rulebook makes lines, and which way its weights must go to make them likelier.
//!
//! A line has the probability exp(score / temperature) / Z among all lines over its chords, as the
//! composer draws it. The gradient of its logarithm is what the line has of each rule less what
//! lines have on the mean, and the curvature is how these vary together (J. Lafferty,
//! A. McCallum, F. Pereira, "Conditional random fields", Proceedings of ICML 2001; from memory).

use linewright_compose::{Passage, Tables};
use linewright_rulebook::plan::{Dice, Purpose};
use linewright_rulebook::style::{Style, Weight};
use linewright_rulebook::{Evaluator, FULL, Rule, RuleBook, RuleId};
use linewright_theory::Pitch;

use super::run::Run;

/// What a model says of some runs under some weights.
#[derive(Clone, Debug)]
pub(super) struct Likelihood {
    /// Natural logarithm of the probability of each run.
    pub by_run: Vec<f64>,
    /// What the runs have of each free rule, less what is expected.
    pub gradient: Vec<f64>,
    /// How what lines have of the free rules varies together, by row.
    pub curvature: Vec<f64>,
}

impl Likelihood {
    /// Of all runs.
    pub(super) fn total(&self) -> f64 {
        self.by_run.iter().sum()
    }
}

/// The rules whose weights are free, among those whose weights stay.
pub(super) struct Model<'a> {
    /// Range and limits; its weights do not count.
    pub style: &'a Style,
    /// Weights of the rules that are not free.
    pub fixed: Box<dyn Fn(&Rule) -> Weight + 'a>,
    /// The rules that are free.
    pub free: &'a [RuleId],
    /// In points.
    pub temperature: f64,
    /// Lines drawn for each run.
    pub samples: usize,
    /// Seed of the draws.
    pub seed: u64,
}

impl Model<'_> {
    /// The rulebook with these weights of the free rules, over temperature.
    pub(super) fn book(&self, weights: &[f64]) -> RuleBook {
        RuleBook::weighed(|id, rule| {
            let free = self.free.iter().position(|free| *free == id);
            free.map_or_else(
                || (self.fixed)(rule),
                |at| Weight::Milli(milli(weights[at] * self.temperature)),
            )
        })
    }

    /// The rulebook of the free rules, to count what lines have of them.
    fn counter(&self) -> Evaluator {
        Evaluator::of_some(&RuleBook::weighed(|_, _| Weight::ZERO), |id| {
            self.free.contains(&id)
        })
    }

    /// What the runs have of each free rule.
    fn count(
        &self,
        counter: &Evaluator,
        run: &Run,
        pitches: &[Pitch],
        into: &mut Vec<(usize, f64)>,
    ) {
        into.clear();
        for finding in counter.findings(self.style, &run.plan, pitches) {
            let at = self.free.iter().position(|free| *free == finding.rule);
            let Some(at) = at else { continue };
            let strength = f64::from(finding.strength) / f64::from(FULL);
            match into.iter_mut().find(|(known, _)| *known == at) {
                Some((_, sum)) => *sum += strength,
                None => into.push((at, strength)),
            }
        }
    }

    /// How likely runs are. `None` where the weights leave what can be reckoned with, or forbid a
    /// run.
    pub(super) fn likelihood(&self, runs: &[&Run], weights: &[f64]) -> Option<Likelihood> {
        let book = self.book(weights);
        let (counter, size) = (self.counter(), self.free.len());
        let mut tables = Tables::default();
        let mut told = Likelihood {
            by_run: Vec::with_capacity(runs.len()),
            gradient: vec![0.0; size],
            curvature: vec![0.0; size * size],
        };
        let mut found = Vec::new();
        for (nth, run) in runs.iter().enumerate() {
            let given = vec![None; run.pitches.len()];
            let passage = Passage::new(
                &(&book).into(),
                self.style,
                &run.plan,
                &given,
                &[],
                &mut tables,
            )?;
            let sampler = passage.lattice().sampler(self.temperature * 1000.0).ok()?;
            let path: Option<Vec<u8>> = run
                .pitches
                .iter()
                .map(|pitch| passage.candidate(*pitch))
                .collect();
            let score = passage.lattice().score(&path?)?;
            let score = score as f64 / (self.temperature * 1000.0);
            told.by_run.push(score - sampler.log_partition());
            if self.samples == 0 {
                continue;
            }
            self.count(&counter, run, &run.pitches, &mut found);
            for &(at, count) in &found {
                told.gradient[at] += count;
            }
            let mut dice = Dice::new(self.seed, nth as u64, Purpose::Notes);
            let (mut sums, mut products) = (vec![0.0; size], vec![0.0; size * size]);
            let mut path = Vec::new();
            let share = 1.0 / self.samples as f64;
            for _ in 0..self.samples {
                sampler.draw(&mut || dice.bits(), &mut path);
                let pitches: Vec<Pitch> = path.iter().map(|&k| passage.pitch(k)).collect();
                self.count(&counter, run, &pitches, &mut found);
                for &(a, first) in &found {
                    sums[a] += first * share;
                    for &(b, second) in &found {
                        products[a * size + b] += first * second * share;
                    }
                }
            }
            // The mean is drawn, too: of n draws, n − 1 say how they vary.
            let unbiased = self.samples as f64 / (self.samples as f64 - 1.0).max(1.0);
            for a in 0..size {
                told.gradient[a] -= sums[a];
                for b in 0..size {
                    told.curvature[a * size + b] +=
                        (products[a * size + b] - sums[a] * sums[b]) * unbiased;
                }
            }
        }
        Some(told)
    }
}

/// Points in thousandths, within what a style may give.
pub(super) fn milli(points: f64) -> i32 {
    (points.clamp(-100.0, 100.0) * 1000.0).round() as i32
}
