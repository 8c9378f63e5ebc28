//! A move wider than a third, heavier the wider it is: a fourth counts half, a fifth most of one, a sixth a full one. A leap at a register shift is free.

use crate::rule::{Family, Label, Look, Remarks, Rule, Strength};
use crate::window::IntervalWindow;

/// A move wider than a third, heavier the wider it is: a fourth counts half, a fifth most of one, a sixth a full one. A leap at a register shift is free.
pub static LEAP: Rule = Rule {
    name: "leap",
    family: Family::Melody,
    sentence: "A move wider than a third, heavier the wider it is: a fourth counts half, a fifth most of one, a sixth a full one. A leap at a register shift is free.",
    look: Look::Interval(test),
    most: 1300,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &IntervalWindow) -> Strength {
    if w.place.shift {
        return 0;
    }
    match w.size() {
        0..=4 => 0,
        5 => 500,
        6 | 7 => 700,
        8 | 9 => 1000,
        12 => 900,
        _ => 1300,
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::over;

    #[test]
    fn a_leap_is_heavier_the_wider_it_is_and_an_octave_a_little_lighter() {
        for (to, weight) in [
            ("E2", None),
            ("F2", Some(500)),
            ("F#2", Some(700)),
            ("G2", Some(700)),
            ("Ab2", Some(1000)),
            ("A2", Some(1000)),
            ("Bb2", Some(1300)),
            ("C3", Some(900)),
            ("E3", Some(1300)),
            ("F1", Some(700)),
        ] {
            let heard = over("| C7 |").line(&format!("C2 {to} {to} {to}"));
            assert_eq!(heard.on("leap", 1, 2), weight, "{to}");
        }
    }

    #[test]
    fn a_leap_at_a_register_shift_is_free() {
        let passage = over("| C7 | F7 |").shift(2, 1, "D3");
        assert!(passage.line("C2 D2 E2 F2 | Eb3 C3 A2 F2").never("leap"));
    }
}
