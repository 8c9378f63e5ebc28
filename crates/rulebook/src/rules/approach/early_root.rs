//! The next chord's root already sounds on the last note before it.

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// The next chord's root already sounds on the last note before it.
pub static EARLY_ROOT: Rule = Rule {
    name: "early-root",
    family: Family::Approach,
    sentence: "The next chord's root already sounds on the last note before it.",
    look: Look::Note(test),
    most: FULL,
    label: Label::This(FunctionName::silent("early root", "next")),
    remarks: Remarks::found("the next root sounds early, which comes at a later grade"),
};

fn test(w: &NoteWindow) -> Strength {
    let next = w
        .slot
        .next
        .as_ref()
        .filter(|next| w.slot.chord_ends && next.line_root != w.slot.ground.line_root);
    full_if(next.is_some_and(|next| next.line_root == w.pitch.class()))
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_root_to_come_sounds_on_the_last_note_before_it() {
        let heard = over("| C7 | F7 |").line("C2 E2 G2 F2 | A2 F2 Eb2 C2");
        assert_eq!(heard.notes("early-root"), [(1, 4, FULL)]);
        assert_eq!(heard.functions(1, 4)[0], "early root");
    }

    #[test]
    fn with_two_chords_a_bar_it_may_sound_on_beat_two() {
        let heard = over("| Dm7 G7 | C6 |").line("D2 G2 B2 C3 | E2 G2 C2 E2");
        assert_eq!(heard.notes("early-root"), [(1, 2, FULL), (1, 4, FULL)]);
    }

    #[test]
    fn one_beat_sooner_or_over_the_same_root_it_is_none() {
        assert!(
            over("| C7 | F7 |")
                .line("C2 E2 F2 G2 | A2 F2 Eb2 C2")
                .never("early-root")
        );
        assert!(
            over("| C7 | Cm7 |")
                .line("E2 G2 Bb2 C3 | G2 Eb2 C2 G2")
                .never("early-root")
        );
    }

    #[test]
    fn the_bass_note_of_a_slash_chord_is_the_root_to_come() {
        let heard = over("| C7 | Dm7/G |").line("C2 E2 D2 G2 | D2 F2 G2 F2");
        assert_eq!(heard.notes("early-root"), [(1, 4, FULL)]);
    }
}
