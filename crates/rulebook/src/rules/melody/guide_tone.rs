//! Where roots fall a fifth, the seventh steps down to the third.

use linewright_theory::Member;

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::StepWindow;

/// Where roots fall a fifth, the seventh steps down to the third.
pub static GUIDE_TONE: Rule = Rule {
    name: "guide-tone",
    family: Family::Melody,
    sentence: "Where roots fall a fifth, the seventh steps down to the third.",
    look: Look::Step(test),
    most: FULL,
    label: Label::This(FunctionName::silent("guide tone", "gt")),
    remarks: Remarks::NONE,
};

fn test(w: &StepWindow) -> Strength {
    let fifth = w.place.chord_starts && w.ground.root == w.from.root.up(5);
    // The sixth of a sixth chord plays the seventh's part, but does not resolve.
    let degree = w.from.degree_at(w.from.offset(w.from_class));
    let tones =
        degree.number == 7 && w.from_member() == Member::Seventh && w.member() == Member::Third;
    full_if(fifth && tones && matches!(w.interval, -1 | -2))
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_seventh_steps_down_to_the_third_where_roots_fall_a_fifth() {
        for (chart, notes) in [
            ("| Dm7 | G7 |", "C3 | B2"),
            ("| G7 | Cmaj7 |", "F2 | E2"),
            ("| G7 | Cm7 |", "F2 | Eb2"),
        ] {
            let heard = over(chart).line(&format!("D2 G2 D2 {notes} G2 D2 G2"));
            assert_eq!(heard.notes("guide-tone"), [(2, 1, FULL)], "{chart}");
            assert!(heard.functions(2, 1).contains(&"guide tone"));
        }
    }

    #[test]
    fn another_root_motion_or_an_octave_displaced_is_none() {
        let thirds = over("| C7 | E7 |").line("C2 E2 G2 Bb2 | G#2 B2 E2 B2");
        assert!(thirds.never("guide-tone"));
        let displaced = over("| Dm7 | G7 |").line("D2 F2 A2 C3 | B1 D2 G2 D2");
        assert!(displaced.never("guide-tone"));
    }
}
