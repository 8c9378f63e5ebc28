//! A leap beyond a fifth that is not recovered by a step or a third the other way, and is no register shift.

use super::recovery::recovers;
use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::ShapeWindow;

/// A leap beyond a fifth that is not recovered by a step or a third the other way, and is no register shift.
pub static UNRECOVERED_LEAP: Rule = Rule {
    name: "unrecovered-leap",
    family: Family::Melody,
    sentence: "A leap beyond a fifth that is not recovered by a step or a third the other way, and is no register shift.",
    label: Label::None,
    look: Look::Shape(test),
};

fn test(w: &ShapeWindow) -> Strength {
    if w.first.abs() > 7 && !w.place.middle_shift && !recovers(w) {
        FULL
    } else {
        0
    }
}
