//! Where the plan asks for it, the next chord's root closes the bar on its last beat.

use crate::plan::Cadence;

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// Where the plan asks for it, the next chord's root closes the bar on its last beat.
pub static NEXT_ROOT_CADENCE: Rule = Rule {
    name: "next-root-cadence",
    family: Family::Cadence,
    sentence: "Where the plan asks for it, the next chord's root closes the bar on its last beat.",
    look: Look::Note(test),
    most: FULL,
    label: Label::This(FunctionName::silent("cadence on the next root", "cad")),
    remarks: Remarks::missing(
        "the phrase should land here: the next chord's root on the last beat",
    ),
};

fn test(w: &NoteWindow) -> Strength {
    let planned = w.bar.cadence == Some(Cadence::NextRoot) && w.slot.is_last();
    let next = w
        .slot
        .next
        .as_ref()
        .is_some_and(|next| next.line_root == w.pitch.class());
    full_if(planned && next)
}

#[cfg(test)]
mod tests {
    use crate::plan::Cadence;

    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_next_root_closes_the_bar_where_the_plan_asks_for_it() {
        let passage = over("| C7 | F7 | Bb7 |").cadence(1, Cadence::NextRoot);
        let heard = passage.line("C2 E2 G2 F2 | A2 C3 A2 Bb2 | D2 F2 D2 Bb1");
        assert_eq!(heard.notes("next-root-cadence"), [(1, 4, FULL)]);
        assert_eq!(heard.functions(1, 4)[0], "cadence on the next root");
    }

    #[test]
    fn sooner_than_the_last_beat_or_on_another_note_it_is_none() {
        let passage = over("| C7 | F7 |").cadence(1, Cadence::NextRoot);
        for notes in ["C2 E2 F2 G2 | F2 A2 C3 A2", "C2 E2 G2 E2 | F2 A2 C3 A2"] {
            assert!(passage.line(notes).never("next-root-cadence"), "{notes}");
        }
    }
}
