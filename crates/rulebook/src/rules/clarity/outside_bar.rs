//! A bar that leaves its harmony: three of its first four notes or more lie outside the scale. Of
//! the bars that players play 3 in 100 do, of bars a half step off more than half.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::CellWindow;

/// Three of the first four notes of a bar, or more, lie outside the scale.
pub static OUTSIDE_BAR: Rule = Rule {
    name: "outside-bar",
    family: Family::Clarity,
    sentence: "Three of the first four notes of a bar, or more, lie outside the scale.",
    look: Look::Cell(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("most notes of this bar lie outside its harmony"),
};

fn test(w: &CellWindow) -> Strength {
    let outside = w
        .members
        .iter()
        .filter(|member| **member == Member::Outside);
    full_if(w.place.begins_bar && outside.count() >= 3)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn three_or_four_notes_outside_the_scale_leave_the_harmony_and_two_do_not() {
        for (notes, strength) in [
            ("Db2 F#2 Ab2 C2", Some(FULL)),
            ("Db2 F#2 Ab2 B2", Some(FULL)),
            ("C2 F#2 G2 Db2", None),
        ] {
            let heard = over("key: F\n| C7 |").line(notes);
            assert_eq!(heard.at_bar("outside-bar", 1), strength, "{notes}");
        }
    }
}
