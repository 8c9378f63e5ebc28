//! A bar of four notes with no more than two different ones; half as heavy with three.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::BarWindow;

/// A bar of four notes with no more than two different ones; half as heavy with three.
pub static THIN_BAR: Rule = Rule {
    name: "thin-bar",
    family: Family::Order,
    sentence: "A bar of four notes with no more than two different ones; half as heavy with three.",
    label: Label::None,
    look: Look::Bar(test),
};

fn test(w: &BarWindow) -> Strength {
    if w.cell.len() < 4 || !w.begins_bar() {
        return 0;
    }
    let distinct = w
        .cell
        .iter()
        .fold(0_u8, |seen, symbol| seen | 1 << symbol)
        .count_ones();
    match distinct {
        0..=2 => FULL,
        3 => FULL / 2,
        _ => 0,
    }
}
