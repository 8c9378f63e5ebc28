//! An explained line as JSON.
//!
//! `format` is `"linewright explanation"`; `line` is the object of the line itself, as [`super`]
//! describes it. `plan` says under which plan the line is read: `"drawn"` (its own, from the
//! seed in its file) or `"inferred"`. `summary` holds sentences for people. `bars` has one
//! object for each bar with notes: the rules on order that find something there, the stock cell
//! (degrees 1 to 7) that the bar is or reorders, and whether it has the notes of the bar before
//! in another order. `cadences` are all that the line makes, planned or not.

use linewright_rulebook::plan::PhrasePlace;
use linewright_study::explain::Explanation;
use linewright_study::{PlanSource, Study};
use schemars::JsonSchema;
use serde::Serialize;

use super::line::LineText;
use super::pretty;
use crate::wording::summary::summary;

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Explanation")]
pub(super) struct Explained {
    /// What this object is.
    #[schemars(extend("const" = "linewright explanation"))]
    format: &'static str,
    /// Counted up when the meaning of a key changes.
    #[schemars(extend("const" = super::VERSION))]
    version: u32,
    /// `drawn` (its own, from the seed in its file) or `inferred`.
    plan: &'static str,
    /// What was read otherwise than written.
    remarks: Vec<String>,
    /// Sentences for people.
    summary: Vec<String>,
    /// What each bar with notes does.
    bars: Vec<Bar>,
    /// All cadences that the line makes, planned or not.
    cadences: Vec<Cadence>,
    /// The line itself.
    line: LineText,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "OrderOfBar")]
struct Bar {
    /// The bar as played, from 1; a pick-up bar is 0.
    number: usize,
    /// Rules on order that find something in the bar.
    order: Vec<&'static str>,
    /// Degrees, 1 to 7, of the stock cell that the bar is or reorders.
    stock_cell: Option<Vec<u8>>,
    /// Whether it has the notes of the bar before in another order.
    reorders_the_bar_before: bool,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "CadenceHeard")]
struct Cadence {
    /// The bar as played, from 1; a pick-up bar is 0.
    bar: usize,
    /// `beat one`, `own root on the last beat` or `next root on the last beat`.
    kind: String,
    /// How strong it is, in thousandths of a full cadence.
    strength_thousandths: i32,
    /// Whether the plan wishes for it.
    planned: bool,
    /// `end of phrase` or `middle of phrase`; `null` elsewhere.
    place: Option<&'static str>,
}

/// The JSON text of an explained line. Ends with a line break.
pub fn explained(study: &Study) -> String {
    let line = &study.line;
    let found = Explanation::of(line);
    let number = |bar: usize| line.timeline.bar_number(bar);
    pretty(&Explained {
        format: "linewright explanation",
        version: super::VERSION,
        plan: match study.plan {
            PlanSource::Drawn { .. } => "drawn",
            PlanSource::Inferred => "inferred",
        },
        remarks: study.remarks.iter().map(ToString::to_string).collect(),
        summary: summary(line, &found),
        bars: line
            .reading
            .bars
            .iter()
            .zip(&found.orders)
            .map(|(bar, order)| Bar {
                number: number(bar.bar),
                order: order.rules.iter().map(|rule| rule.name).collect(),
                stock_cell: order.stock.map(|cell| cell.to_vec()),
                reorders_the_bar_before: order.reorders_the_bar_before,
            })
            .collect(),
        cadences: found
            .landings
            .iter()
            .map(|landing| Cadence {
                bar: number(landing.bar),
                kind: landing.kind.to_string(),
                strength_thousandths: landing.strength,
                planned: landing.planned,
                place: landing.place.map(|place| match place {
                    PhrasePlace::End => "end of phrase",
                    PhrasePlace::Middle => "middle of phrase",
                }),
            })
            .collect(),
        line: LineText::of(line),
    })
}
