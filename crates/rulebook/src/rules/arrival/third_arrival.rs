//! The third on beat one or where the chord changes; half as strong where the chord is only held.

use linewright_theory::Member;

use super::arrival_of::arrival_of;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::NoteWindow;

/// The third on beat one or where the chord changes; half as strong where the chord is only held.
pub static THIRD_ARRIVAL: Rule = Rule {
    name: "third-arrival",
    family: Family::Arrival,
    sentence: "The third on beat one or where the chord changes; half as strong where the chord is only held.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("the third arrives here; at this grade the root does"),
};

fn test(w: &NoteWindow) -> Strength {
    arrival_of(w, |member| member == Member::Third)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_third_on_one_may_be_major_or_minor() {
        let heard = over("| Cm7 | F7 | F7 |").line("Eb2 G2 Bb2 C3 | A2 C3 A2 F2 | A2 F2 C3 G2");
        let found = [(1, 1, FULL), (2, 1, FULL), (3, 1, FULL / 2)];
        assert_eq!(heard.notes("third-arrival"), found);
    }

    #[test]
    fn the_fourth_of_a_suspended_chord_stands_for_its_third() {
        let heard = over("| G7sus4 |").line("C2 D2 G2 F2");
        assert_eq!(heard.notes("third-arrival"), [(1, 1, FULL)]);
    }

    #[test]
    fn the_fourth_of_another_chord_is_no_third() {
        assert!(over("| G7 |").line("C2 D2 G2 B2").never("third-arrival"));
    }
}
