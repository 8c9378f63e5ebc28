//! The one change that mends a fault.

use std::ops::Range;

use linewright_rules::{Line, Place, read};
use linewright_theory::Pitch;

use super::{Fault, Scheme, Wrong, bar_of, faults};
use crate::excerpt::{Excerpt, excerpt};
use crate::study::pitches;

/// One changed note.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Mend {
    /// The slot.
    pub slot: usize,
    /// The note to play there instead.
    pub pitch: Pitch,
}

/// The change of one note that mends a fault and costs the fewest marks, and among equals the
/// highest score in the style, then the smallest move, then the earliest and lowest note. The
/// notes that the fault hangs on are tried, over the style's range. `None` where no single note
/// mends it without costing more than it saves.
pub fn mend(line: &Line, scheme: &Scheme, fault: &Fault) -> Option<Mend> {
    let range = line.style.range;
    let played = pitches(line);
    let local = Local::around(line, scheme, fault);
    let (before, _) = local.cost(line, &played[local.part.slots.clone()], None)?;
    let mut best: Option<((i64, i64, i32), Mend)> = None;
    for slot in hangs_on(line, fault) {
        for midi in range.low.midi()..=range.high.midi() {
            let Some(pitch) = Pitch::new(midi).filter(|pitch| *pitch != played[slot]) else {
                continue;
            };
            let mut changed = played[local.part.slots.clone()].to_vec();
            changed[slot - local.part.slots.start] = pitch;
            let Some((cost, score)) = local.cost(line, &changed, Some(fault)) else {
                continue;
            };
            let near = -(i32::from(midi) - i32::from(played[slot].midi())).abs();
            let key = (-cost, score, near);
            if cost < before && best.as_ref().is_none_or(|(best, _)| key > *best) {
                best = Some((key, Mend { slot, pitch }));
            }
        }
    }
    best.map(|(_, mend)| mend)
}

/// The bars around a fault, marked by themselves.
struct Local {
    part: Excerpt,
    scheme: Scheme,
}

impl Local {
    fn around(line: &Line, scheme: &Scheme, fault: &Fault) -> Self {
        let bar = bar_of(&line.plan, fault.place);
        // A change reaches two bars on, and one pair further back and on.
        let bars = bar.saturating_sub(3)..(bar + 5).min(line.plan.bars.len());
        let part = excerpt(&line.plan, bars.clone());
        let scheme = scheme.cut(&line.plan, &bars, &part.slots);
        Self { part, scheme }
    }

    /// What the faults of these notes cost, and their score; `None` where `mended` is still
    /// among them.
    fn cost(&self, line: &Line, notes: &[Pitch], mended: Option<&Fault>) -> Option<(i64, i64)> {
        let reading = read(&line.book, &line.style, &self.part.plan, notes);
        let faults = faults(&line.book, &self.scheme, &self.part.plan, &reading);
        let place = mended.map(|fault| match fault.place {
            Place::Note(at) => Place::Note(at - self.part.slots.start),
            bar @ Place::Bar(_) => bar,
        });
        let mut cost = 0;
        for fault in faults.values().flatten() {
            let same = Some(fault.place) == place && mended.is_some_and(|m| m.what == fault.what);
            if same {
                return None;
            }
            cost += fault.cost;
        }
        Some((cost, reading.score))
    }
}

/// The slots that a fault may hang on.
fn hangs_on(line: &Line, fault: &Fault) -> Range<usize> {
    match (fault.place, fault.what) {
        (Place::Note(at), _) => at.saturating_sub(2)..at + 1,
        (Place::Bar(bar), Wrong::NoDevice) => {
            let next = (bar + 1).min(line.plan.bars.len() - 1);
            line.plan.bars[bar].slots.start..line.plan.bars[next].slots.end
        }
        (Place::Bar(bar), _) => line.plan.bars[bar].slots.clone(),
    }
}
