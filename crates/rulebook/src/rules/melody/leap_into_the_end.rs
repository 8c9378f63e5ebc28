//! A leap beyond a fifth into the line's last note, which nothing can recover.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::IntervalWindow;

/// A leap beyond a fifth into the line's last note, which nothing can recover.
pub static LEAP_INTO_THE_END: Rule = Rule {
    name: "leap-into-the-end",
    family: Family::Melody,
    sentence: "A leap beyond a fifth into the line's last note, which nothing can recover.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("a wide leap into the last note has nothing after it to balance it"),
};

fn test(w: &IntervalWindow) -> Strength {
    full_if(w.place.ends && w.size() > 7 && !w.place.shift)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_sixth_into_the_last_note_cannot_be_recovered() {
        let heard = over("| C7 | C7 |").line("C2 E2 G2 E3 | G2 E2 C2 Ab2");
        assert_eq!(heard.notes("leap-into-the-end"), [(2, 4, FULL)]);
    }

    #[test]
    fn a_fifth_is_near_enough() {
        assert!(
            over("| C7 |")
                .line("C2 E2 C2 G2")
                .never("leap-into-the-end")
        );
    }

    #[test]
    fn a_planned_shift_is_free() {
        let passage = over("time: 2/4\n| C7 | F7 |").shift(2, 2, "D3");
        assert!(passage.line("C2 E2 | F2 F3").never("leap-into-the-end"));
    }
}
