//! The bar sounds its chord's third, and its seventh, fifth or root besides; full with third and seventh, less with root and seventh alone.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::CellWindow;

/// The bar sounds its chord's third, and its seventh, fifth or root besides; full with third and seventh, less with root and seventh alone.
pub static HARMONY_OUTLINED: Rule = Rule {
    name: "harmony-outlined",
    family: Family::Clarity,
    sentence: "The bar sounds its chord's third, and its seventh, fifth or root besides; full with third and seventh, less with root and seventh alone.",
    look: Look::Cell(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &CellWindow) -> Strength {
    outlined(w)
}

fn outlined(w: &CellWindow) -> Strength {
    if !w.place.begins_bar {
        return 0;
    }
    match (w.has(Member::Third), w.has(Member::Seventh)) {
        (true, true) => FULL,
        (true, false) if w.has(Member::Root) || w.has(Member::Fifth) => 700,
        (false, true) if w.has(Member::Root) => 400,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn third_and_seventh_outline_the_chord_in_full() {
        for (notes, strength) in [
            ("C2 E2 G2 Bb2", Some(FULL)),
            ("E2 D2 A2 Bb2", Some(FULL)),
            ("C2 E2 D2 E2", Some(700)),
            ("G2 E2 D2 A2", Some(700)),
            ("C2 Bb1 G1 A1", Some(400)),
            ("C2 G2 D2 A2", None),
            ("D2 E2 F2 A2", None),
        ] {
            let heard = over("| C7 |").line(notes);
            assert_eq!(heard.at_bar("harmony-outlined", 1), strength, "{notes}");
        }
    }

    #[test]
    fn a_bar_of_five_is_judged_by_its_first_group() {
        let passage = over("time: 5/4\n| C7 |");
        assert!(passage.line("C2 G2 D2 E2 Bb2").never("harmony-outlined"));
        let heard = passage.line("C2 E2 Bb2 E2 Bb2");
        assert_eq!(heard.bars("harmony-outlined"), [(1, FULL)]);
    }
}
