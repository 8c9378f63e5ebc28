//! A leap beyond the style's limit.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::IntervalWindow;

/// A leap beyond the style's limit.
pub static TOO_WIDE_LEAP: Rule = Rule {
    name: "too-wide-leap",
    family: Family::Register,
    sentence: "A leap beyond the style's limit.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("the leap into this note is wider than the hand should go"),
};

fn test(w: &IntervalWindow) -> Strength {
    let limit = if w.place.shift {
        w.style.largest_shift
    } else {
        w.style.largest_leap
    };
    full_if(w.size() > i32::from(limit))
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_style_sets_one_limit_for_leaps_and_one_for_register_shifts() {
        let passage = over("| C7 | F7 |").limits(7, 12);
        let shift = passage.clone().shift(2, 1, "D3");
        let leap = |to: &str| format!("C2 D2 E2 F2 | {to} {to} {to} {to}");
        assert!(passage.line(&leap("C3")).never("too-wide-leap"));
        assert_eq!(
            passage.line(&leap("Db3")).notes("too-wide-leap"),
            [(2, 1, FULL)]
        );
        assert!(shift.line(&leap("F3")).never("too-wide-leap"));
        assert_eq!(
            shift.line(&leap("Gb3")).notes("too-wide-leap"),
            [(2, 1, FULL)]
        );
    }
}
