//! The line's last note is not a chord tone.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// The line's last note is not a chord tone.
pub static OPEN_ENDING: Rule = Rule {
    name: "open-ending",
    family: Family::Tone,
    sentence: "The line's last note is not a chord tone.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found(
        "the line ends on a note that is no chord tone, so it does not come home",
    ),
};

fn test(w: &NoteWindow) -> Strength {
    full_if(w.slot.next.is_none() && w.member() > Member::Seventh)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_last_note_that_is_no_chord_tone_leaves_the_line_open() {
        let heard = over("| C7 | C7 |").line("C2 E2 G2 A2 | C3 G2 E2 D2");
        assert_eq!(heard.notes("open-ending"), [(2, 4, FULL)]);
    }

    #[test]
    fn any_chord_tone_closes_it() {
        for last in ["C2", "E2", "G2", "Bb2"] {
            let heard = over("| C7 |").line(&format!("C2 D2 E2 {last}"));
            assert!(heard.never("open-ending"), "{last}");
        }
    }
}
