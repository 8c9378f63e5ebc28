//! Strategies for a passage, one a file: in trade terms, what the notes are to do.

mod any_way;
mod clear_then_leading_on;
mod octave_away;
mod other_order;
mod other_order_of_the_line;
mod passing_chord;
mod pedal_then_run;
mod scale_then_arpeggio;
mod sequence;
mod unclear_then_clear;
mod view;

use std::fmt;
use std::sync::Arc;

use linewright_chart::Timeline;
use linewright_rulebook::Rule;
use linewright_rulebook::plan::Plan;
use linewright_rulebook::style::Weight;
use linewright_theory::Pitch;

pub use view::View;

/// A way to fill a passage.
pub struct Strategy {
    /// Its name, in trade terms.
    pub name: &'static str,
    /// The sentence that explains it.
    pub sentence: &'static str,
    /// Weights that differ from the style's: what is meant here is no fault.
    pub(super) weights: &'static [(&'static Rule, Weight)],
    /// The plans under which it can be done; none where it does not fit the passage.
    pub(super) settings: fn(&View) -> Vec<Setting>,
    /// Whether some first notes of the passage can still become an answer. Once refused, no
    /// longer beginning is admitted.
    pub(super) admits: fn(&View, &[Pitch]) -> bool,
}

impl fmt::Debug for Strategy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Strategy")
            .field("name", &self.name)
            .finish_non_exhaustive()
    }
}

/// One way to set a strategy up.
#[derive(Clone, Debug)]
pub struct Setting {
    /// The plan of the whole line.
    pub plan: Plan,
    /// The chords, where they are others than the line's.
    pub timeline: Option<Arc<Timeline>>,
    /// What it does, where there is a choice.
    pub by: Option<String>,
}

impl Setting {
    /// The line's own plan, where the passage is two bars of one chord with at least so many
    /// notes each; else none.
    fn over_one_chord(view: &View, least: usize) -> Vec<Self> {
        match view.two_bars_of_one_chord() {
            Some([first, _]) if first.len() >= least => {
                vec![Self::with(view.line.plan.clone())]
            }
            _ => Vec::new(),
        }
    }

    /// With a plan of its own, over the same chords.
    fn with(plan: Plan) -> Self {
        Self {
            plan,
            timeline: None,
            by: None,
        }
    }
}

/// Every strategy, in the order in which they take turns.
pub static STRATEGIES: &[&Strategy] = &[
    &any_way::ANY_WAY,
    &clear_then_leading_on::CLEAR_THEN_LEADING_ON,
    &unclear_then_clear::UNCLEAR_THEN_CLEAR,
    &other_order::OTHER_ORDER,
    &octave_away::OCTAVE_AWAY,
    &sequence::SEQUENCE,
    &scale_then_arpeggio::SCALE_THEN_ARPEGGIO,
    &passing_chord::PASSING_CHORD,
    &pedal_then_run::PEDAL_THEN_RUN,
    &other_order_of_the_line::OTHER_ORDER_OF_THE_LINE,
];

/// The strategy with the given name.
pub fn strategy_named(name: &str) -> Option<&'static Strategy> {
    STRATEGIES
        .iter()
        .copied()
        .find(|strategy| strategy.name == name)
}
