//! How far the bar's tension lies from the tension that the plan wishes.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::BarWindow;

/// How far the bar's tension lies from the tension that the plan wishes.
pub static TENSION_OFF_PLAN: Rule = Rule {
    name: "tension-off-plan",
    family: Family::Clarity,
    sentence: "How far the bar's tension lies from the tension that the plan wishes.",
    look: Look::Bar(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &BarWindow) -> Strength {
    if w.cell.place.begins_bar {
        (w.facts.tension - i32::from(w.bar.tension)).abs()
    } else {
        0
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::over;

    #[test]
    fn it_is_the_distance_between_the_bars_tension_and_the_wish() {
        let line = "C2 E2 G2 Bb2";
        let tension = over("| C7 |").line(line).bar(1).tension;
        for wish in [0_u16, 300, 1000] {
            let heard = over("| C7 |").tension(1, wish).line(line);
            let off = (tension - i32::from(wish)).abs();
            assert_eq!(
                heard.at_bar("tension-off-plan", 1).unwrap_or(0),
                off,
                "{wish}"
            );
        }
    }

    #[test]
    fn a_chromatic_bar_suits_a_tense_wish_and_an_arpeggio_a_calm_one() {
        let off = |wish, notes| {
            let heard = over("key: F\n| C7 |").tension(1, wish).line(notes);
            heard.at_bar("tension-off-plan", 1).unwrap_or(0)
        };
        let (calm, tense) = ("C2 E2 G2 Bb2", "D2 Eb2 F2 F#2");
        assert!(off(100, calm) < off(100, tense));
        assert!(off(900, calm) > off(900, tense));
    }
}
