//! The fifth on beat one or where the chord changes; half as strong where the chord is only held.

use linewright_theory::Member;

use super::arrival_of::arrival_of;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::NoteWindow;

/// The fifth on beat one or where the chord changes; half as strong where the chord is only held.
pub static FIFTH_ARRIVAL: Rule = Rule {
    name: "fifth-arrival",
    family: Family::Arrival,
    sentence: "The fifth on beat one or where the chord changes; half as strong where the chord is only held.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("the fifth arrives here; at this grade the root does"),
};

fn test(w: &NoteWindow) -> Strength {
    arrival_of(w, |member| member == Member::Fifth)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_fifth_on_one_is_the_chords_own_fifth() {
        let heard = over("| Cm7b5 | Cm7 |").line("Gb2 Eb2 C2 Bb1 | G2 Eb2 C2 G2");
        assert_eq!(heard.notes("fifth-arrival"), [(1, 1, FULL), (2, 1, FULL)]);
    }

    #[test]
    fn a_perfect_fifth_over_a_flat_five_chord_is_none() {
        assert!(
            over("| Cm7b5 |")
                .line("G2 Eb2 C2 Gb2")
                .never("fifth-arrival")
        );
    }
}
