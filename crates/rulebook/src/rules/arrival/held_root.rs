//! The root on beat one of a chord that is only held.

use linewright_theory::Member;

use super::arrival_of::held;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::NoteWindow;

/// The root on beat one of a chord that is only held.
pub static HELD_ROOT: Rule = Rule {
    name: "held-root",
    family: Family::Arrival,
    sentence: "The root on beat one of a chord that is only held.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &NoteWindow) -> Strength {
    held(w, Member::Root)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn only_on_beat_one_of_a_held_chord() {
        let heard = over("| C7 | C7 |").line("C2 E2 G2 E2 | C2 E2 C2 C2");
        assert_eq!(heard.notes("held-root"), [(2, 1, FULL)]);
    }
}
