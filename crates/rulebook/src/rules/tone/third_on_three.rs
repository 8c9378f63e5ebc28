//! The third in the middle of a bar, under a chord that began before.

use crate::plan::BeatOfBar;
use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// The third in the middle of a bar, under a chord that began before.
pub static THIRD_ON_THREE: Rule = Rule {
    name: "third-on-three",
    family: Family::Tone,
    sentence: "The third in the middle of a bar, under a chord that began before.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &NoteWindow) -> Strength {
    full_if(
        w.slot.stands() == BeatOfBar::Middle && !w.slot.chord_starts && w.member() == Member::Third,
    )
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn in_the_middle_of_a_bar_under_a_held_chord() {
        let heard = over("| C7 | C7 F7 |").line("E2 G2 E2 E2 | C2 E2 A2 E2");
        assert_eq!(heard.notes("third-on-three"), [(1, 3, FULL)]);
    }
}
