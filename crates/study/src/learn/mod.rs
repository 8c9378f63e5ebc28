//! A style from lines that somebody played: the weights of the rulebook that make them likeliest.
//!
//! The model is the composer's own: a line has the probability exp(score / temperature) / Z among
//! all lines over its chords. The plan wishes nothing while weights are fitted: what hangs on
//! plans stays with the base style, and what only openings and endings show is left alone where
//! the lines are excerpts.

mod cholesky;
mod model;
mod newton;
mod run;

use linewright_compose::Line;
use linewright_rulebook::rules::{arrival, clarity, melody, tone};
use linewright_rulebook::style::{Style, Weight};
use linewright_rulebook::{Evaluator, Look, RULES, Rule, RuleBook, RuleId, possible_places};

use linewright_theory::Pitch;

use model::Model;
use newton::{Prior, fit};
pub use run::Run;
use run::runs;

/// A line to learn from.
#[derive(Clone, Debug)]
pub struct Lesson {
    /// Lines of one group are never on both sides of a fold: those of one tune.
    pub group: String,
    /// What it is called.
    pub name: String,
    /// The line over its chart, read in any style.
    pub line: Line,
}

/// How to learn.
#[derive(Clone, Debug)]
pub struct Asked {
    /// Seed of the draws.
    pub seed: u64,
    /// Lines drawn for each run at each step.
    pub samples: usize,
    /// Parts into which the groups are dealt, each held out once; below 2 none is.
    pub folds: usize,
    /// Whether the lines begin where the tune does and end where it ends.
    pub whole: bool,
    /// How far weights may go from the base, in points over temperature (one standard deviation).
    pub deviation: f64,
}

impl Default for Asked {
    fn default() -> Self {
        Self {
            seed: 1,
            samples: 100,
            folds: 5,
            whole: false,
            deviation: 1.0,
        }
    }
}

/// Rules that only openings and endings show.
const ENDS: [&Rule; 4] = [
    &arrival::OPENING_ROOT,
    &arrival::LONE_ROOT,
    &tone::OPEN_ENDING,
    &melody::LEAP_INTO_THE_END,
];

/// Rules that weigh a line against its plan, also where the plan wishes nothing.
const PLANNED: [&Rule; 1] = [&clarity::TENSION_OFF_PLAN];

/// What a limit that is broken weighs to begin with, in points over temperature.
const SOFTENED: f64 = -1.0;

/// One weight that was learned.
#[derive(Clone, Debug)]
pub struct LearnedWeight {
    /// The rule.
    pub rule: &'static Rule,
    /// In points.
    pub weight: f64,
    /// Standard error, in points.
    pub error: f64,
    /// In how many places the lines have it.
    pub count: usize,
    /// Whether the base forbids it.
    pub was_limit: bool,
}

/// What was learned.
#[derive(Clone, Debug)]
pub struct Learned {
    /// The style with the learned weights, under the base's name.
    pub style: Style,
    /// The weights that were fitted, in the order of the rules.
    pub weights: Vec<LearnedWeight>,
    /// Notes that were learned from.
    pub notes: usize,
    /// Bits a note by the learned style, of the lines that it was fitted to.
    pub fitted_bits: f64,
    /// Bits a note of lines that were held out, in all and by group.
    pub held_out: Option<HeldOut>,
    /// Steps of the fit.
    pub steps: usize,
}

/// What lines that were held out cost.
#[derive(Clone, Debug)]
pub struct HeldOut {
    /// Bits a note.
    pub bits: f64,
    /// Bits a note and notes, by group.
    pub by_group: Vec<(String, f64, usize)>,
}

/// Learns weights from lines.
pub fn learn(
    base: &Style,
    lessons: &[Lesson],
    asked: &Asked,
    go_on: &dyn Fn() -> bool,
) -> Option<Learned> {
    let mut style = base.clone();
    let mut all = Vec::new();
    for (number, lesson) in lessons.iter().enumerate() {
        all.extend(runs(&lesson.line, number).0);
    }
    let mut pitches: Vec<Pitch> = all.iter().flat_map(|run| run.pitches.clone()).collect();
    pitches.sort_unstable();
    let (&lowest, &highest) = (pitches.first()?, pitches.last()?);
    style.range.low = style.range.low.min(lowest);
    style.range.high = style.range.high.max(highest);
    let percent = |percent: usize| pitches[(pitches.len() - 1) * percent / 100];
    (style.range.heart_low, style.range.heart_high) = (percent(5), percent(95));
    for run in &mut all {
        run.plan = run.plan.clone().without_wishes(style.range.middle());
    }
    let counter = Evaluator::of(&RuleBook::weighed(|_, _| Weight::ZERO));
    let mut counts = vec![0_usize; RULES.len()];
    for run in &all {
        for finding in counter.findings(&style, &run.plan, &run.pitches) {
            counts[usize::from(finding.rule.number())] += 1;
        }
    }
    let left_alone = |rule: &Rule| {
        matches!(rule.look, Look::Echo(_))
            || PLANNED.contains(&rule)
            || (!asked.whole && ENDS.contains(&rule))
    };
    let mut free: Vec<RuleId> = Vec::new();
    for entry in RuleBook::weighed(|_, _| Weight::ZERO).entries() {
        let rule = entry.rule;
        let banned = base.weight(rule.name) == Weight::Never;
        let can = || {
            all.iter()
                .any(|run| !possible_places(rule, &style, &run.plan).is_empty())
        };
        if left_alone(rule) || (banned && counts[usize::from(entry.id.number())] == 0) || !can() {
            continue;
        }
        free.push(entry.id);
    }
    let temperature = f64::from(base.temperature) / 1000.0;
    let own = |id: &RuleId| match base.weight(id.rule().name) {
        Weight::Milli(milli) => f64::from(milli) / 1000.0 / temperature,
        Weight::Never => SOFTENED,
    };
    let mean: Vec<f64> = free.iter().map(own).collect();
    let prior = Prior {
        deviation: vec![asked.deviation; mean.len()],
        mean,
    };
    let fixed = |rule: &Rule| match left_alone(rule) {
        true => Weight::ZERO,
        false => base.weight(rule.name),
    };
    let model = Model {
        style: &style,
        fixed: Box::new(fixed),
        free: &free,
        temperature,
        samples: asked.samples,
        seed: asked.seed,
    };
    let whole: Vec<&Run> = all.iter().collect();
    let fitted = fit(&model, &prior, &whole, &prior.mean, go_on)?;
    let notes: usize = all.iter().map(|run| run.pitches.len()).sum();
    let bits = |nats: f64, notes: usize| -nats / std::f64::consts::LN_2 / notes as f64;
    let mut groups: Vec<&str> = lessons.iter().map(|lesson| lesson.group.as_str()).collect();
    groups.sort_unstable();
    groups.dedup();
    let group_of = |run: &Run| {
        groups
            .binary_search(&lessons[run.line].group.as_str())
            .unwrap_or(0)
    };
    let held_out = if asked.folds >= 2 && groups.len() >= 2 {
        let mut by_group = vec![(0.0, 0_usize); groups.len()];
        for fold in 0..asked.folds.min(groups.len()) {
            let out = |run: &&&Run| group_of(run) % asked.folds == fold;
            let kept: Vec<&Run> = whole.iter().filter(|run| !out(run)).copied().collect();
            let held: Vec<&Run> = whole.iter().filter(out).copied().collect();
            let fitted = fit(&model, &prior, &kept, &fitted.weights, go_on)?;
            let only = Model {
                samples: 0,
                fixed: Box::new(fixed),
                ..model
            };
            let told = only.likelihood(&held, &fitted.weights)?;
            for (run, nats) in held.iter().zip(&told.by_run) {
                let (sum, count) = &mut by_group[group_of(run)];
                *sum += nats;
                *count += run.pitches.len();
            }
        }
        let sum: f64 = by_group.iter().map(|(sum, _)| sum).sum();
        let by_group = groups.iter().zip(&by_group);
        Some(HeldOut {
            bits: bits(sum, notes),
            by_group: by_group
                .map(|(group, &(sum, count))| ((*group).to_owned(), bits(sum, count), count))
                .collect(),
        })
    } else {
        None
    };
    let weights: Vec<LearnedWeight> = free
        .iter()
        .enumerate()
        .map(|(at, id)| LearnedWeight {
            rule: id.rule(),
            weight: fitted.weights[at] * temperature,
            error: fitted.errors[at] * temperature,
            count: counts[usize::from(id.number())],
            was_limit: base.weight(id.rule().name) == Weight::Never,
        })
        .collect();
    let mut learned = style.clone();
    for weight in &weights {
        let milli = model::milli(weight.weight);
        learned
            .weights
            .insert(weight.rule.name.to_owned(), Weight::Milli(milli));
    }
    Some(Learned {
        style: learned,
        weights,
        notes,
        fitted_bits: bits(fitted.likelihood.total(), notes),
        held_out,
        steps: fitted.steps,
    })
}
