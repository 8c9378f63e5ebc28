//! The fifth on beat one of a chord that is only held.

use linewright_theory::Member;

use super::arrival_of::held;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::NoteWindow;

/// The fifth on beat one of a chord that is only held.
pub static HELD_FIFTH: Rule = Rule {
    name: "held-fifth",
    family: Family::Arrival,
    sentence: "The fifth on beat one of a chord that is only held.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &NoteWindow) -> Strength {
    held(w, Member::Fifth)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn only_on_beat_one_of_a_held_chord() {
        let heard = over("| C7 | C7 |").line("G2 E2 G2 E2 | G2 E2 C2 G2");
        assert_eq!(heard.notes("held-fifth"), [(2, 1, FULL)]);
    }
}
