//! The bar sounds its chord's third, and its seventh, fifth or root besides; full with third and seventh.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::BarWindow;

/// The bar sounds its chord's third, and its seventh, fifth or root besides; full with third and seventh.
pub static HARMONY_OUTLINED: Rule = Rule {
    name: "harmony-outlined",
    family: Family::Clarity,
    sentence: "The bar sounds its chord's third, and its seventh, fifth or root besides; full with third and seventh.",
    label: Label::None,
    look: Look::Bar(test),
};

fn test(w: &BarWindow) -> Strength {
    outlined(w)
}

fn outlined(w: &BarWindow) -> Strength {
    if !w.begins_bar() {
        return 0;
    }
    match (w.has(Member::Third), w.has(Member::Seventh)) {
        (true, true) => FULL,
        (true, false) if w.has(Member::Root) || w.has(Member::Fifth) => 700,
        (false, true) if w.has(Member::Root) => 400,
        _ => 0,
    }
}
