//! Where the plan asks for it, the bar outlines its chord in other tones and closes on the chord's own root on the last beat.

use crate::plan::Cadence;

use super::closing::closes_on_root;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::CellWindow;

/// Where the plan asks for it, the bar outlines its chord in other tones and closes on the chord's own root on the last beat.
pub static OWN_ROOT_CADENCE: Rule = Rule {
    name: "own-root-cadence",
    family: Family::Cadence,
    sentence: "Where the plan asks for it, the bar outlines its chord in other tones and closes on the chord's own root on the last beat.",
    look: Look::Cell(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::missing(
        "the phrase should land here: other tones of the chord first, its root on the last beat",
    ),
};

fn test(w: &CellWindow) -> Strength {
    if w.place.cadence == Some(Cadence::OwnRoot) {
        closes_on_root(w)
    } else {
        0
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::Cadence;

    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn three_five_nine_one_closes_the_bar() {
        let passage = over("| C7 | C7 |").cadence(2, Cadence::OwnRoot);
        let heard = passage.line("E2 G2 D2 C2 | E2 G2 D2 C2");
        assert_eq!(heard.bars("own-root-cadence"), [(2, FULL)]);
    }

    #[test]
    fn the_root_comes_last_and_only_last_after_tones_that_outline_the_chord() {
        let passage = over("| C7 |").cadence(1, Cadence::OwnRoot);
        for notes in ["C2 E2 G2 C3", "E2 G2 Bb2 D3", "G2 D2 A2 C2", "E2 D2 A2 C2"] {
            assert!(passage.line(notes).never("own-root-cadence"), "{notes}");
        }
    }

    #[test]
    fn the_root_of_an_earlier_chord_in_the_bar_does_not_stand_in_the_way() {
        let passage = over("| Dm7 G7 / / |").cadence(1, Cadence::OwnRoot);
        let heard = passage.line("D2 B1 F2 G2");
        assert_eq!(heard.bars("own-root-cadence"), [(1, FULL)]);
        assert!(passage.line("D2 G2 B2 G2").never("own-root-cadence"));
    }

    #[test]
    fn a_bar_of_five_closes_with_its_second_group() {
        let passage = over("time: 5/4\n| C7 |").cadence(1, Cadence::OwnRoot);
        let heard = passage.line("G2 A2 D2 E2 C2");
        assert_eq!(heard.bars("own-root-cadence"), [(1, FULL)]);
    }
}
