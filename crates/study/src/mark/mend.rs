//! The one change that mends a fault.

use linewright_rules::{Line, Place, read};
use linewright_theory::Pitch;

use super::{Fault, Mark, Scheme, Wrong, mark};
use crate::study::pitches;

/// One changed note.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Mend {
    /// The slot.
    pub slot: usize,
    /// The note to play there instead.
    pub pitch: Pitch,
    /// Marks after the change, in thousandths.
    pub got: i64,
}

/// The change of one note that mends a fault and gets the most marks, and among equals the
/// highest score in the style, then the smallest move, then the earliest and lowest note. Notes
/// around the fault are tried: three before it, and those of its bar. `None` where no single
/// note mends it.
pub fn mend(line: &Line, scheme: &Scheme, fault: &Fault) -> Option<Mend> {
    let range = line.style.range;
    let played = pitches(line);
    let mut best: Option<(i64, i64, i32, Mend)> = None;
    for slot in around(line, fault) {
        for midi in range.low.midi()..=range.high.midi() {
            let Some(pitch) = Pitch::new(midi).filter(|pitch| *pitch != played[slot]) else {
                continue;
            };
            let mut changed = played.clone();
            changed[slot] = pitch;
            let (marked, score) = marked(line, scheme, &changed);
            if marked.faults().any(|other| same(other, fault)) {
                continue;
            }
            let near = -(i32::from(midi) - i32::from(played[slot].midi())).abs();
            let mend = Mend {
                slot,
                pitch,
                got: marked.got(),
            };
            let key = (mend.got, score, near);
            if best
                .as_ref()
                .is_none_or(|(got, score, near, _)| key > (*got, *score, *near))
            {
                best = Some((key.0, key.1, key.2, mend));
            }
        }
    }
    best.map(|(.., mend)| mend)
}

/// The marks of other notes over the same plan, and their score.
pub(crate) fn marked(line: &Line, scheme: &Scheme, pitches: &[Pitch]) -> (Mark, i64) {
    let reading = read(&line.book, &line.style, &line.plan, pitches);
    let score = reading.score;
    let changed = Line {
        reading,
        ..line.clone()
    };
    (mark(&changed, scheme), score)
}

/// Whether two faults are the same one, whatever they cost.
fn same(one: &Fault, other: &Fault) -> bool {
    (one.what, one.place) == (other.what, other.place)
}

/// The slots that a fault may hang on.
fn around(line: &Line, fault: &Fault) -> std::ops::Range<usize> {
    match (fault.place, fault.what) {
        (Place::Note(at), _) => at.saturating_sub(2)..at + 1,
        (Place::Bar(bar), Wrong::NoDevice) => {
            let next = (bar + 1).min(line.plan.bars.len() - 1);
            line.plan.bars[bar].slots.start..line.plan.bars[next].slots.end
        }
        (Place::Bar(bar), _) => line.plan.bars[bar].slots.clone(),
    }
}
