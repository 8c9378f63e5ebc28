//! Lines cut into runs of whole bars.

use std::ops::Range;

use linewright_compose::Line;
use linewright_rulebook::plan::Plan;
use linewright_theory::Pitch;

use crate::excerpt::excerpt;
use crate::study::pitches;

/// Fewest notes of a run: fewer say next to nothing.
const FEWEST: usize = 3;

/// Neighbouring bars of one line in which the walk never stops, under a plan that wishes nothing.
#[derive(Clone, Debug)]
pub(super) struct Run {
    /// Number of the lesson that it is from.
    pub lesson: usize,
    /// Number of its group.
    pub group: usize,
    /// Which bars of the lesson's timeline.
    pub bars: Range<usize>,
    /// The plan of these bars.
    pub plan: Plan,
    /// One pitch for each slot.
    pub pitches: Vec<Pitch>,
}

impl Run {
    /// The slots of each of its bars, in order.
    pub(super) fn rows(&self) -> impl Iterator<Item = Range<usize>> + '_ {
        self.plan.bars[self.bars.clone()]
            .iter()
            .map(|bar| bar.slots.clone())
    }
}

/// The runs of a lesson's line, and how many of its bars with notes are in none: those in which
/// the walk stops, and those between such bars with fewer than three notes.
pub(super) fn runs(line: &Line, lesson: usize, group: usize) -> (Vec<Run>, usize) {
    let plan = line.plan.clone().without_wishes(line.style.range.middle());
    let played = pitches(line);
    let whole = |bar: usize| {
        let row = &plan.slots[plan.bars[bar].slots.clone()];
        let mut until = 0;
        let joined = row.iter().all(|slot| {
            let joined = slot.beat == until;
            until = slot.beat + slot.beats;
            joined
        });
        joined && !row.is_empty() && until == line.timeline.bars[bar].beats
    };
    let with_notes = plan.bars.iter().filter(|bar| !bar.slots.is_empty()).count();
    let (mut runs, mut used, mut bar) = (Vec::new(), 0, 0);
    while bar < plan.bars.len() {
        let end = (bar..plan.bars.len())
            .find(|&bar| !whole(bar))
            .unwrap_or(plan.bars.len());
        let cut = excerpt(&plan, bar..end);
        if cut.slots.len() >= FEWEST {
            used += end - bar;
            runs.push(Run {
                lesson,
                group,
                bars: bar..end,
                plan: cut.plan,
                pitches: played[cut.slots].to_vec(),
            });
        }
        bar = end + 1;
    }
    (runs, with_notes - used)
}
