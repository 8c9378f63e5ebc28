//! Two moves the same way, however wide.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::ShapeWindow;

/// Two moves the same way, however wide.
pub static ONWARD: Rule = Rule {
    name: "onward",
    family: Family::Melody,
    sentence: "Two moves the same way, however wide.",
    look: Look::Shape(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &ShapeWindow) -> Strength {
    full_if(w.same_way())
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn up_or_down_but_not_both() {
        let heard = over("| C7 |").line("C2 G2 A2 C2");
        assert_eq!(heard.notes("onward"), [(1, 3, FULL)]);
    }
}
