//! Two moves that end more than a fifth from where they began; heavier the farther, full at an octave.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::ShapeWindow;

/// Two moves that end more than a fifth from where they began; heavier the farther, full at an octave.
pub static WANDERING: Rule = Rule {
    name: "wandering",
    family: Family::Melody,
    sentence: "Two moves that end more than a fifth from where they began; heavier the farther, full at an octave.",
    look: Look::Shape(test),
    most: FARTHEST * FULL / 5,
    label: Label::None,
    remarks: Remarks::NONE,
};

/// Farther than three octaves is no heavier.
const FARTHEST: i32 = 29;

fn test(w: &ShapeWindow) -> Strength {
    let beyond = (w.first + w.second).abs() - 7;
    beyond.clamp(0, FARTHEST) * FULL / 5
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn what_counts_is_where_they_end() {
        let heard = over("| C7 | C7 |").line("C2 G2 A2 C2 | C2 G2 C2 A1");
        assert_eq!(
            heard.notes("wandering"),
            [
                (1, 3, 2 * FULL / 5),
                (2, 1, 2 * FULL / 5),
                (2, 4, 3 * FULL / 5)
            ]
        );
    }
}
