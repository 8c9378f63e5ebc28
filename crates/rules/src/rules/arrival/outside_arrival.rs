//! The scale tone or chromatic note on beat one or where the chord changes; half as strong where the chord is only held.

use linewright_theory::Member;

use super::arrival::arrival_of;
use crate::rule::{Family, Label, Look, Rule, Strength};
use crate::window::NoteWindow;

/// The scale tone or chromatic note on beat one or where the chord changes; half as strong where the chord is only held.
pub static OUTSIDE_ARRIVAL: Rule = Rule {
    name: "outside-arrival",
    family: Family::Arrival,
    sentence: "The scale tone or chromatic note on beat one or where the chord changes; half as strong where the chord is only held.",
    label: Label::None,
    look: Look::Note(test),
};

fn test(w: &NoteWindow) -> Strength {
    arrival_of(w, |member| member >= Member::Scale)
}
