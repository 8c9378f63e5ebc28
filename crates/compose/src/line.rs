//! A finished line with all that is needed to print it or make it again.

use std::sync::Arc;

use linewright_chart::Timeline;
use linewright_rulebook::plan::Plan;
use linewright_rulebook::style::Style;

use linewright_rulebook::{Reading, RuleBook};

/// How a line was chosen among all lines.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Choice {
    /// The line with the highest score under its plan.
    Best,
    /// One of the lines with the highest scores under its plan.
    Ranked {
        /// Its place among them, from 1.
        place: usize,
    },
    /// A line drawn with a chance proportional to exp(score / temperature),
    /// the temperature in milli-points.
    Sampled {
        /// Temperature in milli-points.
        temperature: u32,
    },
}

/// What a line was made from: with the chart, the setting of its timeline (key, tempo,
/// choruses) and the range and instrument of its style, enough to make it again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Provenance {
    /// Version of the program.
    pub version: &'static str,
    /// The style's name.
    pub style: String,
    /// Hash of the complete style, fitted to its instrument and range.
    pub style_hash: u64,
    /// The seed; 0 for a given line.
    pub seed: u64,
    /// The line's number within the seed, from 0; 0 for a given line.
    pub line: u64,
    /// How it was chosen; `None` for a line that was given: written by somebody else, and
    /// only read here.
    pub choice: Option<Choice>,
}

/// A finished line.
#[derive(Clone, Debug)]
pub struct Line {
    /// The form that it is played over, all choruses in order.
    pub timeline: Arc<Timeline>,
    /// The style that it is written in.
    pub style: Arc<Style>,
    /// The rulebook of the style.
    pub book: Arc<RuleBook>,
    /// The plan that it follows.
    pub plan: Plan,
    /// The line, read by the rulebook.
    pub reading: Reading,
    /// What it was made from.
    pub provenance: Provenance,
}
