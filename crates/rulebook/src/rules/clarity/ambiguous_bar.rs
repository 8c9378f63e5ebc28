//! A bar that is meant to be ambiguous: its notes fit the chord, and fit another as well.

use crate::plan::Clarity;
use linewright_theory::Member;

use crate::clarity::{AMBIGUOUS, CLEAR};
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::BarWindow;

/// A bar that is meant to be ambiguous: its notes fit the chord, and fit another as well.
pub static AMBIGUOUS_BAR: Rule = Rule {
    name: "ambiguous-bar",
    family: Family::Clarity,
    sentence: "A bar that is meant to be ambiguous: its notes fit the chord, and fit another as well.",
    look: Look::Bar(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &BarWindow) -> Strength {
    let meant = w.bar.clarity == Clarity::Ambiguous && w.cell.place.begins_bar;
    let fits = !w.cell.members[..w.cell.members.len().min(3)].contains(&Member::Outside);
    if meant && fits {
        ((CLEAR - w.facts.clarity) * FULL / (CLEAR - AMBIGUOUS)).clamp(0, FULL)
    } else {
        0
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::Clarity;

    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn notes_that_fit_another_chord_as_well_answer_the_plan() {
        let passage = over("| C7 | F7 |").clarity(1, Clarity::Ambiguous);
        let heard = passage.line("Bb1 D2 F2 A2 | Eb2 G2 Bb2 D3");
        assert_eq!(heard.bars("ambiguous-bar"), [(1, FULL)]);
    }

    #[test]
    fn a_plain_arpeggio_does_not() {
        let passage = over("| C7 |").clarity(1, Clarity::Ambiguous);
        assert!(passage.line("C2 E2 G2 Bb2").never("ambiguous-bar"));
    }

    #[test]
    fn the_notes_fit_the_chord_itself_but_the_last_may_lead_on() {
        let passage = over("key: F\n| C7 |").clarity(1, Clarity::Ambiguous);
        for notes in ["B1 D2 F2 A2", "Bb1 D2 F#2 A2"] {
            assert!(passage.line(notes).never("ambiguous-bar"), "{notes}");
        }
        assert!(!passage.line("Bb1 D2 F2 Gb2").never("ambiguous-bar"));
    }
}
