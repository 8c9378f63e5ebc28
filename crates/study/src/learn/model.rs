//! How likely the rulebook makes lines, and which way its weights must go to make them likelier.
//!
//! A line has the probability exp(score / temperature) / Z among all lines over its chords, as the
//! composer draws it. The gradient of its logarithm is what the line has of each rule less what
//! lines have on the mean, and the curvature is how these vary together (J. Lafferty,
//! A. McCallum, F. Pereira, "Conditional random fields", Proceedings of ICML 2001; from memory).
//!
//! Z is exact, from the lattice. Means and curvature come from exact samples: what lines have of
//! two rules at once is no sum over the states of the lattice, so that to work it out exactly
//! takes a lattice for each pair of rules, or every line. Of a hundred samples a run the error of
//! a mean is a tenth of the deviation of one line, and the samples of all runs add up; steps are
//! judged by the objective, which has none. The tests hold the samples against finite differences
//! of log Z and against every line of small lattices.

use linewright_compose::{Passage, Tables};
use linewright_lattice::Sampler;
use linewright_rulebook::plan::{Dice, Purpose};
use linewright_rulebook::style::{LARGEST_POINTS, Style, Weight};
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

/// What lines have of some features: each by its number, with how much.
pub(super) type Counted = Vec<(usize, f64)>;

/// Counts what a line of a run has of some features.
pub(super) type Count<'a> = &'a dyn Fn(&Run, &[Pitch], &mut Counted);

/// What runs have of features, and what lines over them have.
#[derive(Clone, Debug)]
pub(super) struct Moments {
    /// What the runs have.
    pub observed: Vec<f64>,
    /// What lines have on the mean.
    pub expected: Vec<f64>,
    /// How it varies together, by row.
    pub covariance: Vec<f64>,
}

impl Moments {
    fn new(size: usize) -> Self {
        Self {
            observed: vec![0.0; size],
            expected: vec![0.0; size],
            covariance: vec![0.0; size * size],
        }
    }

    /// Adds a run, with so many lines that are drawn over it.
    fn add(&mut self, run: &Run, weighed: &Weighed, samples: usize, dice: &mut Dice, count: Count) {
        let size = self.observed.len();
        let mut found = Counted::new();
        count(run, &run.pitches, &mut found);
        for &(at, much) in &found {
            self.observed[at] += much;
        }
        let (mut sums, mut products) = (vec![0.0; size], vec![0.0; size * size]);
        let (mut path, mut pitches) = (Vec::new(), Vec::new());
        let share = 1.0 / samples as f64;
        for _ in 0..samples {
            weighed.sampler.draw(&mut || dice.bits(), &mut path);
            pitches.clear();
            pitches.extend(path.iter().map(|&k| weighed.passage.pitch(k)));
            count(run, &pitches, &mut found);
            for &(a, first) in &found {
                sums[a] += first * share;
                for &(b, second) in &found {
                    products[a * size + b] += first * second * share;
                }
            }
        }
        // The mean is drawn, too: of n draws, n − 1 say how they vary.
        let unbiased = samples as f64 / (samples as f64 - 1.0).max(1.0);
        for a in 0..size {
            self.expected[a] += sums[a];
            for b in 0..size {
                self.covariance[a * size + b] +=
                    (products[a * size + b] - sums[a] * sums[b]) * unbiased;
            }
        }
    }
}

/// A run under some weights.
pub(super) struct Weighed {
    pub passage: Passage,
    pub sampler: Sampler,
    /// Natural logarithm of its probability.
    pub log: f64,
}

/// The rules whose weights are free, among those whose weights stay.
pub(super) struct Model<'a> {
    /// Range and limits; its weights do not count.
    pub style: &'a Style,
    /// In points.
    pub temperature: f64,
    /// Seed of the draws.
    pub seed: u64,
    /// The rules that are free.
    pub free: Vec<RuleId>,
    /// Weights of the rules that are not free, by the number of the rule.
    fixed: Vec<Weight>,
    /// Which of the free ones a rule is, by its number.
    place: Vec<Option<usize>>,
    /// Counts what lines have of the free rules.
    counter: Evaluator,
}

impl<'a> Model<'a> {
    /// A model with these rules free, and weights of the others. Its temperature is the style's.
    pub(super) fn new(
        style: &'a Style,
        seed: u64,
        free: Vec<RuleId>,
        fixed: impl Fn(&Rule) -> Weight,
    ) -> Self {
        let book = RuleBook::weighed(|_, _| Weight::ZERO);
        let entries = book.entries().iter();
        let place = |id: RuleId| free.iter().position(|free| *free == id);
        Self {
            style,
            temperature: f64::from(style.temperature) / 1000.0,
            seed,
            fixed: entries.clone().map(|entry| fixed(entry.rule)).collect(),
            place: entries.map(|entry| place(entry.id)).collect(),
            counter: Evaluator::of_some(&book, |id| place(id).is_some()),
            free,
        }
    }

    /// What a step promises by chance alone where the gradient comes from so many samples, in nats:
    /// half a nat for each weight and sample.
    pub(super) fn by_chance(&self, samples: usize) -> f64 {
        self.free.len() as f64 / (2.0 * samples as f64)
    }

    /// The rulebook with these weights of the free rules, over temperature; `None` where one is
    /// beyond what a style may give.
    pub(super) fn book(&self, weights: &[f64]) -> Option<RuleBook> {
        let points = |w: &f64| (w * self.temperature).abs() <= LARGEST_POINTS;
        weights.iter().all(points).then(|| {
            RuleBook::weighed(|id, _| {
                let number = usize::from(id.number());
                let free = self.place[number];
                free.map_or(self.fixed[number], |at| {
                    Weight::Milli(milli(weights[at] * self.temperature))
                })
            })
        })
    }

    /// What a line of a run has of each free rule, each once.
    pub(super) fn count(&self, run: &Run, pitches: &[Pitch], into: &mut Counted) {
        let mut sums = vec![0.0; self.free.len()];
        for finding in self.counter.findings(self.style, &run.plan, pitches) {
            if let Some(at) = self.place[usize::from(finding.rule.number())] {
                sums[at] += f64::from(finding.strength) / f64::from(FULL);
            }
        }
        into.clear();
        into.extend(sums.into_iter().enumerate().filter(|(_, sum)| *sum != 0.0));
    }

    /// All lines over a run's chords by a rulebook; `None` where that cannot be reckoned with.
    /// `tables` must have served no other style or range.
    pub(super) fn lines(
        &self,
        run: &Run,
        book: &RuleBook,
        tables: &mut Tables,
    ) -> Option<(Passage, Sampler)> {
        let given = vec![None; run.pitches.len()];
        let passage = Passage::new(&book.into(), self.style, &run.plan, &given, &[], tables)?;
        let sampler = passage.lattice().sampler(self.temperature * 1000.0).ok()?;
        Some((passage, sampler))
    }

    /// Weighs a run among all lines over its chords; `None` where the rulebook forbids it, too.
    pub(super) fn weigh(&self, run: &Run, book: &RuleBook, tables: &mut Tables) -> Option<Weighed> {
        let (passage, sampler) = self.lines(run, book, tables)?;
        let temperature = self.temperature * 1000.0;
        let path: Option<Vec<u8>> = run
            .pitches
            .iter()
            .map(|pitch| passage.candidate(*pitch))
            .collect();
        let score = passage.lattice().score(&path?)?;
        let log = score as f64 / temperature - sampler.log_partition();
        log.is_finite().then_some(Weighed {
            passage,
            sampler,
            log,
        })
    }

    /// How likely runs are, and by so many `samples` of each which way weights must go; with 0
    /// samples gradient and curvature stay 0. `None` where the weights leave what can be reckoned
    /// with, or forbid a run.
    pub(super) fn likelihood(
        &self,
        runs: &[&Run],
        weights: &[f64],
        samples: usize,
    ) -> Option<Likelihood> {
        let size = self.free.len();
        let count = |run: &Run, pitches: &[Pitch], into: &mut Counted| {
            self.count(run, pitches, into);
        };
        let (by_run, moments) = self.moments(runs, weights, samples, size, &count)?;
        let apart = moments.observed.iter().zip(&moments.expected);
        Some(Likelihood {
            by_run,
            gradient: apart
                .map(|(observed, expected)| observed - expected)
                .collect(),
            curvature: moments.covariance,
        })
    }

    /// The logarithm of the probability of each run, and what they and so many `samples` of each
    /// have of some features.
    pub(super) fn moments(
        &self,
        runs: &[&Run],
        weights: &[f64],
        samples: usize,
        features: usize,
        count: Count,
    ) -> Option<(Vec<f64>, Moments)> {
        let book = self.book(weights)?;
        let mut tables = Tables::default();
        let mut moments = Moments::new(features);
        let mut by_run = Vec::with_capacity(runs.len());
        for (nth, run) in runs.iter().enumerate() {
            let weighed = self.weigh(run, &book, &mut tables)?;
            by_run.push(weighed.log);
            if samples > 0 {
                let mut dice = Dice::new(self.seed, nth as u64, Purpose::Notes);
                moments.add(run, &weighed, samples, &mut dice, count);
            }
        }
        Some((by_run, moments))
    }
}

/// Points in thousandths.
pub(super) fn milli(points: f64) -> i32 {
    (points * 1000.0).round() as i32
}
