//! Semitones by which the note lies outside the heart of the range.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::NoteWindow;

/// Semitones by which the note lies outside the heart of the range.
pub static OUTSIDE_THE_HEART: Rule = Rule {
    name: "outside-the-heart",
    family: Family::Register,
    sentence: "Semitones by which the note lies outside the heart of the range.",
    label: Label::None,
    look: Look::Note(test),
};

fn test(w: &NoteWindow) -> Strength {
    let (low, high) = (w.style.range.heart_low, w.style.range.heart_high);
    let below = i32::from(low.midi()) - i32::from(w.pitch.midi());
    let above = i32::from(w.pitch.midi()) - i32::from(high.midi());
    below.max(above).max(0) * FULL
}
