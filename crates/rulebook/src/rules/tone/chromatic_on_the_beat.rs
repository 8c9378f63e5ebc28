//! A chromatic note on a strong beat, where it sounds like a wrong one.

use crate::plan::Beat;
use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// A chromatic note on a strong beat, where it sounds like a wrong one.
pub static CHROMATIC_ON_THE_BEAT: Rule = Rule {
    name: "chromatic-on-the-beat",
    family: Family::Tone,
    sentence: "A chromatic note on a strong beat, where it sounds like a wrong one.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("a note outside the scale on a strong beat sounds like a wrong one"),
};

fn test(w: &NoteWindow) -> Strength {
    full_if(w.member() == Member::Outside && w.slot.strength != Beat::Weak)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn beats_one_and_three_are_strong_and_two_and_four_are_not() {
        let heard = over("key: F\n| C7 | C7 |").line("F#2 G2 Ab2 G2 | C2 C#2 D2 D#2");
        assert_eq!(
            heard.notes("chromatic-on-the-beat"),
            [(1, 1, FULL), (1, 3, FULL)]
        );
    }

    #[test]
    fn in_three_only_beat_one_is_strong_and_in_five_beat_four_too() {
        let waltz = over("key: F\ntime: 3/4\n| C7 |").line("F#2 F#2 F#2");
        assert_eq!(waltz.notes("chromatic-on-the-beat"), [(1, 1, FULL)]);
        let five = over("key: F\ntime: 5/4\n| C7 |").line("F#2 F#2 F#2 F#2 F#2");
        assert_eq!(
            five.notes("chromatic-on-the-beat"),
            [(1, 1, FULL), (1, 4, FULL)]
        );
    }
}
