//! A leap beyond a fifth at a tempo where the hand has no time for it; heavier the faster.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::IntervalWindow;

/// A leap beyond a fifth at a tempo where the hand has no time for it; heavier the faster.
pub static FAST_LEAP: Rule = Rule {
    name: "fast-leap",
    family: Family::Register,
    sentence: "A leap beyond a fifth at a tempo where the hand has no time for it; heavier the faster.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("the leap into this note is wide for this tempo"),
};

fn test(w: &IntervalWindow) -> Strength {
    let over = (i32::from(w.place.tempo) - 180).clamp(0, 160);
    if w.size() > 7 && w.place.beats == 1 {
        over * FULL / 160
    } else {
        0
    }
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::{in_two, over};

    #[test]
    fn a_sixth_is_heavier_the_faster_the_tune() {
        for (tempo, weight) in [
            (180, None),
            (220, Some(FULL / 4)),
            (260, Some(FULL / 2)),
            (340, Some(FULL)),
            (400, Some(FULL)),
        ] {
            let heard = over(&format!("tempo: {tempo}\n| C7 |")).line("C2 Ab2 G2 E2");
            assert_eq!(heard.on("fast-leap", 1, 2), weight, "{tempo}");
        }
    }

    #[test]
    fn a_fifth_or_a_leap_after_a_half_note_leaves_the_hand_time() {
        assert!(
            over("tempo: 340\n| C7 |")
                .line("C2 G2 F2 E2")
                .never("fast-leap")
        );
        assert!(
            in_two("tempo: 340\n| C7 |")
                .line("C2 A2")
                .never("fast-leap")
        );
    }
}
