//! A sixth, a ninth or another colour tone on the second note of a bar.

use crate::plan::BeatOfBar;
use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// A sixth, a ninth or another colour tone on the second note of a bar.
pub static COLOUR_ON_TWO: Rule = Rule {
    name: "colour-on-two",
    family: Family::Tone,
    sentence: "A sixth, a ninth or another colour tone on the second note of a bar.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &NoteWindow) -> Strength {
    full_if(w.slot.stands() == BeatOfBar::Second && w.member() == Member::Colour)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn only_on_the_second_note() {
        let heard = over("key: F\n| C7 | C7 |").line("C2 D2 E2 D2 | D2 E2 D2 G2");
        assert_eq!(heard.notes("colour-on-two"), [(1, 2, FULL)]);
    }
}
