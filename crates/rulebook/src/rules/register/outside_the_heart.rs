//! Semitones by which the note lies outside the heart of the range.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::NoteWindow;

/// Semitones by which the note lies outside the heart of the range.
pub static OUTSIDE_THE_HEART: Rule = Rule {
    name: "outside-the-heart",
    family: Family::Register,
    sentence: "Semitones by which the note lies outside the heart of the range.",
    look: Look::Note(test),
    most: 127 * FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &NoteWindow) -> Strength {
    let (low, high) = (w.style.range.heart_low, w.style.range.heart_high);
    let below = i32::from(low.midi()) - i32::from(w.pitch.midi());
    let above = i32::from(w.pitch.midi()) - i32::from(high.midi());
    below.max(above).max(0) * FULL
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn every_semitone_under_a_one_or_over_d_three_counts() {
        let heard = over("| C7 | C7 |").line("A1 Ab1 G1 C2 | D3 Eb3 E3 C3");
        let found = [
            (1, 2, FULL),
            (1, 3, 2 * FULL),
            (2, 2, FULL),
            (2, 3, 2 * FULL),
        ];
        assert_eq!(heard.notes("outside-the-heart"), found);
    }
}
