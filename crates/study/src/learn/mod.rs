//! A style from lines that somebody played: the weights of the rulebook that make them likeliest.
//!
//! The model is the composer's own: a line has the probability exp(score / temperature) / Z among
//! all lines over its chords. Weights w maximise Σ (score / temperature − log Z) −
//! Σ (w − base)² / 2σ² over the lines, w and σ in points over temperature: penalised maximum
//! likelihood, by Newton's method. The temperature stays the base's, for only w / temperature is
//! seen. What the lines cannot tell apart, as a shift common to all arrivals, stays with the base.
//!
//! The plan wishes nothing while weights are fitted: what hangs on plans stays with the base, and
//! so do rules about bars that come again, and what only openings and endings show where the lines
//! are excerpts. Limits that the lines break become weights, and the range is theirs.
//!
//! ```
//! use linewright_study::learn::{Asked, Lesson, learn};
//! # use linewright_chart::Chart;
//! # use linewright_compose::{Choice, Composer};
//! # use linewright_rulebook::style::Library;
//! # let style = Library::builtin().style("plain").unwrap();
//! # let chart = Chart::parse("tune", b"key: F\n| F7 | Bb7 |\n").unwrap();
//! # let timeline = std::sync::Arc::new(chart.unroll().unwrap());
//! # let composer = Composer::new(style.clone()).unwrap();
//! # let line = composer.compose(&timeline, 1, 0, Choice::Best).unwrap();
//! let lessons = [Lesson { group: "tune".into(), name: "tune a".into(), line }];
//! let asked = Asked { samples: 20, ..Asked::default() };
//! let learned = learn(&style, &lessons, &asked, &mut |_| true).unwrap();
//! assert_eq!((learned.bars, learned.notes), (2, 8));
//! assert!(learned.held_out.is_none(), "nothing is left to learn from");
//! ```

mod cholesky;
mod ear;
mod error;
mod features;
mod figures;
mod hold_out;
mod model;
mod newton;
mod prepared;
mod progress;
mod residual;
mod run;
mod simple;
#[cfg(test)]
mod tests;

use linewright_compose::Line;
use linewright_rulebook::Rule;
use linewright_rulebook::style::{Style, Weight};

use hold_out::bits;
use newton::{Fitted, Prior, fit};
use prepared::Prepared;
use progress::Teller;
use run::Run;

pub use ear::{Guess, Outlier};
pub use error::LearnError;
pub use features::Places;
pub use figures::Figure;
pub use hold_out::{BaseBits, GroupBits, Growth, HeldOut};
pub use prepared::{LeftOut, Softened};
pub use progress::{Progress, Stage};
pub use residual::Residual;
pub use simple::SimpleModel;

/// What a limit that is broken weighs to begin with, in points over temperature.
const SOFTENED: f64 = -1.0;

/// A line to learn from.
#[derive(Clone, Debug)]
pub struct Lesson {
    /// Lines of one group, as those of one tune, are never on both sides where some are held out.
    pub group: String,
    /// What it is called.
    pub name: String,
    /// The line over its chart, read in the base style under a plan from its own notes.
    pub line: Line,
}

/// How to learn.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// The name of the style that is learned: small letters, digits and hyphens.
    pub name: String,
    /// Seed of the draws. The same one gives the same style.
    pub seed: u64,
    /// Lines drawn for each run at each step, two at least.
    pub samples: usize,
    /// Parts into which the groups are dealt, each held out once; below 2 none is.
    pub folds: usize,
    /// Whether the lines begin where the tune does and end where it ends.
    pub whole: bool,
    /// How far weights may go from the base, in points over temperature (one standard deviation).
    pub deviation: f64,
    /// Whether limits of the base stay, and lines that break them are left out.
    pub keep_limits: bool,
    /// Lines that are composed over each lesson's chart in the base and in the learned style, to
    /// count their figures; with 0 there are none.
    pub composed: u64,
}

impl Default for Asked {
    fn default() -> Self {
        Self {
            name: "learned".to_owned(),
            seed: 1,
            samples: 100,
            folds: 5,
            whole: false,
            deviation: 0.5,
            keep_limits: false,
            composed: 0,
        }
    }
}

/// One weight that was learned.
#[derive(Clone, Debug, PartialEq)]
pub struct LearnedWeight {
    /// The rule.
    pub rule: &'static Rule,
    /// In points.
    pub weight: f64,
    /// Standard error, in points: of a weight that the lines tell nothing about, how far it may go
    /// from the base.
    pub error: f64,
    /// What it weighs in the base.
    pub base: Weight,
    /// In how many places the lines have it.
    pub count: usize,
}

/// What was learned.
#[derive(Clone, Debug)]
pub struct Learned {
    /// The style: the base with the range of the lines and the learned weights.
    pub style: Style,
    /// The name of the base.
    pub base: String,
    /// How many lines were given.
    pub lines: usize,
    /// How many groups of lines.
    pub groups: usize,
    /// Bars that were learned from.
    pub bars: usize,
    /// Notes that were learned from.
    pub notes: usize,
    /// What was left out.
    pub left_out: LeftOut,
    /// The weights that were fitted, in the order of the rules.
    pub weights: Vec<LearnedWeight>,
    /// The limits that became weights, the one broken most first.
    pub softened: Vec<Softened>,
    /// Bits a note by the learned style, of the lines that it was fitted to.
    pub fitted_bits: f64,
    /// What the base says of them.
    pub base_bits: BaseBits,
    /// What lines cost that were held out; `None` where there is one group or fewer than two folds.
    pub held_out: Option<HeldOut>,
    /// Bars to listen to again, the worst first.
    pub outliers: Vec<Outlier>,
    /// What the rulebook does not hear, the furthest from what it expects first.
    pub residuals: Vec<Residual>,
    /// The figures of lines, where lines were to be composed.
    pub figures: Vec<Figure>,
    /// Steps of the fit.
    pub steps: usize,
}

/// Learns weights from lines. `tell` is told how far it is, at least once a step of the search,
/// and answers whether to go on.
///
/// The time grows with notes × samples × folds; 1,740 notes take half a minute.
///
/// # Errors
/// See [`LearnError`].
pub fn learn(
    base: &Style,
    lessons: &[Lesson],
    asked: &Asked,
    tell: &mut dyn FnMut(Progress) -> bool,
) -> Result<Learned, LearnError> {
    let prepared = Prepared::new(base, lessons, asked)?;
    let folds = hold_out::folds(&prepared, asked);
    let composed = if asked.composed > 0 { 2 } else { 0 };
    let mut teller = Teller::new(3 + 2 * folds + composed, tell);
    let model = prepared.model(asked.seed);
    let prior = Prior {
        mean: start(&prepared, &model),
        deviation: asked.deviation,
    };
    let runs: Vec<&Run> = prepared.runs.iter().collect();
    let samples = asked.samples.max(2);
    let likelihood = |weights: &[f64]| model.likelihood(&runs, weights, samples);
    let least = model.by_chance(samples);
    let fitted = fit(&likelihood, &prior, &prior.mean, least, &mut teller)?;
    teller.done()?;
    teller.begin(Stage::HoldingOut)?;
    let held_out = hold_out::held_out(
        &prepared,
        &model,
        &prior,
        &fitted.weights,
        asked,
        &mut teller,
    )?;
    teller.begin(Stage::Listening)?;
    let outliers = ear::outliers(&prepared, lessons, &model, &fitted.weights);
    teller.done()?;
    teller.begin(Stage::Doubting)?;
    let residuals = residual::residuals(&prepared, &model, &fitted.weights, &prior, samples);
    let residuals = residuals.ok_or(LearnError::Unreckonable)?;
    teller.done()?;
    let weights = weights(&prepared, &model, &fitted);
    let style = style(&prepared, &weights, &asked.name);
    let mut figures = Vec::new();
    if asked.composed > 0 {
        teller.begin(Stage::Composing)?;
        let seeds = asked.seed..asked.seed.saturating_add(asked.composed);
        figures = figures::figures(lessons, base, &style, seeds, &mut teller)?;
    }
    let mut softened = prepared.softened.clone();
    // The sort keeps the order of equals.
    softened.sort_by_key(|softened| std::cmp::Reverse(softened.bars));
    Ok(Learned {
        style,
        base: base.name.clone(),
        lines: lessons.len(),
        groups: prepared.groups.len(),
        bars: prepared.bars,
        notes: prepared.notes(),
        left_out: prepared.left_out,
        weights,
        softened,
        fitted_bits: bits(fitted.likelihood.total(), prepared.notes()),
        base_bits: hold_out::base_bits(&prepared, asked.seed),
        held_out,
        outliers,
        residuals,
        figures,
        steps: fitted.steps,
    })
}

/// Where weights begin, over temperature: with those of the base.
fn start(prepared: &Prepared, model: &model::Model) -> Vec<f64> {
    let own = |rule: &Rule| match prepared.base.weight(rule.name) {
        Weight::Milli(milli) => f64::from(milli) / 1000.0 / model.temperature,
        Weight::Never => SOFTENED,
    };
    model.free.iter().map(|id| own(id.rule())).collect()
}

fn weights(prepared: &Prepared, model: &model::Model, fitted: &Fitted) -> Vec<LearnedWeight> {
    let learned = fitted.weights.iter().zip(&fitted.errors);
    let free = model.free.iter().zip(learned);
    free.map(|(id, (weight, error))| LearnedWeight {
        rule: id.rule(),
        weight: f64::from(model::milli(weight * model.temperature)) / 1000.0,
        error: error * model.temperature,
        base: prepared.base.weight(id.rule().name),
        count: prepared.counts[usize::from(id.number())],
    })
    .collect()
}

fn style(prepared: &Prepared, weights: &[LearnedWeight], name: &str) -> Style {
    let plural = |count: usize, word: &str| match count {
        1 => format!("1 {word}"),
        _ => format!("{count} {word}s"),
    };
    let mut style = prepared.style.clone();
    name.clone_into(&mut style.name);
    style.description = format!(
        "Learned from {} of {}.",
        plural(prepared.bars, "bar"),
        plural(prepared.groups.len(), "group")
    );
    for weight in weights {
        let milli = Weight::Milli(model::milli(weight.weight));
        style.weights.insert(weight.rule.name.to_owned(), milli);
    }
    style
}
