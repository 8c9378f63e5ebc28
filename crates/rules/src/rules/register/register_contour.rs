//! Semitones by which the note strays more than a fourth from the register that the plan keeps to.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::NoteWindow;

/// Semitones by which the note strays more than a fourth from the register that the plan keeps to.
pub static REGISTER_CONTOUR: Rule = Rule {
    name: "register-contour",
    family: Family::Register,
    sentence: "Semitones by which the note strays more than a fourth from the register that the plan keeps to.",
    label: Label::None,
    look: Look::Note(test),
};

fn test(w: &NoteWindow) -> Strength {
    let away = (i32::from(w.pitch.midi()) - i32::from(w.slot.centre.midi())).abs();
    (away - 5).max(0) * FULL
}
