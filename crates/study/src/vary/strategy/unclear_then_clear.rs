//! An ambiguous bar, then one that lands.

use linewright_rulebook::AMBIGUOUS;
use linewright_rulebook::plan::{Cadence, Clarity};
use linewright_theory::Pitch;

use super::{Setting, Strategy, View};

/// An ambiguous bar, then one that lands on the root on beat one.
pub(super) static UNCLEAR_THEN_CLEAR: Strategy = Strategy {
    name: "unclear-then-clear",
    sentence: "The first bar could be another chord's; the second lands on the root on beat one and carries the weight.",
    weights: &[],
    settings,
    admits,
};

fn settings(view: &View) -> Vec<Setting> {
    let first = view.bars.start;
    let three = view.rows.first().is_some_and(|row| row.len() >= 3);
    if view.two_bars_of_one_chord().is_none()
        || !three
        || !view.line.plan.has_room(first + 1, Cadence::BeatOne)
    {
        return Vec::new();
    }
    let mut plan = view.line.plan.clone();
    (plan.bars[first].cadence, plan.bars[first].clarity) = (None, Clarity::Ambiguous);
    plan.bars[first + 1].cadence = Some(Cadence::BeatOne);
    plan.bars[first + 1].clarity = Clarity::Clear;
    vec![Setting::with(plan)]
}

fn admits(view: &View, notes: &[Pitch]) -> bool {
    let Some([first, second]) = view.two_bars_of_one_chord() else {
        return false;
    };
    let unclear = view
        .clarity(&first, notes)
        .is_none_or(|clarity| clarity <= AMBIGUOUS);
    let lands = notes.get(second.start).is_none_or(|root| {
        let size = i32::from(root.midi()) - i32::from(notes[second.start - 1].midi());
        root.class() == view.ground().line_root
            && (matches!(size.abs(), 1 | 2) || matches!(size, -7 | 5))
    });
    unclear && lands
}
