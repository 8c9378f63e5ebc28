//! The last note before a new chord is no tone of its own chord and already
//! one of the chord to come.

use linewright_theory::Member;

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// The last note before a new chord is no tone of its own chord and already
/// one of the chord to come, other than its root.
pub static ANTICIPATION: Rule = Rule {
    name: "anticipation",
    family: Family::Approach,
    sentence: "The last note before a new chord is no tone of its own chord and already one of the chord to come, other than its root.",
    look: Look::Note(test),
    most: FULL,
    label: Label::This(FunctionName::silent("anticipation", "ant")),
    remarks: Remarks::found(
        "the note already belongs to the next chord, which comes at a later grade",
    ),
};

fn test(w: &NoteWindow) -> Strength {
    let Some(next) = w.slot.next.as_ref().filter(|_| w.slot.chord_ends) else {
        return 0;
    };
    let tone = matches!(
        next.member(w.pitch.class()),
        Member::Third | Member::Fifth | Member::Seventh
    );
    full_if(tone && w.member() > Member::Seventh)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_foreign_note_already_belongs_to_the_chord_to_come() {
        let heard = over("key: C\n| Cmaj7 | Fm7 |").line("C2 E2 G2 Ab2 | C3 Ab2 F2 C2");
        assert_eq!(heard.notes("anticipation"), [(1, 4, FULL)]);
        assert!(heard.functions(1, 4).contains(&"anticipation"));
    }

    #[test]
    fn the_root_to_come_is_an_early_root_instead() {
        let heard = over("| C7 | F7 |").line("C2 E2 G2 F2 | A2 C3 A2 F2");
        assert!(heard.never("anticipation"));
    }

    #[test]
    fn a_tone_of_both_chords_or_a_beat_too_soon_anticipates_nothing() {
        let passage = over("key: C\n| Cmaj7 | Fm7 |");
        for notes in ["C2 E2 G2 C3", "C2 E2 Ab2 G2"] {
            let heard = passage.line(&format!("{notes} | Ab2 C3 F2 C2"));
            assert!(heard.never("anticipation"), "{notes}");
        }
    }

    #[test]
    fn the_seventh_of_its_own_chord_is_no_foreign_note() {
        let heard = over("| C7 | Gm7 |").line("C2 E2 G2 Bb2 | Bb2 G2 D2 G2");
        assert!(heard.never("anticipation"));
    }
}
