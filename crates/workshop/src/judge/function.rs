//! Whether a note does something.

use linewright_theory::Member;

use super::Judge;

impl Judge<'_> {
    /// Whether a note has a part in the line. A note of the chord or its scale has. A chromatic
    /// note has where it goes on by a half step, where the chord to come takes it up, or where it
    /// passes, or returns, by steps (common practice, no source).
    pub fn has_function(&self, at: usize) -> bool {
        if self.member(at) != Member::Outside {
            return true;
        }
        if self.is_last_note(at) {
            return false;
        }
        let on = self.into(at + 1);
        let taken_up = self.is_new_chord(at + 1) && self.is_tone_of(at + 1, self.notes[at]);
        let by_step = |semitones: i32| (1..=2).contains(&semitones.abs());
        let between = at > 0 && {
            let to = self.into(at);
            let passes = by_step(to) && by_step(on) && (to > 0) == (on > 0);
            passes || (by_step(to) && on == -to && self.is_tone(at + 1))
        };
        on.abs() == 1 || taken_up || between
    }
}
