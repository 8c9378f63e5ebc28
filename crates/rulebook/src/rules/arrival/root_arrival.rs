//! The root on beat one or where the chord changes; half as strong where the chord is only held.

use linewright_theory::Member;

use super::arrival_of::arrival_of;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::NoteWindow;

/// The root on beat one or where the chord changes; half as strong where the chord is only held.
pub static ROOT_ARRIVAL: Rule = Rule {
    name: "root-arrival",
    family: Family::Arrival,
    sentence: "The root on beat one or where the chord changes; half as strong where the chord is only held.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &NoteWindow) -> Strength {
    arrival_of(w, |member| member == Member::Root)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_root_on_one_is_full_where_the_chord_is_new_and_half_where_it_is_held() {
        let heard = over("| C7 | C7 |").line("C2 E2 G2 Bb2 | C3 Bb2 C3 E2");
        assert_eq!(
            heard.notes("root-arrival"),
            [(1, 1, FULL), (2, 1, FULL / 2)]
        );
    }

    #[test]
    fn a_chord_change_inside_the_bar_is_an_arrival() {
        let heard = over("| Dm7 G7 |").line("D2 F2 G2 B1");
        assert_eq!(heard.notes("root-arrival"), [(1, 1, FULL), (1, 3, FULL)]);
    }

    #[test]
    fn over_a_slash_chord_the_bass_note_is_the_root() {
        let heard = over("| C7/E | F7/A |").line("E2 G2 C3 G2 | F2 A2 C3 A2");
        assert_eq!(heard.notes("root-arrival"), [(1, 1, FULL)]);
    }
}
