//! The best lines, whatever they do.

use super::{Setting, Strategy};

/// The best lines, whatever they do.
pub(super) static ANY_WAY: Strategy = Strategy {
    name: "any-way",
    sentence: "The best lines through the passage, whatever they do.",
    weights: &[],
    settings: |view| vec![Setting::with(view.line.plan.clone())],
    admits: |_, _| true,
};
