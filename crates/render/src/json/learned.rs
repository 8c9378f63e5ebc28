//! What was learned from lines, as JSON. `format` is `"linewright learned"`.
//!
//! Bits are those a note, in thousandths (`millibits`). Points are whole thousandths. What there
//! is nothing to tell of is `null`.

use linewright_rulebook::style::Weight;
use linewright_study::learn::{Guess, Learned, Places};
use schemars::JsonSchema;
use serde::Serialize;

use super::pretty;
use crate::numbers::share;

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Learned")]
pub(super) struct LearnedText<'a> {
    /// What this object is.
    #[schemars(extend("const" = "linewright learned"))]
    format: &'static str,
    /// Counted up when the meaning of a key changes.
    #[schemars(extend("const" = super::VERSION))]
    version: u32,
    /// The name of the style that was learned.
    style: &'a str,
    /// The name of the style that it began with.
    base: &'a str,
    /// How many lines there are.
    lines: usize,
    /// How many groups of lines.
    groups: usize,
    /// How many bars were learned from.
    bars: usize,
    /// How many notes they have.
    notes: usize,
    /// What was left out.
    left_out: LeftOut,
    /// What lines cost, a note.
    millibits: Bits<'a>,
    /// The weights that were fitted.
    weights: Vec<Weighed>,
    /// The limits of the base that the lines break, and that became weights.
    softened: Vec<Softened>,
    /// What the lines are like, beside lines that are composed over the same chords.
    figures: Vec<Figure>,
    /// Bars to listen to again, the least likely first.
    outliers: Vec<Outlier<'a>>,
    /// What lines do more or less often than the rulebook expects, the furthest from it first.
    residuals: Vec<Residual>,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "LeftOut")]
struct LeftOut {
    /// Bars with notes that the walk does not fill.
    bars_with_gaps: usize,
    /// Bars of runs that break a limit, where limits are kept.
    bars_beyond_limits: usize,
    /// Notes between the beats.
    ornaments: usize,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Bits")]
struct Bits<'a> {
    /// By the learned style, of the lines that it was fitted to.
    fitted: i64,
    /// By the base, of the runs that it allows.
    base: Option<i64>,
    /// How many runs of whole bars the lines have.
    runs: usize,
    /// How many of them the base forbids.
    forbidden_by_base: usize,
    /// By weights that were fitted to other groups.
    held_out: Option<i64>,
    /// The same by group.
    by_group: Vec<Group<'a>>,
    /// By simple models, held out in the same way.
    simple: Vec<Simple>,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "GroupBits")]
struct Group<'a> {
    /// The name of the group.
    group: &'a str,
    /// What its lines cost, a note.
    millibits: i64,
    /// How many notes it has.
    notes: usize,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "SimpleModel")]
struct Simple {
    /// What the model hears.
    hears: &'static str,
    /// What lines cost by it, a note.
    millibits: i64,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "LearnedWeight")]
struct Weighed {
    /// The name of the rule.
    rule: &'static str,
    /// What it weighs.
    weight_millipoints: i64,
    /// The standard error of that.
    error_millipoints: i64,
    /// What it weighs in the base; `null` where that forbids it.
    base_millipoints: Option<i32>,
    /// In how many places the lines have it.
    count: usize,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Softened")]
struct Softened {
    /// The name of the rule.
    rule: &'static str,
    /// In how many bars the lines break it.
    bars: usize,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Figure")]
struct Figure {
    /// What is counted.
    name: &'static str,
    /// Its share in the lines.
    lines_thousandths: Option<u64>,
    /// Where 95 % of resamplings of the groups put it at least.
    low_thousandths: i64,
    /// Where they put it at most.
    high_thousandths: i64,
    /// Its share in lines that the base composes.
    base_thousandths: Option<u64>,
    /// Its share in lines that the learned style composes.
    learned_thousandths: Option<u64>,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Outlier")]
struct Outlier<'a> {
    /// The name of the line.
    line: &'a str,
    /// The number of the bar as played.
    bar: usize,
    /// What it costs given the notes around it, a note.
    millibits: i64,
    /// What may be wrong with it: `"octave"`, `"shifted"` or `"chord"`.
    guess: Option<&'static str>,
    /// The beat of the note that may be an octave off.
    beat: Option<u8>,
    /// The chord that its notes name.
    chord: Option<String>,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Residual")]
struct Residual {
    /// What lines do.
    name: &'static str,
    /// What shares are taken of: `"notes"` or `"bars"`.
    of: &'static str,
    /// In how many places it could be.
    places: u64,
    /// In how many it is.
    observed: u64,
    /// In how many thousandths of a place the rulebook expects it.
    expected_thousandths: i64,
    /// How far that lies apart, in thousandths of a standard deviation.
    deviation_thousandths: i64,
}

/// The JSON text of what was learned. Ends with a line break.
pub fn learned(learned: &Learned) -> String {
    let held = learned.held_out.as_ref();
    let weighed = |weight: &linewright_study::learn::LearnedWeight| Weighed {
        rule: weight.rule.name,
        weight_millipoints: thousandths(weight.weight),
        error_millipoints: thousandths(weight.error),
        base_millipoints: match weight.base {
            Weight::Milli(milli) => Some(milli),
            Weight::Never => None,
        },
        count: weight.count,
    };
    pretty(&LearnedText {
        format: "linewright learned",
        version: super::VERSION,
        style: &learned.style.name,
        base: &learned.base,
        lines: learned.lines,
        groups: learned.groups,
        bars: learned.bars,
        notes: learned.notes,
        left_out: LeftOut {
            bars_with_gaps: learned.left_out.bars_with_gaps,
            bars_beyond_limits: learned.left_out.bars_beyond_limits,
            ornaments: learned.left_out.ornaments,
        },
        millibits: Bits {
            fitted: thousandths(learned.fitted_bits),
            base: learned.base_bits.bits.map(thousandths),
            runs: learned.base_bits.runs,
            forbidden_by_base: learned.base_bits.forbidden,
            held_out: held.map(|held| thousandths(held.bits)),
            by_group: held
                .iter()
                .flat_map(|held| &held.by_group)
                .map(|group| Group {
                    group: &group.group,
                    millibits: thousandths(group.bits),
                    notes: group.notes,
                })
                .collect(),
            simple: held
                .iter()
                .flat_map(|held| &held.simple)
                .map(|model| Simple {
                    hears: model.name,
                    millibits: thousandths(model.bits),
                })
                .collect(),
        },
        weights: learned.weights.iter().map(weighed).collect(),
        softened: learned
            .softened
            .iter()
            .map(|softened| Softened {
                rule: softened.rule.name,
                bars: softened.bars,
            })
            .collect(),
        figures: learned.figures.iter().map(figure).collect(),
        outliers: learned.outliers.iter().map(outlier).collect(),
        residuals: learned.residuals.iter().map(residual).collect(),
    })
}

/// In thousandths, rounded.
fn thousandths(number: f64) -> i64 {
    (number * 1000.0).round() as i64
}

fn figure(figure: &linewright_study::learn::Figure) -> Figure {
    let share = |(times, of): (u64, u64)| share(times, of);
    Figure {
        name: figure.name,
        lines_thousandths: share(figure.lines),
        low_thousandths: thousandths(figure.interval.0),
        high_thousandths: thousandths(figure.interval.1),
        base_thousandths: share(figure.base),
        learned_thousandths: share(figure.learned),
    }
}

fn outlier(outlier: &linewright_study::learn::Outlier) -> Outlier<'_> {
    let (guess, beat, chord) = match &outlier.guess {
        None => (None, None, None),
        Some(Guess::Octave { beat, .. }) => (Some("octave"), Some(*beat), None),
        Some(Guess::Shifted { .. }) => (Some("shifted"), None, None),
        Some(Guess::Chord(symbol)) => (Some("chord"), None, Some(symbol.clone())),
    };
    Outlier {
        line: &outlier.line,
        bar: outlier.bar,
        millibits: thousandths(outlier.bits),
        guess,
        beat,
        chord,
    }
}

fn residual(residual: &linewright_study::learn::Residual) -> Residual {
    Residual {
        name: residual.name,
        of: match residual.of {
            Places::Notes => "notes",
            Places::Bars => "bars",
        },
        places: residual.places,
        observed: residual.observed,
        expected_thousandths: thousandths(residual.expected),
        deviation_thousandths: thousandths(residual.deviations),
    }
}
