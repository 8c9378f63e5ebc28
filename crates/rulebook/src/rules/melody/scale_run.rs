//! Two steps the same way.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::ShapeWindow;

/// Two steps the same way.
pub static SCALE_RUN: Rule = Rule {
    name: "scale-run",
    family: Family::Melody,
    sentence: "Two steps the same way.",
    look: Look::Shape(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &ShapeWindow) -> Strength {
    full_if(w.same_way() && w.first.abs() <= 2 && w.second.abs() <= 2)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn two_steps_up_or_down_are_a_run_and_a_third_breaks_it() {
        let heard = over("| C7 | C7 |").line("C2 D2 E2 F2 | G2 F2 E2 C2");
        let found = [(1, 3, FULL), (1, 4, FULL), (2, 1, FULL), (2, 3, FULL)];
        assert_eq!(heard.notes("scale-run"), found);
    }

    #[test]
    fn a_minor_third_before_or_after_a_step_is_no_run() {
        assert!(over("| C7 |").line("C2 Eb2 F2 Ab2").never("scale-run"));
    }
}
