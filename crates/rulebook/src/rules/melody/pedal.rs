//! The root held by repeating it while it is the root of both chords.

use linewright_theory::Member;

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::StepWindow;

/// The root held by repeating it while it is the root of both chords.
pub static PEDAL: Rule = Rule {
    name: "pedal",
    family: Family::Melody,
    sentence: "The root held by repeating it while it is the root of both chords.",
    look: Look::Step(test),
    most: FULL,
    label: Label::This(FunctionName::silent("pedal", "ped")),
    remarks: Remarks::NONE,
};

fn test(w: &StepWindow) -> Strength {
    let root = w.member() == Member::Root && w.from.line_root == w.ground.line_root;
    full_if(w.interval == 0 && root)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_root_repeated_under_its_chord_is_a_pedal_and_another_tone_is_not() {
        let heard = over("| C7 |").line("C2 C2 E2 E2");
        assert_eq!(heard.notes("pedal"), [(1, 2, FULL)]);
    }

    #[test]
    fn a_bass_note_held_under_changing_chords_is_a_pedal() {
        let heard = over("| C7 | F7/C |").line("E2 G2 Bb2 C3 | C3 A2 F2 C2");
        assert_eq!(heard.notes("pedal"), [(2, 1, FULL)]);
        let early = over("| C7 | F7 |").line("C2 E2 G2 F2 | F2 A2 C3 A2");
        assert!(early.never("pedal"));
    }
}
