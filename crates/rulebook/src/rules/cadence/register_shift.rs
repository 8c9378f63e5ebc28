//! A leap of a sixth or more right after a cadence, where the plan moves the register.

use crate::plan::SHIFT_LEAP;

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::IntervalWindow;

/// A leap of a sixth or more right after a cadence, where the plan moves the register.
pub static REGISTER_SHIFT: Rule = Rule {
    name: "register-shift",
    family: Family::Cadence,
    sentence: "A leap of a sixth or more right after a cadence, where the plan moves the register.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::This(FunctionName::silent("register shift", "reg")),
    remarks: Remarks::NONE,
};

fn test(w: &IntervalWindow) -> Strength {
    full_if(w.place.shift && w.size() >= SHIFT_LEAP)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_sixth_or_more_either_way_moves_house_where_the_plan_says() {
        let passage = over("| C7 | F7 |").shift(2, 1, "D3");
        for first in ["Db3", "Eb3", "F3", "A1"] {
            let heard = passage.line(&format!("C2 E2 G2 F2 | {first} C3 A2 F2"));
            assert_eq!(heard.notes("register-shift"), [(2, 1, FULL)], "{first}");
        }
    }

    #[test]
    fn a_fifth_is_too_little_and_without_a_plan_it_is_only_a_leap() {
        let passage = over("| C7 | F7 |");
        let leap = "C2 E2 G2 F2 | Eb3 C3 A2 F2";
        assert!(passage.line(leap).never("register-shift"));
        let shift = passage.shift(2, 1, "D3");
        assert!(
            shift
                .line("C2 E2 G2 F2 | C3 Eb3 C3 A2")
                .never("register-shift")
        );
    }
}
