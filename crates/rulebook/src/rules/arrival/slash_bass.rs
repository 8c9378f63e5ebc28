//! Where a slash chord begins, its bass note sounds.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// Where a slash chord begins, its bass note sounds.
pub static SLASH_BASS: Rule = Rule {
    name: "slash-bass",
    family: Family::Arrival,
    sentence: "Where a slash chord begins, its bass note sounds.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::missing("the bass note of the slash chord should sound where it begins"),
};

fn test(w: &NoteWindow) -> Strength {
    let begins = w.slot.chord_starts && w.slot.ground.chord.bass.is_some();
    full_if(begins && w.member() == Member::Root)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_bass_of_the_slash_chord_is_heard_where_the_chord_begins() {
        let heard = over("| C | C/E |").line("C2 E2 G2 D2 | E2 G2 C3 E3");
        assert_eq!(heard.notes("slash-bass"), [(2, 1, FULL)]);
    }

    #[test]
    fn a_chord_without_a_slash_has_none() {
        assert!(
            over("| C | F |")
                .line("C2 E2 G2 A2 | F2 A2 C3 F3")
                .never("slash-bass")
        );
    }
}
