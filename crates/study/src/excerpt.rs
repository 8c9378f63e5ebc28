//! A few bars of a plan, to be read or searched by themselves.

use std::ops::Range;

use linewright_rulebook::plan::Plan;

/// Some neighbouring bars of a plan. Bars keep their numbers, and those outside are silent;
/// slots are counted anew.
#[derive(Clone, Debug)]
pub(crate) struct Excerpt {
    /// The plan of these bars.
    pub plan: Plan,
    /// Which slots of the whole plan they are.
    pub slots: Range<usize>,
}

/// Cuts bars out of a plan.
pub(crate) fn excerpt(plan: &Plan, bars: Range<usize>) -> Excerpt {
    let inside = &plan.bars[bars.clone()];
    let start = inside.first().map_or(0, |bar| bar.slots.start);
    let end = inside.last().map_or(start, |bar| bar.slots.end);
    let mut cut = Plan {
        bars: plan.bars.clone(),
        slots: plan.slots[start..end].to_vec(),
    };
    for (index, bar) in cut.bars.iter_mut().enumerate() {
        bar.slots = if bars.contains(&index) {
            bar.slots.start - start..bar.slots.end - start
        } else {
            0..0
        };
    }
    Excerpt {
        plan: cut,
        slots: start..end,
    }
}

/// The bars around some bars that rules can see from them: back until two notes stand before
/// and one bar with notes, and on in the same way.
pub(crate) fn surroundings(plan: &Plan, bars: Range<usize>) -> Range<usize> {
    let notes =
        |bars: Range<usize>| -> usize { plan.bars[bars].iter().map(|bar| bar.slots.len()).sum() };
    let mut first = bars.start;
    while first > 0 && notes(first..bars.start) < 2 {
        first -= 1;
    }
    let mut end = bars.end;
    while end < plan.bars.len() && notes(bars.end..end) < 2 {
        end += 1;
    }
    first..end
}
