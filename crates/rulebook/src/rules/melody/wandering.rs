//! Two moves that end more than a fifth from where they began.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::ShapeWindow;

/// Two moves that end more than a fifth from where they began.
pub static WANDERING: Rule = Rule {
    name: "wandering",
    family: Family::Melody,
    sentence: "Two moves that end more than a fifth from where they began.",
    look: Look::Shape(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &ShapeWindow) -> Strength {
    full_if((w.first + w.second).abs() > 7)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn what_counts_is_where_they_end() {
        let heard = over("| C7 | C7 |").line("C2 G2 A2 C2 | C2 G2 C2 A1");
        assert_eq!(heard.notes("wandering"), [(1, 3, FULL), (2, 1, FULL), (2, 4, FULL)]);
    }
}
