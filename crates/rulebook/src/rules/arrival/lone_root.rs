//! The only note of a bar is the root.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// The only note of a bar is the root.
pub static LONE_ROOT: Rule = Rule {
    name: "lone-root",
    family: Family::Arrival,
    sentence: "The only note of a bar is the root.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &NoteWindow) -> Strength {
    full_if(w.slot.of == 1 && w.member() == Member::Root)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_hit_before_a_break_is_heard_as_the_root() {
        let heard = over("| C7 N.C. / / | F7 |").line("C2 | F2 A2 C3 F3");
        assert_eq!(heard.notes("lone-root"), [(1, 1, FULL)]);
    }

    #[test]
    fn another_tone_or_a_bar_of_more_notes_has_none() {
        let passage = over("| C7 N.C. / / | F7 |");
        assert!(passage.line("G2 | F2 A2 C3 F3").never("lone-root"));
        assert!(over("| C7 |").line("C2 E2 G2 C3").never("lone-root"));
    }
}
