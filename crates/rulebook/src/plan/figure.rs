//! Figures that return: bars that answer an earlier one with the same degrees.
//!
//! After one, two, four or eight bars players come back to the degrees of a bar ten times as often
//! as chance would have it. A plan draws such pairs beforehand, and both bars wish for one figure:
//! so no search has to remember what was played bars ago.

use linewright_chart::Timeline;

use crate::plan::bar::BarPlan;
use crate::plan::cadence::Cadence;
use crate::plan::dice::Dice;
use crate::plan::slot::Slot;
use crate::symbol::CellSymbol;

/// The degrees of a whole bar of four, 0 for a chromatic note.
pub type Figure = [CellSymbol; 4];

/// How far back an answered bar lies, in bars, with how often, in shares.
///
/// Three degrees return after 1, 2, 4 and 8 bars in 4.0, 6.3, 4.8 and 3.2 of 100 bars (excerpts of
/// the Weimar Jazz Database, see the style `as-played`).
const DISTANCES: [(usize, u64); 4] = [(2, 6), (4, 5), (1, 3), (8, 3)];

/// Figures that return most in the same excerpts, with how often, in shares.
const FIGURES: [(Figure, u64); 10] = [
    ([1, 2, 3, 5], 6),
    ([1, 7, 6, 0], 5),
    ([5, 4, 3, 5], 5),
    ([1, 5, 3, 1], 5),
    ([5, 4, 3, 2], 4),
    ([5, 4, 3, 1], 4),
    ([1, 2, 3, 2], 4),
    ([1, 1, 2, 3], 3),
    ([1, 2, 3, 4], 3),
    ([1, 7, 6, 5], 3),
];

/// Draws which bars answer which, with a chance of so many thousandths for each that can.
pub(super) fn figures(
    bars: &mut [BarPlan],
    slots: &[Slot],
    timeline: &Timeline,
    chance: u16,
    dice: &mut Dice,
) {
    if chance == 0 {
        return;
    }
    for bar in 1..bars.len() {
        if !has_room(&bars[bar], slots, timeline, bar) || !dice.chance(chance) {
            continue;
        }
        let answers = |&(back, _): &(usize, u64)| {
            let before = bar.checked_sub(back)?;
            let same = alike(&bars[before], &bars[bar], slots, back);
            (same && has_room(&bars[before], slots, timeline, before)).then_some(before)
        };
        let open: Vec<(usize, u64)> = DISTANCES
            .iter()
            .filter_map(|distance| Some((answers(distance)?, distance.1)))
            .collect();
        let shares: Vec<u64> = open.iter().map(|(_, share)| *share).collect();
        let Some(nth) = dice.share(&shares) else {
            continue;
        };
        let before = open[nth].0;
        let figure = bars[before].figure.or_else(|| {
            let shares = FIGURES.map(|(_, share)| share);
            dice.share(&shares).map(|nth| FIGURES[nth].0)
        });
        (bars[before].figure, bars[bar].figure) = (figure, figure);
        bars[bar].answers = Some(before);
    }
}

/// Whether a bar can have a figure: four notes over one chord, and nothing else is meant for it.
fn has_room(bar: &BarPlan, slots: &[Slot], timeline: &Timeline, index: usize) -> bool {
    let row = &slots[bar.slots.clone()];
    let one_chord = row.iter().skip(1).all(|slot| !slot.chord_starts);
    let free = !matches!(bar.cadence, Some(Cadence::OwnRoot | Cadence::NextRoot));
    row.len() == 4 && one_chord && free && !timeline.bars[index].pickup && bar.answers.is_none()
}

/// Whether two bars have chords of one kind; neighbours must have other roots, or they would be
/// the same bar twice.
fn alike(before: &BarPlan, bar: &BarPlan, slots: &[Slot], back: usize) -> bool {
    let [first, second] = [before, bar].map(|bar| &slots[bar.slots.start].ground);
    let moved = back > 1 || first.root != second.root;
    !before.slots.is_empty() && moved && first.shape() == second.shape()
}
