//! What a rule found, as data; the wording comes last, elsewhere.

use crate::plan::Plan;
use crate::rule::{RuleId, Strength};

/// Where a finding stands.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    /// At a note, by its number in the line from 0.
    Note(usize),
    /// At a bar of the timeline, from 0.
    Bar(usize),
}

impl Place {
    /// The bar of the timeline that it lies in.
    pub fn bar(self, plan: &Plan) -> usize {
        match self {
            Place::Note(at) => plan.slots[at].bar,
            Place::Bar(bar) => bar,
        }
    }
}

/// One finding of one rule.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// The rule.
    pub rule: RuleId,
    /// Where.
    pub place: Place,
    /// How strongly, in thousandths of a full finding.
    pub strength: Strength,
    /// Milli-points that it adds to the score; `None` where the style forbids it.
    pub points: Option<i32>,
}
