//! Two half steps the same way.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::ShapeWindow;

/// Two half steps the same way.
pub static HALF_STEPS_ON: Rule = Rule {
    name: "half-steps-on",
    family: Family::Melody,
    sentence: "Two half steps the same way.",
    look: Look::Shape(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &ShapeWindow) -> Strength {
    full_if(w.same_way() && w.first.abs() == 1 && w.second.abs() == 1)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn both_are_half_steps() {
        let heard = over("| C7 | C7 |").line("C2 C#2 D2 E2 | F2 E2 F2 Gb2");
        assert_eq!(heard.notes("half-steps-on"), [(1, 3, FULL), (2, 4, FULL)]);
    }
}
