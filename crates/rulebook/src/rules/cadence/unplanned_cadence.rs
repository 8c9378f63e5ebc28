//! A bar that closes on its own root where no such cadence is planned: a line that cadences everywhere cadences nowhere.

use crate::plan::Cadence;

use super::closing::closes_on_root;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::CellWindow;

/// A bar that closes on its own root where no such cadence is planned: a line that cadences everywhere cadences nowhere.
pub static UNPLANNED_CADENCE: Rule = Rule {
    name: "unplanned-cadence",
    family: Family::Cadence,
    sentence: "A bar that closes on its own root where no such cadence is planned: a line that cadences everywhere cadences nowhere.",
    look: Look::Cell(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found(
        "this bar closes on its root in the middle of a phrase; keep that for its end",
    ),
};

fn test(w: &CellWindow) -> Strength {
    if w.place.cadence == Some(Cadence::OwnRoot) {
        0
    } else {
        closes_on_root(w)
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::Cadence;

    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_bar_that_closes_on_its_root_by_itself_is_found() {
        let heard = over("| C7 | F7 |").line("E2 G2 Bb2 C3 | A2 C3 G2 F2");
        assert_eq!(heard.bars("unplanned-cadence"), [(1, FULL), (2, FULL)]);
    }

    #[test]
    fn where_the_plan_asks_for_it_or_the_root_sounds_before_it_is_none() {
        let planned = over("| C7 |").cadence(1, Cadence::OwnRoot);
        assert!(planned.line("E2 G2 Bb2 C3").never("unplanned-cadence"));
        assert!(
            over("| C7 |")
                .line("C2 G2 Bb2 C3")
                .never("unplanned-cadence")
        );
    }
}
