//! The chord's own root on the last beat of a bar.

use crate::plan::BeatOfBar;
use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// The chord's own root on the last beat of a bar.
pub static ROOT_ON_THE_LAST_BEAT: Rule = Rule {
    name: "root-on-the-last-beat",
    family: Family::Tone,
    sentence: "The chord's own root on the last beat of a bar.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &NoteWindow) -> Strength {
    full_if(w.slot.stands() == BeatOfBar::Last && w.member() == Member::Root)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn only_on_the_last_beat() {
        let heard = over("| C7 | F7 |").line("C2 C2 C3 C2 | F2 A2 C3 C3");
        assert_eq!(heard.notes("root-on-the-last-beat"), [(1, 4, FULL)]);
    }
}
