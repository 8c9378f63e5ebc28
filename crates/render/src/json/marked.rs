//! The marks of a line as JSON.
//!
//! `format` is `"linewright marks"`. Marks are whole thousandths (`millimarks`). A fault says
//! the rule that is wrong (`null` where none of the grade's devices is in two bars), whether it
//! was found or is missing, its bar and beat, what it costs, and the one change that mends it,
//! where there is one. `bars_without_notes` should have some; each takes its share of every
//! criterion along. `fix` has the fewest changes that pass, where the line does not pass and
//! a fix was looked for. `line` is the object of the line itself, as [`super`] describes it.

use linewright_study::mark::{self, Assessed, Located, Marked, Wrong};
use schemars::JsonSchema;
use serde::Serialize;

use super::line::LineText;
use super::pretty;
use linewright_theory::pitch_name;

/// The marks of one line, as they are written.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Marks")]
pub(super) struct MarksText {
    /// What this object is.
    #[schemars(extend("const" = "linewright marks"))]
    format: &'static str,
    /// Counted up when the meaning of a key changes.
    #[schemars(extend("const" = super::VERSION))]
    version: u32,
    /// The title of the chart.
    title: String,
    /// The name of the style that the line is marked in.
    style: String,
    /// The marks that there are, in thousandths of a mark.
    total_millimarks: i64,
    /// The marks that the line gets, in thousandths of a mark.
    got_millimarks: i64,
    /// The marks that a line needs to pass, in thousandths of a mark.
    pass_millimarks: i64,
    /// Whether the line passes.
    passes: bool,
    /// Bars that should have notes; each takes its share of every criterion along.
    bars_without_notes: Vec<usize>,
    /// The marks by criterion.
    criteria: Vec<Criterion>,
    /// The fewest changes that pass, where the line does not and a fix was looked for.
    fix: Option<Vec<Change>>,
}

#[derive(Serialize, JsonSchema)]
struct Criterion {
    /// The name of the criterion.
    name: &'static str,
    /// Its share of all marks, in thousandths of a mark.
    total_millimarks: i64,
    /// What of it the line gets, in thousandths of a mark.
    got_millimarks: i64,
    /// What the line does well.
    credit: Vec<Credit>,
    /// What costs marks.
    faults: Vec<FaultFound>,
}

#[derive(Serialize, JsonSchema)]
struct Credit {
    /// The name of the rule.
    rule: &'static str,
    /// How often it found something.
    times: usize,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Fault")]
struct FaultFound {
    /// `null` where none of the grade's devices is in two bars.
    rule: Option<&'static str>,
    /// Whether the rule should have found something and did not.
    missing: bool,
    /// The bar as played, from 1; a pick-up bar is 0.
    bar: usize,
    /// The beat, from 1; `null` for a fault of a whole bar.
    beat: Option<u8>,
    /// What it costs, in thousandths of a mark.
    cost_millimarks: i64,
    /// The one change that mends it, where there is one.
    mend: Option<Change>,
}

#[derive(Serialize, JsonSchema)]
struct Change {
    /// The bar as played, from 1; a pick-up bar is 0.
    bar: usize,
    /// The beat, from 1.
    beat: u8,
    /// The note as it is, with its octave as it sounds: `Bb1`.
    from: String,
    /// The note that should be there.
    to: String,
}

/// The marks of a line, and the line.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "MarkedLine")]
pub(super) struct MarkedText {
    #[serde(flatten)]
    marks: MarksText,
    /// The line as it was read, with what it does.
    line: LineText,
}

/// The JSON text of a marked line. Ends with a line break.
pub fn marked(marked: &Marked) -> String {
    pretty(&MarkedText {
        marks: MarksText::of(&Assessed::of(marked)),
        line: LineText::of(&marked.study.line),
    })
}

impl MarksText {
    pub(super) fn of(assessed: &Assessed) -> Self {
        let mark = &assessed.mark;
        let mut located = assessed.faults.iter();
        let fault = |(fault, located): (&mark::Fault, &Located)| FaultFound {
            rule: match fault.what {
                Wrong::Found(rule) | Wrong::Missing(rule) => Some(rule.rule().name),
                Wrong::NoDevice => None,
            },
            missing: !matches!(fault.what, Wrong::Found(_)),
            bar: located.bar,
            beat: located.beat,
            cost_millimarks: fault.cost,
            mend: located.mend.as_ref().map(change),
        };
        let criteria = mark.criteria.iter().map(|criterion| Criterion {
            name: criterion.criterion.name(),
            total_millimarks: criterion.total,
            got_millimarks: criterion.got,
            credit: criterion
                .credit
                .iter()
                .map(|&(rule, times)| Credit {
                    rule: rule.rule().name,
                    times,
                })
                .collect(),
            faults: criterion
                .faults
                .iter()
                .zip(located.by_ref())
                .map(fault)
                .collect(),
        });
        Self {
            format: "linewright marks",
            version: super::VERSION,
            criteria: criteria.collect(),
            title: assessed.title.clone(),
            style: assessed.style.clone(),
            total_millimarks: mark.total(),
            got_millimarks: mark.got(),
            pass_millimarks: mark.pass(),
            passes: mark.passes(),
            bars_without_notes: assessed.silent.clone(),
            fix: (assessed.fix.as_ref()).map(|changes| changes.iter().map(change).collect()),
        }
    }
}

fn change(change: &mark::Change) -> Change {
    Change {
        bar: change.bar,
        beat: change.beat,
        from: change.from.to_string(),
        to: pitch_name(change.to, change.key).to_string(),
    }
}
