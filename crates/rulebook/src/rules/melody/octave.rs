//! The same note an octave away.

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::IntervalWindow;

/// The same note an octave away.
pub static OCTAVE: Rule = Rule {
    name: "octave",
    family: Family::Melody,
    sentence: "The same note an octave away.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::This(FunctionName::silent("octave", "8ve")),
    remarks: Remarks::NONE,
};

fn test(w: &IntervalWindow) -> Strength {
    full_if(w.size() == 12)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn up_or_down_an_octave_but_neither_one_short_nor_two() {
        let heard = over("| C7 | C7 |").line("C2 C3 C2 B2 | C1 C3 E2 E3");
        assert_eq!(
            heard.notes("octave"),
            [(1, 2, FULL), (1, 3, FULL), (2, 4, FULL)]
        );
    }
}
